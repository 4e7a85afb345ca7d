"""What the picture shows on each bead."""
