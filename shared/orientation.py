"""Which hand, which end, which way: the words for how a work is turned."""

from typing import Literal

Hand = Literal["right", "left"]
"""The hand one stitches with: right has the tail at the left, left mirrors all of it."""

Start = Literal["top", "bottom"]
"""Where row 1 lies on the picture."""

Direction = Literal[">", "<"]
"""How the needle runs: left to right, or right to left."""

DIRECTION_WORDS: dict[Direction, str] = {">": "left to right", "<": "right to left"}
"""The ways in words."""
