"""What she reads and stitches from: whole documents made of a design."""
