"""From heights to bead sizes."""
