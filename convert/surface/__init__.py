"""The predicted surface: what larger beads in slots made for small ones do to the cloth."""
