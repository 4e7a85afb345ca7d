"""The few flat colours of the studio's drawings."""

SLATE, GREEN, SAND = "#24506d", "#63b3a3", "#ead3a2"
CORAL, FOAM, INK = "#e5654b", "#f8f4e9", "#15212d"
SKY = "#bfe0e2"

SHADE = {CORAL: "#d25640", FOAM: "#ebe2cd", GREEN: "#54a292", SAND: "#dcc28c", SLATE: "#1d4560", INK: "#22303d"}
"""A slightly deeper or lighter tone of a colour, for marks that need not survive in beads."""

DEEP = {CORAL: "#9d3b2a", FOAM: "#b3a78d", GREEN: "#2f7368", SAND: "#b5955c", SLATE: INK}
"""A clearly deeper tone, for the gaps between stones."""
