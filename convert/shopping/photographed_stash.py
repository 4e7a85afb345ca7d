"""A photograph of beads becomes a stash: a table of colours, and a picture for checking."""

from typing import NamedTuple

from convert.chart.png import png_bytes
from convert.image.decode import Source, decode
from convert.options import Options
from palettes.colour import Supply, colour_from_lab
from palettes.colour_names import numbered
from palettes.formats.csv_table import palette_csv
from palettes.palette import Palette
from palettes.photo.copies import Region
from palettes.photo.labelled import labelled_picture
from palettes.photo.lighting import Card
from palettes.photo.patches import PhotoReading
from palettes.photo.read import read_beads
from palettes.sizes import parse_sizes
from shared.errors import BadChoiceError
from shared.plural import counted


class Stash(NamedTuple):
    """What a photograph of beads gives."""

    table: bytes
    """A palette as CSV, one colour for each patch in the order in which they lie."""
    labelled: bytes
    """The photograph as PNG, each patch outlined and numbered."""
    told: str
    """What a person is told."""


def stash_files(photo: Source, grey: str | None, sizes: str, *, name: str) -> Stash:
    """Read the beads of a photograph.

    Parameters
    ----------
    photo
        Heaps, tubes or swatches on a plain ground.
    grey
        Where a grey or white card lies: x, y, width, height in pixels; None to balance by the ground.
    sizes
        In which the beads are, see `palettes.sizes.parse_sizes`.
    name
        Of the palette.

    Raises
    ------
    HummockError
        When the photograph or the words cannot be used.
    """
    supplies = tuple(Supply(size) for size in parse_sizes(sizes))
    card = None if grey is None else Card(_region(grey))
    codes = decode(photo, max_pixels=Options().max_pixels).pixels().codes
    reading = read_beads(codes, card=card, name=photo.name)
    names = numbered([patch.name for patch in reading])
    colours = [
        colour_from_lab(name, (float(patch.lab[0]), float(patch.lab[1]), float(patch.lab[2])), supplies)
        for name, patch in zip(names, reading, strict=True)
    ]
    table = palette_csv(Palette(name, tuple(colours))).encode()
    labelled = png_bytes(labelled_picture(codes, reading), dots_per_inch=72)
    return Stash(table, labelled, _told(reading, names))


def _region(words: str) -> Region:
    try:
        x, y, width, height = (int(part) for part in words.split(","))
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no region; write x,y,width,height in pixels, like 20,30,80,60") from error
    return Region(x, y, width, height)


def _told(reading: PhotoReading, names: tuple[str, ...]) -> str:
    lines = [f"{counted(len(names), 'colour')}, as they lie (an estimate: a photograph is no measurement):"]
    lines += [f"  {patch.number:3}  {patch.hex}  {name}" for name, patch in zip(names, reading, strict=True)]
    return "\n".join([*lines, *(f"note: {notice}" for notice in reading.notices)])
