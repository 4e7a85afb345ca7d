"""Domes in words, such as ``diamond 12,9 r5``: what a dome is, and how it is read."""

import re
from dataclasses import dataclass
from typing import Literal, NamedTuple

from shared.errors import BadChoiceError, HummockError
from shared.units import parse_length_mm

Shape = Literal["diamond", "disc", "ring", "ridge", "half-diamond"]
Unit = Literal["beads", "mm", "middle", "left", "right"]

SHAPES: tuple[Shape, ...] = ("diamond", "disc", "ring", "ridge", "half-diamond")

_WORDS = re.compile(r"(?P<shape>[a-z-]+) +(?P<row>[^ ,-]+)(?:-(?P<last>[^ ,]+))? *, *(?P<column>[^ ,]+) +(?P<rest>.+)")
_PARTS = re.compile(
    r"r *(?P<radius>[^ ]+)|w *(?P<width>[^ ]+)|h *(?P<height>\d{1,5})|every +(?P<every>[^ ]+)|(?P<both>both edges)"
)
_CALLED = {
    "radius": "the radius",
    "width": "the width",
    "height": "the height",
    "every": "the distance",
    "both": "both edges",
}
_NUMBER = re.compile(r"\d{1,5}(\.\d+)?")


class Measure(NamedTuple):
    """A place or a size: a number of beads (or of a row or column), a length, or a word."""

    value: float
    unit: Unit


@dataclass(frozen=True, slots=True)
class DomeShape:
    """A shape to be raised.

    Parameters
    ----------
    words
        As they were given.
    shape
        Which of `SHAPES`.
    rows
        Where the middle lies along the work; a ridge runs from the first to the second.
    column
        Where it lies across.
    radius
        From the middle to the rim: of a ridge half its width, of a ring the middle of its wall.
    width
        Of a ring's wall; None for as wide as the height needs.
    height
        Levels above flat work; None for the highest of the bead sizes.
    every
        The dome comes again at this distance along the work; None for once.
    both
        It comes again mirrored, at the other edge.
    """

    words: str
    shape: Shape
    rows: tuple[Measure, Measure]
    column: Measure
    radius: Measure
    width: Measure | None
    height: int | None
    every: Measure | None
    both: bool


def parse_dome(words: str) -> DomeShape:
    """Read a dome: shape, row and column of its middle, radius, and if wanted its height and repeat.

    Parameters
    ----------
    words
        ``diamond 12,9 r5``, ``disc 30mm,middle r6mm h2``, ``ring 40,9 r6 w4``, ``ridge 10-60,middle r3``,
        ``half-diamond 12,left r5 every 20 both edges``. Rows and columns count from 1; lengths are measured from
        row 1 and from the tail side.

    Raises
    ------
    BadChoiceError
        When the words are others, or a part of them comes twice.
    """
    found = _WORDS.fullmatch(" ".join(words.lower().split()))
    shape = next((shape for shape in SHAPES if found and found["shape"] == shape), None)
    parts = None if found is None else _parts(found["rest"], words)
    if found is None or shape is None or parts is None or "radius" not in parts:
        raise BadChoiceError(
            f"'{words}' is no dome; write it like diamond 12,9 r5 or disc 30mm,middle r6mm h2 every 20, "
            f"with one of {', '.join(SHAPES)}"
        )
    if (found["last"] is not None) != (shape == "ridge"):
        raise BadChoiceError(f"'{words}': a ridge runs from row to row, like ridge 10-60,9 r3; no other dome does")
    if "width" in parts and shape != "ring":
        raise BadChoiceError(f"'{words}': only a ring has a width of its own; leave w{parts['width']} out")
    row = _measure(found["row"], words, "middle")
    edges: tuple[Unit, ...] = ("left", "right") if shape == "half-diamond" else ("middle",)
    dome = DomeShape(
        words=" ".join(words.split()),
        shape=shape,
        rows=(row, row if found["last"] is None else _measure(found["last"], words, "middle")),
        column=_measure(found["column"], words, *edges),
        radius=_measure(parts["radius"], words),
        width=_measure(parts["width"], words) if "width" in parts else None,
        height=int(parts["height"]) if "height" in parts else None,
        every=_measure(parts["every"], words) if "every" in parts else None,
        both="both" in parts,
    )
    if shape == "half-diamond" and dome.column.unit not in edges:
        raise BadChoiceError(f"'{words}': a half-diamond lies on an edge; say left or right for its column")
    if dome.height == 0:
        raise BadChoiceError(f"'{words}' has no height; give h1 or more, or leave it out for the highest")
    return dome


def _parts(rest: str, words: str) -> dict[str, str] | None:
    """Take apart what follows the place, in any order; None where it is something else."""
    parts: dict[str, str] = {}
    while rest:
        found = _PARTS.match(rest)
        if found is None or found.lastgroup is None or rest[found.end() : found.end() + 1].strip():
            return None
        if found.lastgroup in parts:
            raise BadChoiceError(f"'{words}' gives {_CALLED[found.lastgroup]} twice; leave one out")
        parts[found.lastgroup] = found[found.lastgroup]
        rest = rest[found.end() :].strip()
    return parts


def _measure(text: str, words: str, *allowed: Unit) -> Measure:
    for word in allowed:
        if text == word:
            return Measure(0.0, word)
    if _NUMBER.fullmatch(text) and float(text) > 0:
        return Measure(float(text), "beads")
    try:
        return Measure(parse_length_mm(text), "mm")
    except HummockError as error:
        also = "".join(f", {word}" for word in allowed)
        raise BadChoiceError(
            f"'{text}' in '{words}' is no place or size; give a number of beads, a length like 6mm{also}"
        ) from error
