"""The rows of a booklet with the repeat told once, before they are set on pages."""

import pytest
from booklets import KINDS, repeated_design
from hypothesis import given
from hypothesis import strategies as st
from strategies import SIZES, designs

from convert.documents.booklet.row_pages import row_parts
from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text, write_row


def as_text(design):
    """The parts as word rows."""
    head = [line for line in rows_text(design).splitlines() if not line.startswith(("#", "Row"))]
    lines = []
    for part in row_parts(design):
        lines += [write_row(row) for row in part.rows]
        lines += part.refers
    return "\n".join([*head, *lines])


@given(designs())
def test_any_design_comes_back(design):
    read = parse_rows(as_text(design), SIZES)
    assert (read.grid, read.cells.tolist()) == (design.grid, design.cells.tolist())


@given(
    first_rows=st.integers(2, 7),
    period=st.integers(1, 8).map(lambda half: 2 * half),
    more=st.integers(0, 40),
    end=st.integers(0, 4),
    columns=st.integers(2, 9),
)
def test_a_work_with_a_repeat_comes_back(first_rows, period, more, end, columns):
    rows = first_rows + 3 * period + more + end
    design = repeated_design(first_rows=first_rows, period=period, rows=rows, end=end, columns=columns)
    read = parse_rows(as_text(design), SIZES)
    assert (read.grid, read.cells.tolist()) == (design.grid, design.cells.tolist())


def test_the_repeat_is_told_once():
    """Trade fact (common practice, no source): after 3 rows and a repeat of 16, row 20 is row 4."""
    parts = row_parts(repeated_design(first_rows=3, period=16, rows=67))
    assert [part.name for part in parts] == ["First rows", "Repeat"]
    assert [row.rows[0] for row in parts[1].rows] == list(range(4, 20))
    assert parts[1].refers == ("Rows 20\N{EN DASH}67: as rows 4\N{EN DASH}19",)
    assert [one["rows"] for one in parts[1].repeats] == ["4 to 19", "20 to 35", "36 to 51", "52 to 67"]


@pytest.mark.parametrize("kind", ["odd", "two-drop"])
def test_work_without_a_repeat_is_told_in_full(kind):
    (part,) = row_parts(KINDS[kind]())
    assert part.repeats == part.refers == ()
    assert len(part.rows) == KINDS[kind]().grid.rows - 1
