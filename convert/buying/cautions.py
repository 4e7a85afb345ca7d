"""What to heed with beads and needles, in short."""

CAUTIONS = (
    "Local rules come first; this list is no statement that any of them is met.",
    "Small parts: glass beads can choke; not for children under 3 years; keep them from pets.",
    "Needles and cut thread are sharp: count needles before and after; children need an adult beside them.",
    "A broken bead has sharp edges: never force a needle, and guard your eyes when you break a bead out.",
    "Nickel: choose a clasp sold as meeting the nickel limit, if the wearer may be sensitive.",
    "Lead and cadmium: for a child, take beads and clasps sold as meeting the limits.",
)
