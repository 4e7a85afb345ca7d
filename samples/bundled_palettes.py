"""Makes the bundled palettes of invented colours anew: ``python samples/bundled_palettes.py``.

``coast`` is spread evenly in CIELAB by construction. The eight corners of sRGB and four greys are given; further
colours are put one by one where the gamut is farthest from all so far; then all but the given ones move to the
middles of the parts of the gamut that are nearest to them, again and again (S. P. Lloyd, "Least squares
quantization in PCM", IEEE Transactions on Information Theory 28(2), 1982).
"""

from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

import palettes
from palettes.colour import Supply, colour_from_hex
from palettes.formats.csv_table import palette_csv
from palettes.palette import Palette
from palettes.sizes import EVERY_SIZE, parse_sizes
from shared.colour import codes_from_hex, codes_from_linear, hex_from_codes, lab_from_codes, linear_from_lab

Floats = NDArray[np.float64]

COUNT = 120
GREYS = (48, 94, 145, 198)
"""8-bit codes of greys with L near 20, 40, 60 and 80."""

_STEP = 4.0
"""Lab units between the points that stand for the gamut."""

_ROUNDS = 60
_HALF_COUNT = 40
_ALL_SIZES, _SMALL_SIZES = parse_sizes("11c 11 8 6"), parse_sizes("11c 11")


COAST = {
    "#ffffff": "white",
    "#c6c6c6": "light grey",
    "#919191": "mid grey",
    "#5e5e5e": "dark grey",
    "#303030": "charcoal",
    "#000000": "black",
    "#e56f86": "rose pink",
    "#af7f83": "dusty rose",
    "#e5396d": "raspberry",
    "#e23847": "bright red",
    "#b15959": "faded red",
    "#b23043": "crimson",
    "#754849": "mauve brown",
    "#83263f": "wine red",
    "#491a1b": "dark maroon",
    "#e1b9a7": "shell pink",
    "#e19281": "salmon pink",
    "#e77029": "buoy orange",
    "#e66c57": "coral",
    "#ff0000": "pure red",
    "#b86a48": "terracotta",
    "#e13c23": "scarlet",
    "#b65820": "rust orange",
    "#91684d": "driftwood",
    "#a92f1d": "brick red",
    "#792a1d": "dark rust",
    "#dfbb7b": "dry sand",
    "#d3ae41": "mustard",
    "#e8992c": "amber",
    "#e4995f": "apricot",
    "#a28d68": "wet sand",
    "#b87c29": "ochre",
    "#84521c": "brown",
    "#55391d": "dark brown",
    "#ffff00": "pure yellow",
    "#e1e5ba": "pale cream",
    "#dee693": "pale lime",
    "#e1e369": "lemon",
    "#d1e53c": "lime yellow",
    "#e7ca2f": "sunny yellow",
    "#b1b98c": "pale moss",
    "#b4b65d": "light olive",
    "#a4b430": "lichen green",
    "#998131": "dark mustard",
    "#738324": "moss green",
    "#5d581f": "olive",
    "#00ff00": "pure green",
    "#a5ee37": "lime green",
    "#abe970": "apple green",
    "#abe698": "pale green",
    "#53e86b": "spring green",
    "#5ce73b": "bright green",
    "#61e087": "mint green",
    "#82c28c": "soft green",
    "#7fc431": "leaf green",
    "#7eb24d": "meadow green",
    "#46b439": "grass green",
    "#44ab66": "sea green",
    "#7c9657": "dune grass",
    "#3f8828": "kelp green",
    "#637152": "grey green",
    "#386a29": "fern green",
    "#284c25": "dark green",
    "#273520": "blackish green",
    "#b0e8d0": "sea foam",
    "#65e7b4": "aqua green",
    "#56cbb3": "turquoise",
    "#80a997": "sea mist",
    "#3f8d69": "jade green",
    "#00ffff": "pure cyan",
    "#6bd7e2": "shallow water",
    "#48a0a8": "tide pool",
    "#386b65": "deep teal",
    "#a7d1e6": "pale sky",
    "#58b0e0": "sky blue",
    "#86a0b8": "sea haze",
    "#47799a": "harbour blue",
    "#2b4658": "wet slate",
    "#9ca7df": "pale periwinkle",
    "#9a8de1": "light violet",
    "#538ad6": "clear blue",
    "#5471df": "bright blue",
    "#3c5385": "mussel blue",
    "#454c99": "dusk blue",
    "#202045": "midnight blue",
    "#d8bee0": "pale lilac",
    "#de9ce5": "lilac",
    "#e374d9": "candy pink",
    "#b789b8": "heather",
    "#ff00ff": "pure magenta",
    "#c55ee3": "orchid",
    "#a671d8": "amethyst",
    "#da3bde": "bright magenta",
    "#847593": "grey violet",
    "#8860e2": "bright violet",
    "#a85da7": "thistle",
    "#ab33ea": "vivid purple",
    "#7b609e": "dull violet",
    "#5151e5": "iris blue",
    "#9a32a5": "purple",
    "#8930c2": "strong purple",
    "#602be8": "vivid violet",
    "#4e44b0": "indigo blue",
    "#614563": "dark heather",
    "#0000ff": "pure blue",
    "#6d2b81": "plum purple",
    "#4624bc": "indigo",
    "#451d90": "dark violet",
    "#451b53": "dark plum",
    "#2c1b68": "deep indigo",
    "#e69eb6": "pale pink",
    "#e173af": "sea pink",
    "#e439be": "hot pink",
    "#e63c94": "bright pink",
    "#a75d7f": "dull rose",
    "#b73492": "deep pink",
    "#b4356a": "urchin pink",
    "#852a6a": "mulberry",
    "#672549": "bramble",
    "#34162a": "aubergine",
}

PEBBLES = {
    "#f2efe6": "chalk",
    "#e2d7c0": "bone",
    "#d9bd84": "sand",
    "#e0c65a": "straw",
    "#e9a23b": "marigold",
    "#e5735c": "coral",
    "#cf3232": "poppy",
    "#9a3b2c": "brick",
    "#b5562b": "rust",
    "#5b4130": "bark",
    "#e9b3a6": "blush",
    "#c4587a": "rose",
    "#6b2f4f": "plum",
    "#9a8abf": "lavender",
    "#5f4690": "violet",
    "#23305c": "navy",
    "#4a6a97": "denim",
    "#8db8d8": "sky",
    "#2f7a80": "teal",
    "#9fd0b8": "mint",
    "#5d9a4a": "grass",
    "#6f7436": "moss",
    "#8f9193": "pebble grey",
    "#20242a": "ink",
}


def bundled_texts() -> dict[str, str]:
    """Return the text of each bundled file by its name."""
    everywhere = (Supply(EVERY_SIZE),)
    pebbles = [colour_from_hex(name, srgb, everywhere, finish="opaque") for srgb, name in PEBBLES.items()]
    made = spread_colours()
    if set(made) != set(COAST):
        raise ValueError(f"no names for {set(made) - set(COAST)}; names to spare for {set(COAST) - set(made)}")
    coast = [colour_from_hex(name, srgb, everywhere) for srgb, name in COAST.items()]
    made_up = (Palette("coast", tuple(coast)), Palette("pebbles", tuple(pebbles)), half_tide(list(COAST)))
    return {f"{palette.name}.csv": palette_csv(palette) for palette in made_up}


def spread_colours() -> list[str]:
    """Return the colours of ``coast`` as ``#rrggbb``."""
    corners = list(product((0, 255), repeat=3))
    given = lab_from_codes(np.array([*corners, *((grey,) * 3 for grey in GREYS)], dtype=np.uint8))
    gamut = gamut_points()
    labs = move_to_middles(gamut, farthest_first(gamut, given, COUNT), len(given))
    return [hex_from_codes(codes) for codes in codes_from_linear(linear_from_lab(labs))]


def half_tide(coast: list[str]) -> Palette:
    """Take an even choice of ``coast``, and make every second colour of it in the small sizes only."""
    labs = lab_from_codes(np.stack([codes_from_hex(srgb) for srgb in coast]))
    taken = {tuple(lab) for lab in farthest_first(labs, labs[:1], _HALF_COUNT).tolist()}
    chosen = [srgb for srgb, lab in zip(coast, labs.tolist(), strict=True) if tuple(lab) in taken]
    sizes = (_ALL_SIZES, _SMALL_SIZES)
    return Palette(
        "half-tide",
        tuple(
            colour_from_hex(COAST[srgb], srgb, tuple(Supply(size) for size in sizes[place % 2]))
            for place, srgb in enumerate(chosen)
        ),
    )


def gamut_points() -> Floats:
    """Return the points of a cubic lattice in CIELAB that sRGB can show, shape (points, 3)."""
    axes = np.arange(0, 100.1, _STEP), np.arange(-88, 104, _STEP), np.arange(-108, 100, _STEP)
    labs = np.stack(np.meshgrid(*axes, indexing="ij"), axis=-1).reshape(-1, 3)
    linear = linear_from_lab(labs)
    return np.asarray(labs[np.all((linear > -1e-6) & (linear < 1 + 1e-6), axis=1)])


def farthest_first(candidates: Floats, given: Floats, count: int) -> Floats:
    """Return the given colours and candidates, each the farthest from all before, shape (count, 3)."""
    chosen, far = given, squares(candidates, given).min(axis=1)
    while len(chosen) < count:
        chosen = np.concatenate([chosen, candidates[far.argmax()][None]])
        far = np.minimum(far, squares(candidates, chosen[-1:])[:, 0])
    return chosen


def move_to_middles(points: Floats, middles: Floats, given: int) -> Floats:
    """Move all but the first given middles to the means of the points that are nearest to them."""
    for _ in range(_ROUNDS):
        nearest = squares(points, middles).argmin(axis=1)
        sums = np.stack([np.bincount(nearest, axis, len(middles)) for axis in points.T], axis=1)
        means = sums / np.bincount(nearest, minlength=len(middles))[:, None]
        middles = np.concatenate([middles[:given], means[given:]])
    return middles


def squares(labs_1: Floats, labs_2: Floats) -> Floats:
    """Return squared distances in Lab, shape (n, m)."""
    total = np.zeros((len(labs_1), len(labs_2)))
    for axis_1, axis_2 in zip(labs_1.T, labs_2.T, strict=True):
        total += (axis_1[:, None] - axis_2) ** 2
    return total


def main() -> None:
    """Write the files into the folder that Hummock reads them from."""
    for name, text in bundled_texts().items():
        (Path(palettes.__file__).with_name("bundled") / name).write_bytes(text.encode())


if __name__ == "__main__":
    main()
