"""Which hand, which end, which way: the words for how a work is turned, and how narrow it may be."""

from typing import Literal

Hand = Literal["right", "left"]
"""The hand one stitches with: right has the tail at the left, left mirrors all of it."""

Start = Literal["top", "bottom"]
"""Where row 1 lies on the picture."""

LEAST_GROUPS = 2
"""Of columns: with one alone every second row would be empty, and nothing to stitch into."""

Direction = Literal[">", "<"]
"""How the needle runs: left to right, or right to left."""

DIRECTION_WORDS: dict[Direction, str] = {">": "left to right", "<": "right to left"}
"""The ways in words."""
