"""How a picture is cut into equal rectangles to be averaged, so that no edge of a bead or of a sample cuts one."""

from math import ceil
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

_NEAR = 1e-6
"""Of a rectangle, or of the picture: a line so near to the border is the border."""


class Span(NamedTuple):
    """One direction of a cut. Lengths are shares of the picture's, so that it holds for any number of pixels."""

    low: float
    """Where the window begins."""
    high: float
    """Where it ends."""
    parts: int
    """Into how many parts it is cut."""
    begin: float = 0
    """Where what is seen of the picture begins: it is cut alike, and parts at its border are trimmed to it."""
    end: float = 1
    """Where that ends."""

    @property
    def reach(self) -> tuple[float, float, int]:
        """Return from where to where parts reach that cover what is seen, before they are trimmed, and their number."""
        step = (self.high - self.low) / self.parts
        before = ceil((self.low - self.begin) / step - _NEAR)
        after = ceil((self.end - self.high) / step - _NEAR)
        return self.low - before * step, self.high + after * step, self.parts + before + after

    @property
    def lines(self) -> Floats:
        """Return where parts begin and end, trimmed."""
        first, last, count = self.reach
        lines = np.linspace(first, last, count + 1)
        lines[0], lines[-1] = self.begin, self.end
        return np.clip(lines, 0, 1)

    def flipped(self) -> "Span":
        """Return it on the mirrored picture."""
        return Span(1 - self.high, 1 - self.low, self.parts, 1 - self.end, 1 - self.begin)


class Cut(NamedTuple):
    """A cut across and one down."""

    across: Span
    down: Span

    @property
    def whole(self) -> bool:
        """Tell whether all of the picture is seen."""
        return all(span.begin < _NEAR and span.end > 1 - _NEAR for span in self)

    @property
    def place(self) -> tuple[float, float, float, float]:
        """Return left, top, right and bottom of all rectangles before they are trimmed."""
        (left, right, _), (top, bottom, _) = self.across.reach, self.down.reach
        return left, top, right, bottom

    def of_all(self) -> "Cut":
        """Return it where all of the picture is seen."""
        return Cut(*(span._replace(begin=0, end=1) for span in self))

    def flipped(self, *, across: bool = False, down: bool = False) -> "Cut":
        """Return it on the mirrored picture."""
        return Cut(
            self.across.flipped() if across else self.across,
            self.down.flipped() if down else self.down,
        )

    def swapped(self) -> "Cut":
        """Return it with across for down."""
        return Cut(self.down, self.across)

    def turned_back(self, turn: int, *, mirror: bool) -> "Cut":
        """Return it on the picture as it was before it was turned clockwise by ``turn`` degrees, then mirrored."""
        cut = self.flipped(across=mirror)
        cut = cut.swapped() if turn % 180 else cut
        return cut.flipped(across=turn in {180, 270}, down=turn in {90, 180})
