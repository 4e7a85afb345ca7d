"""What one may choose of the size of a work and its place on the picture."""

from dataclasses import dataclass
from math import inf
from typing import Literal

from shared.choice import choice
from shared.errors import BadChoiceError
from shared.orientation import LEAST_GROUPS, Hand, Start

Fit = Literal["cover", "contain", "stretch"]
Turn = Literal["auto", "0", "90", "180", "270"]
Repeat = int | Literal["auto"]

DEFAULT_COLUMNS = 25
"""Width of the work when nothing is said of its size."""


@dataclass(frozen=True)
class Crop:
    """A box on the picture as one sees it, each edge in pixels or, with ``percent``, in per cent of the side."""

    left: float
    top: float
    width: float
    height: float
    percent: bool = False


@dataclass(frozen=True)
class LayoutChoices:
    """Choices of the stage that finds the lattice and its place on the picture.

    Raises
    ------
    BadChoiceError
        When sizes contradict each other or are out of range.
    """

    columns: int | None = choice(None, "Size", "Beads across.", form="count")
    width_mm: float | None = choice(None, "Size", "Or the width, like 32mm or 1.3in.", form="length", option="width")
    rows: int | None = choice(None, "Size", "Stitched rows (half as many beads down a column).", form="count")
    length_mm: float | None = choice(
        None, "Size", "Or the finished length, like 165mm or 6.5in.", form="length", option="length"
    )
    repeat: Repeat | None = choice(
        None,
        "Size",
        "Work the picture this many times along the length; auto fills --length or --rows with whole repeats.",
        form="count or auto",
    )
    first_rows: int = choice(0, "Size", "Plain rows before the repeats.", form="count or none")
    last_rows: int = choice(0, "Size", "Plain rows after them.", form="count or none")
    mirror_half: bool = choice(False, "Size", "The second half is the first mirrored, the last row like the first.")
    crop: Crop | None = choice(None, "Picture", "Part to use: left,top,width,height in pixels or with %.", form="box")
    turn: Turn = choice("auto", "Picture", "Degrees clockwise; auto turns a picture that lies on its side for a strip.")
    mirror: bool = choice(False, "Picture", "Swap left and right, after turning.")
    fit: Fit = choice(
        "cover", "Picture", "If proportions differ: fill the work, show all of the picture, or distort it."
    )
    hand: Hand = choice("right", "Stitching", "Hand you stitch with; left mirrors the directions.")
    start: Start = choice("top", "Stitching", "Where row 1 lies on the picture.")
    drop: int = choice(1, "Stitching", "Beads to a stitch: 2 for two-drop, in pairs.", form="drop")

    def __post_init__(self) -> None:
        if self.columns is not None and self.width_mm is not None:
            raise BadChoiceError("both --columns and --width say how wide the work is; give one of them")
        if self.rows is not None and self.length_mm is not None:
            raise BadChoiceError("both --rows and --length say how long the work is; give one of them")
        for count, least, what in ((self.columns, LEAST_GROUPS * self.drop, "columns"), (self.rows, 2, "rows")):
            if count is not None and count < least:
                raise BadChoiceError(f"{count} is too few {what}; give {least} or more")
        for size_mm, option in ((self.width_mm, "--width"), (self.length_mm, "--length")):
            if size_mm is not None and not 0 < size_mm < inf:
                raise BadChoiceError(f"{option} is {size_mm:g} mm; give a size above zero")
        self._check_repeat()

    def _check_repeat(self) -> None:
        if self.repeat is None:
            if self.first_rows or self.last_rows or self.mirror_half:
                raise BadChoiceError(
                    "--first-rows, --last-rows and --mirror-half belong to a repeat; give --repeat too, be it 1"
                )
            return
        if min(self.first_rows, self.last_rows) < 0 or (self.repeat != "auto" and self.repeat < 1):
            raise BadChoiceError("a repeat, its first rows and last rows cannot be negative, nor a repeat 0; give more")
        sized = self.rows is not None or self.length_mm is not None
        if self.repeat == "auto" and not sized:
            raise BadChoiceError("--repeat auto fills a length; give --length or --rows, or a number like --repeat 5")
        if self.repeat != "auto" and sized:
            raise BadChoiceError(
                f"--repeat {self.repeat} says how long the work is; leave --rows and --length out, or say --repeat auto"
            )
        if self.mirror_half:
            self._check_mirrored()

    def _check_mirrored(self) -> None:
        if self.repeat != "auto" and self.repeat is not None and self.repeat % 2:
            raise BadChoiceError(
                f"--repeat {self.repeat} cannot be mirrored: each half has whole repeats; give {self.repeat + 1}"
            )
        if self.last_rows not in {0, self.first_rows}:
            raise BadChoiceError("with --mirror-half the end is the first rows again; leave --last-rows out")
