"""The search behind `palettes.choose`: which few of many beads serve the cells best."""
