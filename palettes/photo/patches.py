"""The patches that were found in a photograph: where each is, its number as one reads them, and what colour.

A swatch is even, and its mean is its colour. A heap shows each bead from its lit shoulder to the dark gap next to it,
with a white glint on top: its colour is that of the beads' lit side, less the glints. What is used slides from
the one to the other as the lightness scatters more.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.colour_names import describe
from palettes.photo.copies import Copies, Region
from palettes.photo.lighting import Lighting
from palettes.photo.regions import depths
from shared.arrays import Floats, Ints
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, hex_from_codes, lab_from_linear

EVEN, SHADED = 2.0, 6.0
"""Scatter of L* (half of the middle half's range) of a swatch, and of a heap seen bead by bead."""
SWATCH = (0.10, 0.90)
DARK_HEAP, LIGHT_HEAP = (0.40, 0.70), (0.80, 0.96)
"""Between these ranks of lightness lie the pixels that count. Glints add the same light to dark beads as to light ones,
so they spoil dark ones from further down; shade takes a share, so it costs light ones more."""
DARK, LIGHT = 20.0, 70.0
"""Median L* of a dark and of a light heap."""
PUREST = 0.5
"""Part of a heap's pixels, the least whitened, that is free from the rims of glints."""
STEEPEST = 0.3
"""A row that climbs by more than this is no row."""
_RIM = 0.25
"""Part of a patch's depth that is left out along its edge."""
_SAMPLES = 10_000


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
class PhotoReading:
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


def number_as_read(labels: Ints) -> Ints:
    """Return labels 1 … n numbered anew, as one reads them."""
    from scipy.ndimage import center_of_mass, find_objects

    count = int(labels.max())
    centres = np.array(center_of_mass(labels > 0, labels, range(1, count + 1)))[:, ::-1]
    heights = np.array([rows.stop - rows.start for rows, _ in find_objects(labels)], dtype=np.float64)
    numbers = np.zeros(count + 1, dtype=np.int64)
    numbers[reading_order(centres, heights) + 1] = np.arange(1, count + 1)
    return np.asarray(numbers[labels])


def measure_patches(labels: Ints, copies: Copies, lighting: Lighting) -> tuple[Patch, ...]:
    """Return the patches of labels 1 … n over the coarse copy, with colours from the fine one."""
    linear = list(_core_light(labels, copies, lighting))
    colours = [bead_colour(pixels) for pixels in linear]
    codes = codes_from_linear(np.stack(colours))
    names = describe(codes)
    areas = np.bincount(labels.ravel()) * copies.step**2
    return tuple(
        Patch(
            number=place + 1,
            box=box,
            lab=lab_from_linear(colours[place]),
            hex=hex_from_codes(codes[place]),
            name=names[place],
            pixels=int(areas[place + 1]),
            spread=_spread(linear[place], colours[place]),
        )
        for place, box in enumerate(_boxes(labels, copies.step))
    )


def _core_light(labels: Ints, copies: Copies, lighting: Lighting) -> Iterator[Floats]:
    """Yield the light of the fine pixels well inside each patch, shape (n, 3)."""
    from scipy.ndimage import find_objects

    even, depth, times = lighting.even(copies.fine), depths(labels), copies.coarse_step
    for number, (rows, columns) in enumerate(find_objects(labels), start=1):
        own = np.where(labels[rows, columns] == number, depth[rows, columns], 0)
        core = (own > 0) & (own >= _RIM * own.max())
        fine = np.repeat(np.repeat(core, times, axis=0), times, axis=1)
        pixels = even[rows.start * times : rows.stop * times, columns.start * times : columns.stop * times][fine]
        yield pixels[:: max(1, len(pixels) // _SAMPLES)]


def _boxes(labels: Ints, step: int) -> list[Region]:
    from scipy.ndimage import find_objects

    return [
        Region(columns.start * step, rows.start * step, *((s.stop - s.start) * step for s in (columns, rows)))
        for rows, columns in find_objects(labels)
    ]


def _spread(linear: Floats, colour: Floats) -> float:
    return float(np.median(ciede2000(lab_from_linear(linear), lab_from_linear(colour))))


def bead_colour(linear: Floats) -> Floats:
    """Return the linear light of a patch's beads, shape (3,).

    Parameters
    ----------
    linear
        Balanced linear light of the pixels well inside it, shape (n, 3).
    """
    lightness = lab_from_linear(linear)[:, 0]
    heap = _heapness(lightness)
    low, high = np.quantile(lightness, _between(SWATCH, _heap_window(lightness), heap))
    kept = linear[(lightness >= low) & (lightness <= high)]
    white = kept.min(axis=1) / np.maximum(kept.sum(axis=1), 1e-6)
    return np.asarray(kept[white <= np.quantile(white, 1 - (1 - PUREST) * heap)].mean(axis=0))


def _heapness(lightness: Floats) -> float:
    """Return 0 for a swatch, 1 for a heap."""
    quarter, three_quarters = np.quantile(lightness, [0.25, 0.75])
    return float(np.clip(((three_quarters - quarter) / 2 - EVEN) / (SHADED - EVEN), 0, 1))


def _heap_window(lightness: Floats) -> tuple[float, float]:
    return _between(DARK_HEAP, LIGHT_HEAP, float(np.clip((np.median(lightness) - DARK) / (LIGHT - DARK), 0, 1)))


def _between(one: tuple[float, float], other: tuple[float, float], share: float) -> tuple[float, float]:
    return one[0] + share * (other[0] - one[0]), one[1] + share * (other[1] - one[1])


def reading_order(centres: Floats, heights: Floats) -> Ints:
    """Return which patch comes first, second, …; a photograph may be somewhat askew.

    Parameters
    ----------
    centres
        x and y of each patch, shape (n, 2), y down.
    heights
        How high each is, shape (n,).

    Examples
    --------
    >>> reading_order(np.array([[9.0, 1.5], [1.0, 1.0], [1.0, 9.0]]), np.array([2.0, 2.0, 2.0])).tolist()
    [1, 0, 2]
    """
    level = centres[:, 1] - _tilt(centres) * centres[:, 0]
    rows: list[list[int]] = []
    for patch in np.argsort(level, kind="stable").tolist():
        if rows and level[patch] - np.mean(level[rows[-1]]) <= 0.5 * float(np.median(heights)):
            rows[-1].append(patch)
        else:
            rows.append([patch])
    return np.array([patch for row in rows for patch in sorted(row, key=lambda one: centres[one, 0])], dtype=np.int64)


def _tilt(centres: Floats) -> float:
    """Return the median slope from each patch to the nearest one on its right that lies about level with it."""
    slopes = []
    for centre in centres:
        across, down = (centres - centre).T
        level = (across > 0) & (np.abs(down) <= STEEPEST * across)
        if level.any():
            nearest = np.where(level, across, np.inf).argmin()
            slopes.append(down[nearest] / across[nearest])
    return float(np.median(slopes)) if slopes else 0.0
