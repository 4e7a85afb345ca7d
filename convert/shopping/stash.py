"""A stash: the beads of a design that are at hand already, and a photograph of beads that becomes a stash."""

import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

import numpy as np

from convert.chart.png import png_bytes
from palettes.colour import Supply, colour_from_lab
from palettes.colour_names import describe, numbered
from palettes.formats.csv_table import palette_csv
from palettes.palette import Palette, folded
from palettes.photo_beads import Spot, read_spots
from palettes.photo_light import CARD, PAPER, Codes, PhotoLight, Region, find_light, region_around
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.arrays import Bytes
from shared.colour import codes_from_linear, linear_from_lab
from shared.design import Design
from shared.errors import BadChoiceError
from shared.plural import counted
from shared.typeface import Lettering

_CHECKING_SIDE = 1200
"""Pixels along the longest side of a photograph drawn for checking, about."""


class AtHand(NamedTuple):
    """What of a design is at hand."""

    grams: Mapping[str, Fraction]
    """By kind of the bead."""
    notes: tuple[str, ...]
    """What a person should know of it."""


def find_at_hand(design: Design, stash: Palette) -> AtHand:
    """Find the beads of a design in a stash: colours of the same name, in the same size.

    A colour that was not taken from a palette must have the very same hue as well, for words for colours are shared
    by many. Nothing in the stash is given to two beads.
    """
    colours = {folded(colour.name): colour for colour in stash.entries}
    grams: dict[str, Fraction] = {}
    taken: set[tuple[str, str]] = set()
    notes = []
    for bead in design.beads:
        colour = colours.get(folded(bead.name))
        supply = None if colour is None else colour.supply(bead.size)
        if colour is None or supply is None or not supply.grams or not (bead.source or colour.srgb == bead.srgb):
            continue
        if supply.size == EVERY_SIZE:
            notes.append(
                f"{colour.name} is weighed for all sizes together, so none of it was counted; give each its line"
            )
        elif (folded(bead.name), bead.size) not in taken:
            taken.add((folded(bead.name), bead.size))
            grams[bead.kind] = Fraction(str(supply.grams))
    if not grams:
        notes.append(
            f"{stash.name} holds no bead of this design by name and size, so nothing was taken off; "
            "make the design of the stash with --palette"
        )
    return AtHand(grams, tuple(dict.fromkeys(notes)))


class PhotographedStash(NamedTuple):
    """What a photograph of beads gives."""

    table: bytes
    """A palette as CSV, one colour for each point in their order."""
    checking: bytes
    """The photograph as PNG, where each point is ringed and numbered, its colour next to the number."""
    told: str
    """What a person is told."""


def read_photographed_stash(
    codes: Codes, at: Sequence[str], *, paper: str | None, grey: str | None, sizes: str, name: str
) -> PhotographedStash:
    """Read the colours of beads at points of a photograph.

    Parameters
    ----------
    codes
        The photograph as sRGB, shape (rows, columns, 3).
    at
        Where beads lie: x,y in pixels, and a name if one likes.
    paper, grey
        Where white paper lies: x,y; or a grey card of 18 %: x,y,width,height. None where there is none.
    sizes
        In which the beads are, see `palettes.sizes.parse_sizes`.
    name
        Of the palette.

    Raises
    ------
    HummockError
        When the photograph or the words cannot be used.
    """
    if not at:
        raise BadChoiceError(
            "where the beads lie is not said; give --at x,y in pixels for each heap, from the upper left corner"
        )
    supplies = tuple(Supply(size) for size in parse_sizes(sizes))
    points, given = zip(*(_parse_point(words) for words in at), strict=True)
    spots, cautions = read_spots(codes, points, _find_light(codes, paper, grey))
    seen = codes_from_linear(linear_from_lab(np.array([spot.lab for spot in spots])))
    described = iter(describe(seen[[not word for word in given]]))
    names = numbered(word or next(described) for word in given)
    colours = [
        colour_from_lab(each, (float(L), float(a), float(b)), supplies)
        for each, (L, a, b) in zip(names, (spot.lab for spot in spots), strict=True)
    ]
    lines = [f"{counted(len(names), 'colour')} (an estimate: a photograph is no measurement):"]
    lines += [
        f"  {number:3}  {colour.srgb}  {colour.name}, spread {spot.spread:.0f}"
        for number, (colour, spot) in enumerate(zip(colours, spots, strict=True), 1)
    ]
    lines += [
        f"note: {told}" + f"; colours may be off by about {off:.0f} (CIEDE2000)" * (off > 0)
        for _, off, told in cautions
    ]
    table = palette_csv(Palette(name, tuple(colours))).encode()
    return PhotographedStash(table, _draw_spots(codes, spots, seen), "\n".join(lines))


def _find_light(codes: Codes, paper: str | None, grey: str | None) -> PhotoLight:
    if paper is not None and grey is not None:
        raise BadChoiceError("--paper and --grey are both given; give the one that lies nearer to the beads")
    if paper is not None:
        point, _ = _parse_point(paper)
        return find_light(codes, region_around(codes, point, max(2, max(codes.shape[:2]) // 120)), PAPER)
    return find_light(codes, None if grey is None else _parse_region(grey), CARD)


def _parse_point(words: str) -> tuple[tuple[int, int], str]:
    """Read x,y and what stands behind it."""
    found = re.fullmatch(r"\s*(-?\d{1,9})\s*,\s*(-?\d{1,9})(?:\s+(\S.*))?\s*", words)
    if found is None:
        raise BadChoiceError(f"'{words}' is no point; write x,y in pixels, with a name if you like: 120,340 deep teal")
    return (int(found[1]), int(found[2])), " ".join((found[3] or "").split())


def _parse_region(words: str) -> Region:
    try:
        x, y, width, height = (int(part) for part in words.split(","))
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no region; write x,y,width,height in pixels, like 20,30,80,60") from error
    return Region(x, y, width, height)


def _draw_spots(codes: Codes, spots: Sequence[Spot], colours: Bytes) -> bytes:
    """Draw where colours were taken from on a copy of the photograph."""
    from PIL import Image, ImageDraw

    step = max(1, max(codes.shape[:2]) // _CHECKING_SIDE)
    seen = codes[::step, ::step].astype(np.float64) * (255 / np.iinfo(codes.dtype).max)
    picture = Image.fromarray(np.broadcast_to(np.rint(seen), (*seen.shape[:2], 3)).astype(np.uint8))
    pen, size = ImageDraw.Draw(picture), max(14, max(picture.size) // 40)
    font = Lettering().font(size, bold=True)
    for number, (spot, colour) in enumerate(zip(spots, colours, strict=True), 1):
        x, y, radius = spot.x / step, spot.y / step, spot.radius / step
        # A dark ring inside a light one: one of them shows on any colour.
        for wider, ring in ((2, "white"), (0, "black")):
            pen.circle((x, y), radius + wider, outline=ring, width=2)
        box = (x + radius + 4, y - size / 2, x + radius + 4 + size, y + size / 2)
        pen.rectangle(box, fill=tuple(colour.tolist()), outline="white")
        pen.text((x, y), str(number), fill="black", font=font, anchor="mm", stroke_width=2, stroke_fill="white")
    return png_bytes(np.asarray(picture), dots_per_inch=72)
