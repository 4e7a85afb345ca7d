"""Word rows give back the design that they were written from."""

from dataclasses import replace
from typing import Any

import numpy as np
from good_rows import as_first_form
from hypothesis import given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from strategies import SIZES, bead_of, designs

from convert.rows.parser import parse_rows, read_rows
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid

AWKWARD = [
    "#2",
    "# 3 A",
    "shell; odd-count turn",
    "3 A, 1 B",
    "= #ffffff",
    "12",
    "A11",
    "two  blanks",
    "…",
    "\u6f6e",
    "bead A",
    "(#2f4a5a)",
    "shell (#2f4a5a",
    ", sand (",
    "Row 3 → 3: 3 A",
    "5 columns, 9 rows, odd-count flat peyote, tail at left",
]


def plain_lines() -> st.SearchStrategy[str]:
    """Return any line of text without control characters and other blanks than the plain one."""
    letters = st.characters(exclude_categories=["C", "Z"]) | st.just(" ")
    return st.sampled_from(AWKWARD) | st.text(letters, min_size=1, max_size=12).map(str.strip).filter(bool)


@st.composite
def named_designs(draw: Any) -> Design:
    design = draw(designs())
    beads = tuple(replace(bead, name=draw(plain_lines())) for bead in design.beads)
    return replace(design, title=draw(plain_lines()), beads=beads)


@given(named_designs(), st.randoms(use_true_random=False))
def test_any_design_comes_back_from_either_form_and_from_both_mixed(design: Design, random: Any) -> None:
    text = rows_text(design)
    first = as_first_form(text)
    pairs = zip(text.splitlines(), first.splitlines(), strict=True)
    mixed = "\n".join(random.choice(pair) for pair in pairs)
    for form in (text, first, mixed):
        assert parse_rows(form, SIZES) == design


@settings(max_examples=40)
@given(named_designs())
def test_an_independent_stitcher_makes_the_same_piece(design: Design) -> None:
    piece = stitch(rows_text(design))
    grid = design.grid
    keys = [design.beads[cell].kind for cell in design.cells]
    expected = dict(zip(zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True), keys, strict=True))
    assert piece.cells == expected
    assert (piece.title, piece.columns, piece.rows) == (design.title, grid.columns, grid.rows)
    assert piece.tail == {"right": "left", "left": "right"}[grid.hand]
    assert piece.beads == {bead.kind: (bead.size, bead.srgb, bead.name) for bead in design.beads}


def test_more_colours_than_letters() -> None:
    grid = Grid(61, 12)
    beads = tuple(bead_of(colour, level) for colour in range(30) for level in range(4))
    design = Design("Sea urchin", grid, SIZES, beads, np.arange(grid.count) % len(beads))
    assert beads[-1].kind == "AF6"
    assert parse_rows(rows_text(design), SIZES) == design


@settings(max_examples=20)
@given(designs())
def test_the_line_of_each_row_is_known(design: Design) -> None:
    text = rows_text(design, full=True)
    reading = read_rows(text, SIZES)
    lines = text.splitlines()
    for row in range(1, design.grid.rows + 1):
        assert lines[reading.line_of(row) - 1].startswith("Rows 1+2 " if row < 3 else f"Row {row} ")
