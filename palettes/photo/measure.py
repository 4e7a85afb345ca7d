"""Measure the patches that were found: where each is and what colour."""

from collections.abc import Iterator

import numpy as np

from palettes.colour_names import describe
from palettes.photo.colour import bead_colour
from palettes.photo.lighting import Lighting
from palettes.photo.order import reading_order
from palettes.photo.reduce import Copies
from palettes.photo.regions import depths
from palettes.photo.values import Patch, Region
from shared.arrays import Floats, Ints
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, hex_from_codes, lab_from_linear

_RIM = 0.25
"""Part of a patch's depth that is left out along its edge."""
_SAMPLES = 10_000


def in_reading_order(labels: Ints) -> Ints:
    """Return labels 1 … n numbered anew, as one reads them."""
    from scipy.ndimage import center_of_mass, find_objects

    count = int(labels.max())
    centres = np.array(center_of_mass(labels > 0, labels, range(1, count + 1)))[:, ::-1]
    heights = np.array([rows.stop - rows.start for rows, _ in find_objects(labels)], dtype=np.float64)
    numbers = np.zeros(count + 1, dtype=np.int64)
    numbers[reading_order(centres, heights) + 1] = np.arange(1, count + 1)
    return np.asarray(numbers[labels])


def measured(labels: Ints, copies: Copies, lighting: Lighting) -> tuple[Patch, ...]:
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
