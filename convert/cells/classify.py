"""Tells what style a picture is, from a hundred thousand or so of its pixels."""

from math import sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.cells.choices import SeenStyle
from convert.cells.outlined import try_ink
from convert.cells.supersample import View
from convert.image.raster import Picture
from shared.arrays import Floats
from shared.colour import codes_from_linear, lab_from_codes, lightness_from_linear, linear_from_srgb
from shared.grid import Grid

Codes = NDArray[np.int64]

MOST_PIXELS = 120_000
"""About so many are looked at, evenly spread over the part that is used."""

_FEWEST_BEADS = 25
"""A line is taken for thin only beside a bead of a work at least so many beads wide and long."""

_LIGHT = 65
"""Lab lightness of the ground of a drawing at least."""

_UNEVEN = 12
"""So far from its middle a ground may be …"""

_SPECKLE = 8
"""… and so much darker than the ground about it a pixel that is no ink."""

_MOST_INK = 0.3
"""Share of a drawing that is ink at the most."""

_FLAT = 0.18
"""Share on few flat colours, of what is not on the commonest, from which a picture is in flat areas."""

_FLAT_BY_LINES = 0.05
"""The same where lines are found as well: a small JPEG has soft rims on both sides of each. Photographs have 0.04 at
most, but for grey walls and scans of text …"""

_FEW = 0.93
"""… so that what is not flat otherwise must also have this share of its areas in a dozen colours, and be coloured.
Drawings have 0.98 and more, coloured photographs with so much of one ink 0.90 at most."""

_LEAST_INK = 0.075
"""Share of the beads of a trial that the commonest ink must change, see `try_ink`. Of drawings by script, flat ones
came to 0.04, a quilt of narrow patches to 0.07; outlined ones to 0.10 and more, few with sparse broad lines to 0.08."""

_ONE_PEN = 0.82
"""Share of all beads changed by any ink that the commonest must have. Outlined drawings came to 0.87 and more, but for
lines a pixel wide in a strong JPEG, and a flat picture full of narrow bands in many colours to 0.77."""

_LEAST_PAINTED = 0.03
"""Share of the beads of a trial with another colour than ground and ink; lines without came to 0, outlines to 0.05."""

_TINTED = 8.0
"""Of the two chroma axes of Lab: a pixel as light as the ground and further off than this is coloured in …"""

_LEAST_TINTED = 0.03
"""… and that share of a drawing in lines makes it an outlined one."""

_REASONS: dict[SeenStyle, str] = {
    "photo": "many soft colours",
    "flat": "a few flat colours",
    "outlined": "flat colours with lines round them",
    "lines": "thin lines on an even ground",
}


class Guess(NamedTuple):
    """What a picture seems to be."""

    style: SeenStyle
    """The style."""
    reason: str
    """What it was told by, in words."""


class _Flatness(NamedTuple):
    ground: float
    """Share of the pixels on the commonest flat colour."""
    others: float
    """Share of the rest on the next commonest flat colours."""


def guess_style(view: View, grid: Grid) -> Guess:
    """Guess how a picture is drawn.

    A sketch has an even ground and little else than lines narrower than a bead or two. A logo has whole areas of
    exactly one colour, and few such colours; if ink changes much of that, it is an outlined drawing, and so is a
    sketch that is coloured in. Anything else is a photo: that treatment is right for all pictures, only not the best.

    Parameters
    ----------
    view
        The picture and the place of the work on it.
    grid
        The lattice of the work; lines are thin or not next to a bead.
    """
    seen = _region(view)
    codes = _pixels(view.picture, seen)
    lightness = _lightness(codes)
    a_bead = lightness.shape[1] * view.window.width / (seen[1].stop - seen[1].start) / grid.columns
    flat = _flatness(view.picture, seen)
    style: SeenStyle = "flat" if flat.others >= _FLAT else "photo"
    if _drawn_in_lines(lightness, a_bead) or (flat.ground >= 0.6 and _drawn_in_lines(100 - lightness, a_bead)):
        style = "lines"
    # Only what can be an outlined drawing is tried: a photograph seldom is flat anywhere, and shall not wait.
    if flat.others >= _FLAT_BY_LINES or (style == "lines" and _is_coloured_in(codes, lightness)):
        ink = try_ink(view, grid, dark_ground=float(np.median(lightness)) < 50)
        drawn = style != "photo" or (ink.few >= _FEW and ink.tinted >= _LEAST_PAINTED)
        if drawn and ink.share >= _LEAST_INK and ink.of_all >= _ONE_PEN:
            style = "outlined" if ink.painted >= _LEAST_PAINTED else "lines"
    return Guess(style, _REASONS[style])


def has_dark_ground(view: View) -> bool:
    """Return whether more than half of a picture is darker than the middle of Lab lightness."""
    return float(np.median(_lightness(_pixels(view.picture, _region(view))))) < 50


def _region(view: View) -> tuple[slice, slice]:
    """Return the pixel rows and columns of the part that is used."""
    height, width = view.picture.shape
    edges = []
    for first, second, end in (("top", "bottom", height), ("left", "right", width)):
        low = max(getattr(view.window, first), getattr(view.bounds, first), 0)
        high = min(getattr(view.window, second), getattr(view.bounds, second), end)
        begin = min(int(low), end - 1)
        edges.append(slice(begin, max(int(high), begin + 1)))
    return edges[0], edges[1]


def _pixels(picture: Picture, seen: tuple[slice, slice], *, down: int = 0, right: int = 0, less: int = 0) -> Codes:
    """Return 8-bit codes of evenly spread pixels, shape (rows, columns, 3).

    ``down`` and ``right`` shift them all; ``less`` leaves room for that at the far sides.
    """
    rows, columns = seen
    step = max(1, int(sqrt((rows.stop - rows.start) * (columns.stop - columns.start) / MOST_PIXELS)))
    taken = (
        slice(rows.start + down, max(rows.stop - less, rows.start + 1) + down, step),
        slice(columns.start + right, max(columns.stop - less, columns.start + 1) + right, step),
    )
    pixels = picture.pixels(*taken)
    codes = _eight_bits(pixels.codes)
    codes = np.broadcast_to(codes, (*codes.shape[:2], 3))
    if pixels.alpha is None:
        return codes
    opacity = _eight_bits(pixels.alpha)[..., None]
    return (codes * opacity + codes_from_linear(picture.ground) * (255 - opacity) + 127) // 255


def _eight_bits(codes: NDArray[np.uint8] | NDArray[np.uint16]) -> Codes:
    return codes.astype(np.int64) >> (8 * (codes.itemsize - 1))


def _lightness(codes: Codes) -> Floats:
    """Return Lab lightness of 8-bit codes, shape (rows, columns)."""
    return lightness_from_linear(linear_from_srgb(np.arange(256) / 255)[codes])


def _flatness(picture: Picture, seen: tuple[slice, slice]) -> _Flatness:
    """Measure how much of a picture is exactly flat: a pixel equals those a little to the right and below."""
    little = max(1, round(max(side.stop - side.start for side in seen) / 300))
    here = _pixels(picture, seen, less=little)
    if min(side.stop - side.start for side in seen) <= little:
        return _Flatness(0, 0)
    flat = (here == _pixels(picture, seen, right=little, less=little)).all(axis=2)
    flat &= (here == _pixels(picture, seen, down=little, less=little)).all(axis=2)
    colours = (here * [1 << 16, 1 << 8, 1]).sum(axis=2)
    counts = np.sort(np.unique(colours[flat], return_counts=True)[1])[::-1]
    ground, others = int(counts[:1].sum()), int(counts[1:6].sum())
    return _Flatness(ground / flat.size, others / max(flat.size - ground, 1))


def _is_coloured_in(codes: Codes, lightness: Floats) -> bool:
    """Return whether parts of a drawing in lines have another colour than its ground, though they are as light."""
    chroma = lab_from_codes(codes.astype(np.uint8))[..., 1:]
    off = np.linalg.norm(chroma - np.median(chroma, axis=(0, 1)), axis=2)
    as_light = np.abs(lightness - np.median(lightness)) <= _UNEVEN
    return bool((as_light & (off > _TINTED)).mean() >= _LEAST_TINTED)


def _drawn_in_lines(lightness: Floats, a_bead: float) -> bool:
    """Tell whether lines narrower than two beads, on an even light ground, are all there is."""
    a_bead = min(a_bead, min(lightness.shape) / _FEWEST_BEADS)
    size = (2 * round(a_bead * 1.25) + 1, 2 * round(a_bead) + 1)
    if min(size) < 5 or not _has_even_ground(lightness):
        return False

    from scipy.ndimage import grey_closing

    ground = grey_closing(lightness, size=size, mode="nearest")
    contrast = ground - lightness
    ink = contrast > 15
    middle = np.median(ground)
    uneven = float((np.abs(ground - middle) > _UNEVEN).mean())
    share = float(ink.mean())
    return bool(
        middle >= _LIGHT
        and 0.002 <= share <= _MOST_INK
        and uneven <= max(0.01, share / 2)
        and np.median(contrast[ink]) >= 30
        and (contrast[~ink] <= _SPECKLE).mean() >= 0.95
    )


def _has_even_ground(lightness: Floats) -> bool:
    """Tell whether enough pixels can be an even light ground; quick, and never wrong about what is none.

    Of all pixels at most `_MOST_INK` are ink, half as many more lie where the ground is uneven, and of the rest
    19 of 20 are within `_SPECKLE` of a ground that is within `_UNEVEN` of its middle.
    """
    counts, _ = np.histogram(lightness, bins=np.arange(-1, 103))
    share = np.append(0, np.cumsum(counts)) / lightness.size
    middles = np.arange(_LIGHT, 101)
    below, above = np.maximum(middles - _UNEVEN - _SPECKLE, 0), np.minimum(middles + 1 + _UNEVEN, 101)
    least = 1 - 1.5 * _MOST_INK - 0.05
    return bool((share[above + 2] - share[below] >= least).any())
