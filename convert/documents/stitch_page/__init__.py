"""The bench page: one HTML file that she stitches from, row by row."""
