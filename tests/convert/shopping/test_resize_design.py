"""A design made longer or shorter: row for row, the size-step rule, and the repeat that it is done by."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from size_levels import rings
from strategies import SIZES, bead_of, designs

from convert.rows.find_repeat import Repeat, find_repeat
from convert.shopping.resize_design import Change, plain_bead, resize
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import Grid

EVEN = st.integers(-6, 10).map(lambda half: 2 * half)


def rows_of(design):
    kinds = np.array([bead.kind for bead in design.beads])[design.cells]
    return [kinds[design.grid.row_slice(row)].tolist() for row in range(1, design.grid.rows + 1)]


def tiled(columns, first_rows, period, times, *, part=0, end=0, colours=5, seed=0):
    """A design of random rows in which a block comes again."""
    random = np.random.default_rng(seed)
    grid = Grid(columns, first_rows + period * times + part + end)
    block = [random.integers(0, colours, grid.rule_of(first_rows + 1 + row).beads) for row in range(period)]
    rows = [random.integers(0, colours, grid.rule_of(row).beads) for row in range(1, first_rows + 1)]
    rows += [block[row % period] for row in range(period * times + part)]
    rows += [random.integers(0, colours, grid.rule_of(len(rows) + 1 + row).beads) for row in range(end)]
    return Design("Ripples", grid, SIZES, tuple(bead_of(k, 0) for k in range(colours)), np.concatenate(rows))


def size_step_breaks(design):
    near = design.grid.neighbours
    steps = np.abs(design.levels[near] - design.levels[:, None])
    return int((steps[near >= 0] > 1).sum())


@pytest.mark.parametrize("part", [0, 5])
def test_3_first_rows_and_a_repeat_of_16(part):
    """Row 20 is row 4 (common practice, no source)."""
    design = tiled(9, 3, 16, 4, part=part)
    assert find_repeat(design, from_row_1=True) == Repeat(3, 16, 0, design.grid.rows)
    assert rows_of(design)[19] == rows_of(design)[3]


@given(st.integers(3, 9), st.integers(0, 5), st.integers(1, 6), st.integers(2, 4), st.integers(0, 9))
def test_lengthening_by_repeats_gives_the_same_tiling_with_more_of_them(columns, first_rows, half, times, seed):
    period = 2 * half
    before = tiled(columns, first_rows, period, times, seed=seed)
    repeat = Repeat(first_rows, period, 0, before.grid.rows)
    for more in (-1, 0, 3):
        after = resize(before, repeat, Change(more))
        assert rows_of(after) == rows_of(tiled(columns, first_rows, period, times + more, seed=seed))
        assert repeat._replace(rows=after.grid.rows).times == times + more


def test_last_rows_stay_at_the_end():
    before = tiled(8, 4, 6, 5, part=2, end=4)
    repeat = find_repeat(before, from_row_1=True)
    assert repeat == Repeat(4, 6, 4, before.grid.rows)
    after = resize(before, repeat, Change(2))
    assert after.grid.rows == before.grid.rows + 12
    assert rows_of(after)[-6:] == rows_of(before)[-6:]
    assert rows_of(after)[:10] == rows_of(before)[:10]
    assert find_repeat(after, from_row_1=True) == repeat._replace(rows=after.grid.rows)


def test_plain_ground_at_one_end_of_a_motif_is_no_repeat():
    grid = Grid(7, 60)
    cells = ((grid.row_of > 27) & (grid.row_of < 34)).astype(int) * np.random.default_rng(1).integers(0, 2, grid.count)
    assert find_repeat(Design("Limpet", grid, SIZES, (bead_of(0, 0), bead_of(1, 0)), cells)) is None


@given(designs(most_rows=40), EVEN)
def test_plain_rows_leave_all_other_rows_as_they_are(design, plain):
    if plain < 0 and design.grid.rows + plain < 4:
        with pytest.raises(BadChoiceError, match="rows would be left"):
            resize(design, None, Change(0, plain))
        return
    after = resize(design, None, Change(0, plain))
    change = Change(0, plain)
    assert change.at_start % 2 == 0
    assert abs(change.at_start - change.at_end) <= 2
    assert after.grid.rows == design.grid.rows + plain
    kept = rows_of(design)[max(0, -change.at_start) : design.grid.rows + min(0, change.at_end)]
    start = max(0, change.at_start)
    if not size_step_breaks(design):
        assert rows_of(after)[start : start + len(kept)] == kept


@pytest.mark.parametrize("plain", [2, 8, 18])
@pytest.mark.parametrize("start", ["top", "bottom"])
def test_plain_rows_carry_the_slope_of_a_dome_at_the_end(plain, start):
    grid = Grid(9, 21, start=start)
    levels = rings(grid, (1, 5), (21, 5), radii=(0.5, 1.5, 2.5))
    design = Design("Limpets", grid, SIZES, tuple(bead_of(0, level) for level in range(4)), levels)
    assert not size_step_breaks(design)
    after = resize(design, None, Change(0, plain))
    assert not size_step_breaks(after)
    first = Change(0, plain).at_start
    inner = after.levels[(after.grid.row_of > first) & (after.grid.row_of <= first + 21)]
    assert (inner == levels).all()
    if plain == 18:
        assert (after.levels[after.grid.row_of == 1] == 0).all()


def test_plain_rows_have_the_commonest_bead_of_the_flat_size():
    grid = Grid(4, 20)
    cells = np.where(grid.row_of > 8, 2, np.where(grid.row_of > 3, 1, 0))
    design = Design("Tide", grid, SIZES, (bead_of(0, 0), bead_of(1, 0), bead_of(2, 1)), cells)
    assert plain_bead(design).kind == "B"
    assert set(rows_of(resize(design, None, Change(0, 4)))[0]) == {"B"}


def test_less_than_one_repeat_is_refused():
    with pytest.raises(BadChoiceError, match="one repeat"):
        resize(tiled(5, 2, 6, 3), Repeat(2, 6, 0, 20), Change(-3))
