"""Hypothesis strategies for the values of the domain, shared by all tests."""

from typing import Any

import numpy as np
from hypothesis import strategies as st

from shared.beads import default_ladder
from shared.colour import codes_from_hex, hex_from_codes, lab_from_codes
from shared.design import Bead, Design, letters
from shared.grid import Grid

LADDER = default_ladder()


def grids(*, most_columns: int = 12, most_rows: int = 16) -> st.SearchStrategy[Grid]:
    return st.builds(
        Grid,
        columns=st.integers(1, most_columns),
        rows=st.integers(2, most_rows),
        hand=st.sampled_from(["right", "left"]),
        start=st.sampled_from(["top", "bottom"]),
    )


def bead_of(colour: int, rung: int, name: str = "sand") -> Bead:
    codes = np.array([colour * 37 % 256, colour * 91 % 256, colour * 151 % 256], dtype=np.uint8)
    lab = tuple(float(v) for v in np.round(lab_from_codes(codes), 4))
    key = letters(colour) + LADDER.marks[rung]
    return Bead(key, LADDER.sizes[rung].name, hex_from_codes(codes), lab, f"{name} {colour + 1}")


def lab_of(srgb: str) -> tuple[float, float, float]:
    lightness, a, b = np.round(lab_from_codes(codes_from_hex(srgb)), 4).tolist()
    return lightness, a, b


@st.composite
def designs(draw: Any, *, most_columns: int = 12, most_rows: int = 16) -> Design:
    """Any design: cells at random, the ladder rule not kept."""
    grid = draw(grids(most_columns=most_columns, most_rows=most_rows))
    kinds = draw(st.lists(st.tuples(st.integers(0, 30), st.integers(0, 3)), min_size=1, max_size=6, unique=True))
    seed = draw(st.integers(0, 2**32 - 1))
    cells = np.random.default_rng(seed).integers(0, len(kinds), grid.count)
    return Design("Tide pool", grid, LADDER, tuple(bead_of(*kind) for kind in kinds), cells)
