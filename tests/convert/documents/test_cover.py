"""How hard a design is, by the rule that the booklet states."""

import numpy as np
import pytest
from strategies import SIZES, bead_of

from convert.documents.booklet.cover import changes_per_row, rate_difficulty
from shared.design import Design
from shared.grid import Grid


def design_of(columns, rows, cell_of, kinds):
    grid = Grid(columns, rows)
    cells = np.array([cell_of(row, column) for row, column in zip(grid.row_of, grid.column_of, strict=True)])
    return Design("Bands", grid, SIZES, tuple(bead_of(*kind) for kind in kinds), cells)


PLAIN = [(0, 0), (1, 0)]


@pytest.mark.parametrize(
    ("columns", "cell_of", "kinds", "points"),
    [
        (10, lambda *_: 0, PLAIN, 0),
        (11, lambda *_: 0, PLAIN, 1),
        (10, lambda row, column: int((column + row) % 4 < 2), PLAIN, 1),
        (24, lambda row, column: int((column + row) % 4 < 2), PLAIN, 2),
        (25, lambda row, column: (column + row) % 4 // 2, [(0, 0), (0, 1)], 4),
        (25, lambda row, column: (column + row) % 6 // 2, [(0, 0), (0, 1), (0, 2)], 5),
    ],
)
def test_points(columns, cell_of, kinds, points):
    """Worked out by hand from the rule: sizes (0 to 2), changes from 2 and from 5, odd-count turn."""
    assert rate_difficulty(design_of(columns, 20, cell_of, kinds)).points == points


def test_changes_are_counted_within_rows_only():
    """Rows 3 and 4 are all of one kind each, the strand alternates over its ten columns: 9 changes in three entries."""
    design = design_of(10, 4, lambda row, column: (column if row < 3 else row) % 2, PLAIN)
    assert changes_per_row(design) == pytest.approx(9 / 3)


def test_the_words_follow_the_points():
    assert rate_difficulty(design_of(10, 20, lambda *_: 0, PLAIN)).suits == "a first piece"
    hard = design_of(25, 20, lambda row, column: (column + row) % 6 // 2, [(0, 0), (0, 1), (0, 2)])
    assert rate_difficulty(hard).suits == "an experienced hand"
