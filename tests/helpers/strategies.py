"""Hypothesis strategies for the values of the domain, shared by all tests."""

from typing import Any

import numpy as np
from hypothesis import strategies as st

from palettes.colour import Colour, Supply, colour_from_hex, colour_from_lab
from palettes.palette import Palette, folded
from shared.beads import default_bead_sizes
from shared.colour import codes_from_hex, hex_from_codes, lab_from_codes
from shared.design import Bead, Design
from shared.grid import Grid
from shared.letters import letters_at

SIZES = default_bead_sizes()


@st.composite
def grids(draw: Any, *, most_columns: int = 12, most_rows: int = 16, drops: tuple[int, ...] = (1, 2)) -> Grid:
    drop = draw(st.sampled_from(drops))
    return Grid(
        columns=drop * draw(st.integers(2, most_columns // drop)),
        rows=draw(st.integers(2, most_rows)),
        hand=draw(st.sampled_from(["right", "left"])),
        start=draw(st.sampled_from(["top", "bottom"])),
        drop=drop,
    )


def bead_of(colour: int, level: int, name: str = "sand") -> Bead:
    codes = np.array([colour * 37 % 256, colour * 91 % 256, colour * 151 % 256], dtype=np.uint8)
    lab = tuple(float(v) for v in np.round(lab_from_codes(codes), 4))
    kind = letters_at(colour) + SIZES.marks[level]
    return Bead(kind, SIZES.sizes[level].name, hex_from_codes(codes), lab, f"{name} {colour + 1}")


def lab_of(srgb: str) -> tuple[float, float, float]:
    lightness, a, b = np.round(lab_from_codes(codes_from_hex(srgb)), 4).tolist()
    return lightness, a, b


@st.composite
def designs(draw: Any, *, most_columns: int = 12, most_rows: int = 16) -> Design:
    """Any design: cells at random, the size-step rule not kept."""
    grid = draw(grids(most_columns=most_columns, most_rows=most_rows))
    kinds = draw(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 3)), min_size=1, max_size=6, unique=True))
    seed = draw(st.integers(0, 2**32 - 1))
    cells = np.random.default_rng(seed).integers(0, len(kinds), grid.count)
    return Design("Tide pool", grid, SIZES, tuple(bead_of(*kind) for kind in kinds), cells)


SIZE_NAMES = ("cylinder 11/0", "round 11/0", "round 8/0", "round 6/0", "cylinder 8/0", "round 15/0", "all")


def words(*, most: int = 24) -> st.SearchStrategy[str]:
    """Printable words with single blanks, many of them with what tables and spreadsheets give a meaning to."""
    plain = st.text(st.sampled_from("abcäßé 0123456789=+-@'\",;#\t|/\uff1d"), min_size=1, max_size=most)
    wild = st.text(st.characters(exclude_categories=["C", "Zl", "Zp"]), min_size=1, max_size=most)
    return st.one_of(plain, wild).map(lambda text: " ".join(text.split())).filter(lambda t: t and t.isprintable())


FIGURES = st.sampled_from([None, None, 4, 0.25, 1 / 3, 1e-9, 999_999.999])


@st.composite
def palettes(draw: Any, *, most: int = 3) -> Palette:
    """Any palette: colours on the screen's lattice and off it, in any sizes."""
    names = draw(st.lists(words(), min_size=1, max_size=most, unique_by=folded))
    return Palette(draw(words(most=8)), tuple(draw(colours(name)) for name in names))


@st.composite
def colours(draw: Any, name: str) -> Colour:
    sizes = draw(st.lists(st.sampled_from(SIZE_NAMES), min_size=1, max_size=3, unique=True))
    codes = st.sampled_from(["", draw(words(most=8)), "=1", "'-1"])
    made = tuple(Supply(size, draw(codes), draw(FIGURES), draw(FIGURES), draw(FIGURES)) for size in sizes)
    finish = draw(codes)
    if draw(st.booleans()):
        srgb = f"#{draw(st.integers(0, 0xFFFFFF)):06x}"
        return colour_from_hex(name, srgb, made, finish=finish)
    lab = draw(st.tuples(st.floats(0, 100), st.floats(-140, 140), st.floats(-140, 140)))
    return colour_from_lab(name, lab, made, finish=finish)
