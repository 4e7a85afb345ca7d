"""The repeat of a design, against a search that tries everything."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from strategies import LADDER, bead_of, designs

from convert.documents.bench.rounds import rounds_of
from shared.design import Design
from shared.grid import Grid


def tried(design):
    """Compare all pairs of rows for every even period; the fewest rows to tell, then the shortest round."""
    rows = {row: design.cells[design.grid.row_slice(row)].tolist() for row in range(1, design.grid.rows + 1)}
    last = design.grid.rows
    pairs = [(first, period) for first in range(3, last) for period in range(2, (last - first + 1) // 2 + 1, 2)]
    found = [
        (first - 1 + period, period, first)
        for first, period in pairs
        if all(rows[row] == rows[row + period] for row in range(first, last - period + 1))
    ]
    return min(found)[2:0:-1] if found else None


def striped(columns, foundation, motif, rows):
    """Rows of one colour each."""
    grid = Grid(columns, rows)
    tints = np.array([*foundation, *motif * rows][:rows])
    return Design("Tiled", grid, LADDER, tuple(bead_of(k, 0) for k in range(3)), tints[grid.row_of - 1])


colours = st.integers(0, 2)


@given(
    st.integers(2, 5),
    st.lists(colours, min_size=2, max_size=5),
    st.lists(colours, min_size=1, max_size=6),
    st.integers(4, 40),
)
def test_it_is_the_repeat_that_leaves_fewest_rows_to_tell(columns, foundation, motif, rows):
    work = striped(columns, foundation, motif, rows)
    found = rounds_of(work)
    assert (found and (found.first, found.period)) == tried(work)
    assert found is None or found.last == rows


@given(designs(most_columns=3))
def test_it_agrees_on_any_design(work):
    found = rounds_of(work)
    assert (found and (found.first, found.period)) == tried(work)


def test_a_foundation_of_three_and_a_repeat_of_sixteen():
    """Row 20 is row 4 again; common practice, no source."""
    motif = [0, 1, 2, 2, 0, 1, 1, 0, 2, 1, 0, 0, 1, 2, 0, 2]
    found = rounds_of(striped(5, [2, 1, 0], motif, 60))
    assert (found.first, found.period, found.last) == (4, 16, 60)


def test_one_bead_less_in_a_round_is_no_repeat():
    work = striped(5, [2, 1, 0], [0, 1, 2, 2], 19)
    cells = work.cells.copy()
    cells[-1] = (cells[-1] + 1) % 3
    assert rounds_of(Design("Slip", work.grid, LADDER, work.beads, cells)) is None
