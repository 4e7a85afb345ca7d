"""What is chosen for a chart."""

from dataclasses import dataclass
from typing import Literal

from shared.choice import choice

Ink = Literal["colour", "black"]
"""Beads in their colours, or white with a symbol for each kind, for a printer without colour."""

DEFAULT_INK: Ink = "colour"


@dataclass(frozen=True)
class InkChoice:
    """How a chart is inked."""

    ink: Ink = choice(DEFAULT_INK, "Output", "Charts in colours, or in black with a sign for each kind of bead.")
