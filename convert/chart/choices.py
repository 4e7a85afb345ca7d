"""What is chosen for a chart."""

from typing import Literal

Ink = Literal["colour", "black"]
"""Beads in their colours, or white with a symbol for each kind, for a printer without colour."""

DEFAULT_INK: Ink = "colour"
