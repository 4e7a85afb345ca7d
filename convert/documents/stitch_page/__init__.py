"""The stitch page: one HTML file that she stitches from, row by row."""
