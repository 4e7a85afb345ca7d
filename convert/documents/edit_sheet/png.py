"""A sheet as a small picture: one pixel for each bead, in indexed colours."""

import io
import warnings
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from convert.documents.edit_sheet.edit import Edited, apply_edits
from convert.documents.edit_sheet.sheet import (
    look_of_bead,
    looks,
    new_looks,
    on_sheet,
    places_words,
    sheet_places,
    sheet_shape,
)
from shared.arrays import Ints
from shared.colour import codes_from_hex, hex_from_codes
from shared.design import Bead, Design, in_size
from shared.errors import BadChoiceError, BadFileError, MistakesError

MOST_LOOKS = 255
"""An indexed picture has 256 colours; one of them stands for no bead."""

_MANY = 12
"""More strange colours than a person adds by hand: the picture was smoothed or scaled."""

_MODES = ("P", "1", "L", "LA", "RGB", "RGBA", "PA")
_NO_BEAD = "#808080"
_HARD = "paint with a hard pencil, and save as PNG without scaling or smoothing"


class _Pixels(NamedTuple):
    """The pixels on which beads lie."""

    colours: list[str]
    """Of each bead, as ``#rrggbb``."""
    alpha: NDArray[np.uint8]
    """Of each bead."""
    painted_outside: int
    """Pixels without a bead that hold paint."""


def sheet_png(design: Design) -> bytes:
    """Write a design as an indexed PNG, laid out as `convert.documents.edit_sheet.sheet` says.

    Where there is no bead it is transparent.

    Raises
    ------
    BadChoiceError
        When the design has more colours than such a picture.
    """
    colours = looks(design)
    if len(colours) > MOST_LOOKS:
        raise BadChoiceError(
            f"{len(colours)} colours are more than the {MOST_LOOKS} of an indexed picture; use the table"
        )
    numbers = np.array(look_of_bead(design))[design.cells]
    sheet = on_sheet(design.grid, numbers, empty=len(colours)).astype(np.uint8)
    picture = Image.fromarray(sheet)
    picture.putpalette(b"".join(codes_from_hex(c).tobytes() for c in (*(look.srgb for look in colours), _NO_BEAD)))
    file = io.BytesIO()
    picture.save(file, "PNG", transparency=len(colours))
    return file.getvalue()


def read_sheet_png(content: bytes, design: Design, *, source: str, new_colours: bool) -> Edited:
    """Read an edited picture back into its design.

    A bead whose pixel has kept its colour keeps its kind; another takes the colour of its pixel in the size that it
    had, so raised areas stay.

    Parameters
    ----------
    new_colours
        Whether colours that the design lacks become new beads; else they are refused.

    Raises
    ------
    BadFileError
        When it is no such picture, with every reason and its places.
    """
    pixels = _pixels(content, design, source)
    mistakes = _soft(pixels, design)
    known = {look.srgb: look for look in reversed(looks(design))}
    painted = zip(pixels.colours, pixels.alpha.tolist(), strict=True)
    strange = dict.fromkeys(colour for colour, alpha in painted if alpha and colour not in known)
    if strange and not mistakes and new_colours:
        if len(known) + len(strange) > MOST_LOOKS:
            raise BadFileError(f"has {len(strange):,} new colours, more than can be beads; {_HARD}", where=[source])
        known |= dict(zip(strange, new_looks(design, list(strange)), strict=True))
    elif strange:
        mistakes += _strange(list(strange), pixels, design)
    if mistakes:
        raise MistakesError(mistakes, where=[source])
    outside = pixels.painted_outside
    notes = (
        (f"{outside} painted pixel{'s lie' if outside > 1 else ' lies'} where no bead is, and went unused",)
        if outside
        else ()
    )
    beads, cells = _recoloured(design, pixels.colours, known)
    return apply_edits(design, beads, cells, notes=notes)


def _open(content: bytes) -> Image.Image:
    """Open a picture; one so large that Pillow would only warn of it is refused by its size."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return Image.open(io.BytesIO(content))


def _pixels(content: bytes, design: Design, source: str) -> _Pixels:
    lines, places = sheet_shape(design.grid)
    try:
        picture = _open(content)
        if picture.size != (places, lines):
            raise BadFileError(_wrong_size(picture.size, (places, lines)), where=[source])
        if picture.mode not in _MODES:
            raise BadFileError(
                "has no plain colours; save it as an 8-bit PNG in indexed or RGB colours", where=[source]
            )
        rgba = np.asarray(picture.convert("RGBA"))
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise BadFileError("is no picture that can be read; save the sheet as PNG", where=[source]) from error
    held = rgba[sheet_places(design.grid)]
    free = on_sheet(design.grid, np.ones(design.grid.count, dtype=np.int64), empty=0) == 0
    marked = codes_from_hex(_NO_BEAD)
    painted = free & (rgba[..., 3] > 0) & (rgba[..., :3] != marked).any(axis=-1)
    return _Pixels([hex_from_codes(pixel) for pixel in held[:, :3]], held[:, 3], int(painted.sum()))


def _wrong_size(found: tuple[int, int], wanted: tuple[int, int]) -> str:
    times = found[0] // wanted[0]
    enlarged = times > 1 and found == (times * wanted[0], times * wanted[1])
    why = f" (it was enlarged {times} times)" if enlarged else ""
    right = f"{wanted[0]} x {wanted[1]}{why}"
    return f"has {found[0]} x {found[1]} pixels where the sheet has {right}; save it without scaling"


def _soft(pixels: _Pixels, design: Design) -> list[str]:
    """Name beads that were rubbed out or half covered."""
    gone = (pixels.alpha == 0).nonzero()[0]
    half = ((pixels.alpha > 0) & (pixels.alpha < 255)).nonzero()[0]
    return [
        f"{what} at {places_words(design.grid, beads)}; {mend}"
        for beads, what, mend in (
            (gone, "no bead", "paint every place where a bead lies"),
            (half, "half-transparent paint", _HARD),
        )
        if beads.size
    ]


def _strange(strange: list[str], pixels: _Pixels, design: Design) -> list[str]:
    colours = np.array(pixels.colours)
    if len(strange) > _MANY:
        beads = np.isin(colours, strange).nonzero()[0]
        where = places_words(design.grid, beads)
        return [
            f"{len(strange):,} colours that the design lacks, as smoothing or scaling makes them, at {where}; {_HARD}"
        ]
    return [
        f"the design has no colour {colour}, at {places_words(design.grid, (colours == colour).nonzero()[0])}; "
        "take one of its colours, or say --new-colours to make it a new bead"
        for colour in strange
    ]


def _recoloured(design: Design, colours: list[str], known: dict[str, Bead]) -> tuple[list[Bead], Ints]:
    """Give each bead the colour of its pixel in its own size; return the beads and the cells."""
    beads = list(design.beads)
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    cells = design.cells.copy()
    own = [bead.srgb for bead in design.beads]
    levels = design.levels
    for cell, (colour, place) in enumerate(zip(colours, design.cells.tolist(), strict=True)):
        if colour != own[place]:
            bead = in_size(known[colour], int(levels[cell]), design.bead_sizes)
            if bead.kind not in place_of:
                place_of[bead.kind] = len(beads)
                beads.append(bead)
            cells[cell] = place_of[bead.kind]
    return beads, cells
