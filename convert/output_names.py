"""What the files of a finished pattern are called."""

NAMES = ("design.json", "chart.svg", "chart.png", "rows.txt", "beads.csv")
