"""How a picture becomes the colours of beads, by the kind of picture it is."""
