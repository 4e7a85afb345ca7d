"""What the files are called that commands write: known before anything slow is loaded."""

NAMES = ("design.json", "chart.svg", "chart.png", "rows.txt", "beads.csv")
"""Of a finished pattern."""

SURFACE_NAMES = ("surface.json", "surface.png", "surface.glb")
STITCH_NAME = "stitch.html"
