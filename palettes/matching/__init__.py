"""The search behind `palettes.match`: which few of many beads serve the cells best."""
