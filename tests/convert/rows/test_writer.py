"""The text of word rows, letter for letter, and what every stitcher knows of flat peyote."""

from typing import Any

import numpy as np
import pytest
from strategies import SIZES, lab_of

from convert.rows.writer import rows_text
from shared.design import Bead, Design
from shared.grid import Grid

SLATE, SAND = "#2f4a5a", "#d8c7a0"
BEADS = (
    Bead("A", "cylinder 11/0", SLATE, lab_of(SLATE), "slate"),
    Bead("A11", "round 11/0", SLATE, lab_of(SLATE), "slate"),
    Bead("B", "cylinder 11/0", SAND, lab_of(SAND), "sand"),
)

CUFF = """\
# Tide pool cuff
# 21 columns, 4 rows, odd-count flat peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
A11: round 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 21: 3 A, 1 B, 17 A
Row 3 ← 11: 1 A11, 9 B, 1 A11; odd-count turn
Row 4 → 10: 10 A
"""

LEFT_HANDED = """\
# Tide pool cuff
# 4 columns, 5 rows, even-count flat peyote, tail at right
start bottom
A: cylinder 11/0, slate (#2f4a5a)
A11: round 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 ← 4: 1 B, 2 A, 1 B
Row 3 → 2: 1 B, 1 A
Row 4 ← 2: 2 A
Row 5 → 2: 2 A
"""


def cells_of(grid: Grid, given: dict[tuple[int, int], int]) -> Any:
    """Return cells of the first bead but for those given by row and column."""
    pairs = zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)
    cells = [given.get(pair, 0) for pair in pairs]
    assert set(given) <= set(zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True))
    return np.array(cells)


def plain(columns: int, rows: int, **choices: Any) -> Design:
    grid = Grid(columns, rows, **choices)
    return Design("Tide pool cuff", grid, SIZES, BEADS, np.zeros(grid.count, np.int64))


def row_lines(design: Design) -> dict[str, str]:
    """Return what stands after the name of each row."""
    lines = [line for line in rows_text(design, full=True).splitlines() if line.startswith("Row")]
    return dict(line.split(" ", 2)[1:] for line in lines)


def test_the_example_of_the_format() -> None:
    grid = Grid(21, 4)
    row_3 = {(3, column): 1 if column in (1, 21) else 2 for column in range(1, 22, 2)}
    design = Design("Tide pool cuff", grid, SIZES, BEADS, cells_of(grid, {(2, 4): 2} | row_3))
    assert rows_text(design) == CUFF


def test_left_handed_even_and_from_the_bottom() -> None:
    grid = Grid(4, 5, "left", "bottom")
    cells = cells_of(grid, {(2, 1): 2, (1, 4): 2, (3, 4): 2})
    assert rows_text(Design("Tide pool cuff", grid, SIZES, BEADS, cells)) == LEFT_HANDED


def test_runs_end_with_their_row() -> None:
    lines = row_lines(plain(6, 5))
    assert lines == {"1+2": "→ 6: 6 A", "3": "← 3: 3 A", "4": "→ 3: 3 A", "5": "← 3: 3 A"}


def test_17_columns_alternate_9_and_8_beads() -> None:
    """Common practice, no source."""
    lines = row_lines(plain(17, 8))
    totals = [int(lines[str(row)].split()[1].rstrip(":")) for row in range(3, 9)]
    assert totals == [9, 8, 9, 8, 9, 8]
    assert lines["1+2"].startswith("→ 17:")


def test_odd_row_3_comes_back_to_the_tail_and_ends_in_the_odd_count_turn() -> None:
    """Common practice, no source."""
    text = rows_text(plain(17, 8), full=True)
    assert "tail at left" in text
    lines = row_lines(plain(17, 8))
    assert lines["3"] == "← 9: 9 A; odd-count turn"
    assert [row for row, line in lines.items() if "turn" in line] == ["3", "5", "7"]


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("columns", [2, 4, 16, 60])
def test_even_widths_have_no_special_turn(columns: int, hand: str) -> None:
    """Common practice, no source."""
    text = rows_text(plain(columns, 9, hand=hand), full=True)
    assert "turn" not in text
    assert f"{columns} columns, 9 rows, even-count" in text


def test_the_left_hand_mirrors_every_direction() -> None:
    mirrored = str.maketrans("←→", "→←")
    right, left = row_lines(plain(7, 6)), row_lines(plain(7, 6, hand="left"))
    assert {row: line.translate(mirrored) for row, line in right.items()} == left


def test_a_large_work_has_every_bead_once() -> None:
    grid = Grid(300, 400)
    cells = np.arange(grid.count) % 3
    text = rows_text(Design("Sea wall", grid, SIZES, BEADS, cells), full=True)
    runs = [
        run.split() for line in text.splitlines() if line.startswith("Row") for run in line.split(": ")[1].split(", ")
    ]
    assert sum(int(count) for count, _ in runs) == grid.count == 60_000
    assert sum(int(count) for count, key in runs if key == "A11") == 20_000
