"""The finished design: a grid, the beads that it uses, and which bead lies in each cell."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import numpy as np

from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.errors import BadFileError
from shared.grid import Grid
from shared.letters import letter_of

LONGEST_LINE = 200
"""Characters of a title or a name."""

WIDEST_CHROMA = 200.0
"""No colour of a surface has an a or b in CIELAB beyond this, either way."""

_ROUNDING = 0.01
_KIND = re.compile(r"(?P<letters>[A-Z]+)(?P<mark>\d*)")


@dataclass(frozen=True, slots=True)
class Bead:
    """A colour in a size, as it stands on the shopping list.

    Parameters
    ----------
    kind
        Letters for the colour, and the size number unless it is of the flat size: ``"A"``, ``"A11"``.
    size
        Name of a size of the bead sizes.
    srgb
        Colour as ``#rrggbb``.
    lab
        The same in CIELAB.
    name
        Colour in words.
    source
        The palette it was taken from; empty for a colour worked out from the picture.
    """

    kind: str
    size: str
    srgb: str
    lab: tuple[float, float, float]
    name: str
    source: str = ""

    @property
    def letter(self) -> str:
        """The letters of its colour, alike in all sizes."""
        return letter_of(self.kind)


@dataclass(frozen=True, eq=False)
class Design:
    """A pattern, complete: every output can be made again from it alone.

    Parameters
    ----------
    title
        One line of text.
    grid
        Columns, rows, hand, start, drop.
    bead_sizes
        The sizes, with their measures.
    beads
        What the work is made of, colour by colour and size by size.
    cells
        For each bead of the grid its place in ``beads``, shape (beads,).
    provenance
        What the design was made from: values that JSON can hold.

    Raises
    ------
    BadFileError
        When the parts do not fit together.
    """

    title: str
    grid: Grid
    bead_sizes: BeadSizes
    beads: tuple[Bead, ...]
    cells: Ints
    provenance: Mapping[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        check_line(self.title, "the title")
        check_beads(self.beads, self.bead_sizes)
        for problem in self.grid.problems():
            raise BadFileError(f"{problem.why}; {problem.mends}", where=[f"row {problem.row}, column {problem.column}"])
        cells = np.array(self.cells, dtype=np.int64)
        if cells.shape != (self.grid.count,):
            raise BadFileError(f"the design has {cells.size} cells where {self.grid.count} belong; make it anew")
        if cells.size and (cells.min() < 0 or cells.max() >= len(self.beads)):
            raise BadFileError("a cell names a bead that is not in the list; make the design anew")
        cells.flags.writeable = False
        object.__setattr__(self, "cells", cells)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Design):
            return NotImplemented
        same = (self.title, self.grid, self.bead_sizes, self.beads) == (
            other.title,
            other.grid,
            other.bead_sizes,
            other.beads,
        )
        return same and self.provenance == other.provenance and np.array_equal(self.cells, other.cells)

    __hash__ = None  # type: ignore[assignment]

    @cached_property
    def counts(self) -> Ints:
        """How many of each entry of ``beads`` the work takes."""
        return np.bincount(self.cells, minlength=len(self.beads)).astype(np.int64)

    @cached_property
    def levels(self) -> Ints:
        """The level of each cell, 0 for the flat size, shape (beads,)."""
        levels = np.array([self.bead_sizes.level_of[bead.size] for bead in self.beads], dtype=np.int64)
        return levels[self.cells]

    @property
    def extent_mm(self) -> tuple[float, float]:
        """Width and length that the work would have if all of it were of the flat size, lying flat, in mm."""
        return self.grid.extent_mm(self.bead_sizes.flat.length_mm, self.bead_sizes.flat.diameter_mm)


def lay_beads(design: Design, beads: Sequence[Bead], cells: Ints, *, grid: Grid | None = None) -> Design:
    """Return a design with other beads in its cells.

    Letters stay. Beads that were used and no longer are leave the list; new ones stand behind those of their colour.

    Parameters
    ----------
    design
        As it was.
    beads
        Those of the design, then any others.
    cells
        For each bead of the grid its place in ``beads``, shape (beads,).
    grid
        Another lattice; None for that of the design.
    """
    counts, was_used, old = np.bincount(cells, minlength=len(beads)), design.counts > 0, len(design.beads)
    last = {letter_of(bead.kind): place for place, bead in enumerate(design.beads)}
    keep = [place for place in range(len(beads)) if counts[place] or (place < old and not was_used[place])]
    order = sorted(
        keep, key=lambda place: (last.get(letter_of(beads[place].kind), old) if place >= old else place, place)
    )
    place_of = np.full(len(beads), -1)
    place_of[order] = np.arange(len(order))
    return replace(
        design, grid=grid or design.grid, beads=tuple(beads[place] for place in order), cells=place_of[cells]
    )


def in_size(bead: Bead, level: int, bead_sizes: BeadSizes) -> Bead:
    """Return the same colour in a size of the bead sizes."""
    return replace(bead, kind=letter_of(bead.kind) + bead_sizes.marks[level], size=bead_sizes.sizes[level].name)


def check_line(text: str, what: str) -> None:
    """Refuse text that is empty, padded, or holds a line break or other control character.

    Raises
    ------
    BadFileError
        With ``what`` named.
    """
    if len(text) > LONGEST_LINE:
        raise BadFileError(f"{what} is {len(text):,} characters long; give at most {LONGEST_LINE}")
    if not text or text != text.strip() or not text.isprintable():
        raise BadFileError(f"{what} must be one line of plain text, without blanks at its ends: {text[:60]!r}")


def check_beads(beads: tuple[Bead, ...], bead_sizes: BeadSizes) -> None:
    """Refuse beads of equal kinds, of a size that is not among the bead sizes, or of a kind that does not fit its size.

    Raises
    ------
    BadFileError
        Naming the bead.
    """
    if len({bead.kind for bead in beads}) < len(beads):
        raise BadFileError("two beads have the same kind; give each its own")
    for bead in beads:
        check_line(bead.name, f"the name of {bead.kind}")
        if bead.source:
            check_line(bead.source, f"the source of {bead.kind}")
        _check_lab(bead)
        if bead.size not in bead_sizes.level_of:
            raise BadFileError(f"{bead.kind} is a {bead.size}, which is not among the bead sizes; use one of those")
        found = _KIND.fullmatch(bead.kind)
        mark = bead_sizes.marks[bead_sizes.level_of[bead.size]]
        if found is None or found["mark"] != mark:
            raise BadFileError(f"the kind {bead.kind} of a {bead.size} must be letters A to Z, then '{mark}'")


def _check_lab(bead: Bead) -> None:
    lightness, *chroma = bead.lab
    if not (-_ROUNDING <= lightness <= 100 + _ROUNDING and max(map(abs, chroma)) <= WIDEST_CHROMA):
        raise BadFileError(
            f"the lab of {bead.kind} is no colour; L goes from 0 to 100, a and b up to about 130 either way"
        )
