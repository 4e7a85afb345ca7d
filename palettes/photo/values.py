"""What a photograph of beads is read into.

Places in a photograph count pixels from its upper left corner, x right and y down; arrays are (rows, columns).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats

Mask = NDArray[np.bool_]


class Region(NamedTuple):
    """A rectangle of a photograph, in its pixels."""

    x: int
    """Columns left of it."""
    y: int
    """Rows above it."""
    width: int
    height: int


@dataclass(frozen=True, slots=True, eq=False)
class Patch:
    """One heap, tube or swatch."""

    number: int
    """Its place, from 1: rows from the top, each from left to right."""
    box: Region
    """What it spans."""
    lab: Floats
    """CIELAB (D65) of its beads, shape (3,)."""
    hex: str
    """The same as ``#rrggbb``, clipped to sRGB."""
    name: str
    """The nearest plain colour word."""
    pixels: int
    """Pixels of the photograph that it covers."""
    spread: float
    """Median CIEDE2000 of its pixels from its colour: about 1 in a swatch, 5 … 20 in a heap."""

    def __post_init__(self) -> None:
        self.lab.flags.writeable = False


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """All patches of a photograph.

    ``labels`` holds the number of the patch at each place, 0 for none; one entry stands for ``step`` x ``step`` pixels
    of the photograph.
    """

    patches: tuple[Patch, ...]
    labels: NDArray[np.uint16]
    step: int
    notices: tuple[str, ...]

    def __post_init__(self) -> None:
        self.labels.flags.writeable = False

    def __iter__(self) -> Iterator[Patch]:
        return iter(self.patches)
