"""Makes the bundled palettes anew: ``python -m palettes.make_bundled``. Hummock itself never calls it.

``coast`` is spread evenly in CIELAB by construction. The eight corners of sRGB and four greys are given; further
colours are put one by one where the gamut is farthest from all so far; then all but the given ones move to the
middles of the parts of the gamut that are nearest to them, again and again (S. P. Lloyd, "Least squares
quantization in PCM", IEEE Transactions on Information Theory 28(2), 1982).
"""

from itertools import product
from pathlib import Path

import numpy as np

from palettes.bundled_names import COAST, PEBBLES
from palettes.colour import Supply, colour_from_hex
from palettes.formats.write_csv import palette_csv
from palettes.palette import Palette
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.arrays import Floats
from shared.colour import codes_from_hex, codes_from_linear, hex_from_codes, lab_from_codes, linear_from_lab

COUNT = 120
GREYS = (48, 94, 145, 198)
"""8-bit codes of greys with L near 20, 40, 60 and 80."""

_STEP = 4.0
"""Lab units between the points that stand for the gamut."""

_ROUNDS = 60
_HALF_COUNT = 40
_ALL_SIZES, _SMALL_SIZES = parse_sizes("11c 11 8 6"), parse_sizes("11c 11")


def bundled_texts() -> dict[str, str]:
    """Return the text of each bundled file by its name."""
    everywhere = (Supply(EVERY_SIZE),)
    pebbles = [colour_from_hex(name, srgb, everywhere, finish="opaque") for srgb, name in PEBBLES.items()]
    made = spread_colours()
    if set(made) != set(COAST):
        raise ValueError(f"no names for {set(made) - set(COAST)}; names to spare for {set(COAST) - set(made)}")
    coast = [colour_from_hex(name, srgb, everywhere) for srgb, name in COAST.items()]
    palettes = (
        Palette("coast", tuple(coast)),
        Palette("pebbles", tuple(pebbles)),
        _half_tide(list(COAST)),
    )
    return {f"{palette.name}.csv": palette_csv(palette) for palette in palettes}


def spread_colours() -> list[str]:
    """Return the colours of ``coast`` as ``#rrggbb``."""
    corners = list(product((0, 255), repeat=3))
    given = lab_from_codes(np.array([*corners, *((grey,) * 3 for grey in GREYS)], dtype=np.uint8))
    gamut = _gamut()
    labs = _moved_to_middles(gamut, _farthest_first(gamut, given, COUNT), len(given))
    return [hex_from_codes(codes) for codes in codes_from_linear(linear_from_lab(labs))]


def _half_tide(coast: list[str]) -> Palette:
    """Take an even choice of ``coast``, and make every second colour of it in the small sizes only."""
    labs = lab_from_codes(np.stack([codes_from_hex(srgb) for srgb in coast]))
    taken = {tuple(lab) for lab in _farthest_first(labs, labs[:1], _HALF_COUNT).tolist()}
    chosen = [srgb for srgb, lab in zip(coast, labs.tolist(), strict=True) if tuple(lab) in taken]
    sizes = (_ALL_SIZES, _SMALL_SIZES)
    return Palette(
        "half-tide",
        tuple(
            colour_from_hex(COAST[srgb], srgb, tuple(Supply(size) for size in sizes[place % 2]))
            for place, srgb in enumerate(chosen)
        ),
    )


def _gamut() -> Floats:
    """Return the points of a cubic lattice in CIELAB that sRGB can show, shape (points, 3)."""
    axes = np.arange(0, 100.1, _STEP), np.arange(-88, 104, _STEP), np.arange(-108, 100, _STEP)
    labs = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    linear = linear_from_lab(labs)
    return np.asarray(labs[np.all((linear > -1e-6) & (linear < 1 + 1e-6), axis=1)])


def _farthest_first(candidates: Floats, given: Floats, count: int) -> Floats:
    chosen, far = given, _squares(candidates, given).min(axis=1)
    while len(chosen) < count:
        chosen = np.concatenate([chosen, candidates[far.argmax()][None]])
        far = np.minimum(far, _squares(candidates, chosen[-1:])[:, 0])
    return chosen


def _moved_to_middles(points: Floats, middles: Floats, given: int) -> Floats:
    for _ in range(_ROUNDS):
        nearest = _squares(points, middles).argmin(axis=1)
        sums = np.stack([np.bincount(nearest, axis, len(middles)) for axis in points.T], axis=1)
        means = sums / np.bincount(nearest, minlength=len(middles))[:, None]
        middles = np.concatenate([middles[:given], means[given:]])
    return middles


def _squares(labs_1: Floats, labs_2: Floats) -> Floats:
    total = np.zeros((len(labs_1), len(labs_2)))
    for axis_1, axis_2 in zip(labs_1.T, labs_2.T, strict=True):
        total += (axis_1[:, None] - axis_2) ** 2
    return total


def main() -> None:
    """Write the files into the folder ``bundled`` beside this script."""
    for name, text in bundled_texts().items():
        (Path(__file__).with_name("bundled") / name).write_bytes(text.encode())


if __name__ == "__main__":
    main()
