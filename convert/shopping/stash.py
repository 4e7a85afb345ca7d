"""A stash: the beads of a design that are at hand already, and a photograph of beads that becomes a stash."""

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from convert.chart.png import png_bytes
from palettes.colour import Supply, colour_from_lab
from palettes.colour_names import numbered
from palettes.formats.csv_table import palette_csv
from palettes.palette import Palette, folded
from palettes.photo.copies import Codes, Region
from palettes.photo.labelled import labelled_picture
from palettes.photo.lighting import Card
from palettes.photo.patches import PhotoReading
from palettes.photo.read import read_beads
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.design import Design
from shared.errors import BadChoiceError
from shared.plural import counted


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
    """A palette as CSV, one colour for each patch in the order in which they lie."""
    labelled: bytes
    """The photograph as PNG, each patch outlined and numbered."""
    told: str
    """What a person is told."""


def read_photographed_stash(codes: Codes, grey: str | None, sizes: str, *, photo: str, name: str) -> PhotographedStash:
    """Read the beads of a photograph.

    Parameters
    ----------
    codes
        The photograph as sRGB, shape (rows, columns, 3): heaps, tubes or swatches on a plain ground.
    grey
        Where a grey or white card lies: x, y, width, height in pixels; None to balance by the ground.
    sizes
        In which the beads are, see `palettes.sizes.parse_sizes`.
    photo
        Its name, for messages.
    name
        Of the palette.

    Raises
    ------
    HummockError
        When the photograph or the words cannot be used.
    """
    supplies = tuple(Supply(size) for size in parse_sizes(sizes))
    card = None if grey is None else Card(_parse_region(grey))
    reading = read_beads(codes, card=card, name=photo)
    names = numbered([patch.name for patch in reading])
    colours = [
        colour_from_lab(name, (float(patch.lab[0]), float(patch.lab[1]), float(patch.lab[2])), supplies)
        for name, patch in zip(names, reading, strict=True)
    ]
    table = palette_csv(Palette(name, tuple(colours))).encode()
    labelled = png_bytes(labelled_picture(codes, reading), dots_per_inch=72)
    return PhotographedStash(table, labelled, _tell(reading, names))


def _parse_region(words: str) -> Region:
    try:
        x, y, width, height = (int(part) for part in words.split(","))
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no region; write x,y,width,height in pixels, like 20,30,80,60") from error
    return Region(x, y, width, height)


def _tell(reading: PhotoReading, names: tuple[str, ...]) -> str:
    lines = [f"{counted(len(names), 'colour')}, as they lie (an estimate: a photograph is no measurement):"]
    lines += [f"  {patch.number:3}  {patch.hex}  {name}" for name, patch in zip(names, reading, strict=True)]
    return "\n".join([*lines, *(f"note: {notice}" for notice in reading.notices)])
