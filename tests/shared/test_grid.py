from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from strategies import grids

from shared.errors import BadChoiceError
from shared.grid import Contact, Grid


@given(grids())
def test_membership_follows_the_rule(grid):
    groups = grid.columns // grid.drop
    columns = [(c, -(-c // grid.drop)) for c in range(1, grid.columns + 1)]
    held = [(r, c) for r in range(1, grid.rows + 1) for c, group in columns if (groups - group + r) % 2]
    assert list(zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)) == held
    assert grid.count == len(held)
    assert sum(grid.rule_of(row).beads for row in range(1, grid.rows + 1)) == len(held)


@given(grids())
def test_beads_touch_those_next_to_them_in_flat_work(grid):
    """Contacts from geometry: one diameter apart down, or a column across and half a diameter, or level in a pair."""
    centres = grid.centres_mm(1.3, 1.6)
    apart = np.abs(centres[:, None] - centres)
    near = (np.isclose(apart, [0, 1.6]).all(axis=2)) | (np.isclose(apart, [1.3, 0.8]).all(axis=2))
    near |= np.isclose(apart, [1.3, 0]).all(axis=2)
    named = np.zeros_like(near)
    bead, place = np.nonzero(grid.neighbours >= 0)
    named[bead, grid.neighbours[bead, place]] = True
    assert np.array_equal(named, near)


@given(grids())
def test_each_contact_leads_where_its_name_says(grid):
    """Steps in half-rows towards the last row and in columns away from the tail; a swapped pair of contacts fails."""
    named = {
        Contact.EARLIER: (-2, 0),
        Contact.LATER: (2, 0),
        Contact.EARLIER_TAIL: (-1, -1),
        Contact.EARLIER_FAR: (-1, 1),
        Contact.LATER_TAIL: (1, -1),
        Contact.LATER_FAR: (1, 1),
        Contact.PARTNER_TAIL: (0, -1),
        Contact.PARTNER_FAR: (0, 1),
    }
    # Back from places as one sees them, which hand and start turn over.
    turned = (1 if grid.start == "top" else -1, 1 if grid.hand == "right" else -1)
    number = {tuple(place): bead for bead, place in enumerate(grid.place_of.tolist())}
    for contact in list(Contact)[: grid.neighbours.shape[1]]:
        down, right = (step * turn for step, turn in zip(named[contact], turned, strict=True))
        wanted = [number.get((d + down, r + right), -1) for d, r in grid.place_of.tolist()]
        assert grid.neighbours[:, contact].tolist() == wanted
        # There and back again: contacts come in pairs.
        back = next(one for one in named if named[one] == tuple(-step for step in named[contact]))
        there = grid.neighbours[:, contact] >= 0
        assert (grid.neighbours[grid.neighbours[there, contact], back] == np.flatnonzero(there)).all()


@given(grids())
def test_the_needle_takes_every_bead_once_and_never_jumps(grid):
    order = grid.needle_order
    assert sorted(order.tolist()) == list(range(grid.count))
    for entry in grid.entries:
        across = grid.centres_mm(1.3, 1.6)[entry.beads, 0]
        steps = np.diff(across)
        sign = 1 if entry.direction == ">" else -1
        if entry.rows == (1, 2):
            assert np.allclose(steps, sign * 1.3)
            continue
        # A stitch takes `drop` beads side by side and passes over as many.
        wanted = [1.3 * (grid.drop + 1 if (bead + 1) % grid.drop == 0 else 1) for bead in range(len(steps))]
        assert np.allclose(steps, sign * np.array(wanted))


@given(grids())
def test_footprints_tile_the_work(grid):
    """Away from the two ends each half-row of each column is covered once; area in all = beads x length x diameter."""
    boxes = grid.footprints_mm(1.3, 1.6)
    assert np.allclose((boxes[:, 2:] - boxes[:, :2]), [1.3, 1.6])
    covered = np.zeros((grid.rows + 1, grid.columns), dtype=int)
    for left, top, _, _ in boxes:
        down, right = round(top / 0.8), round(left / 1.3)
        covered[down : down + 2, right] += 1
    assert covered.max() == 1
    assert (covered[1:-1] == 1).all()


def test_left_hand_mirrors_and_bottom_start_turns_over():
    right, left = Grid(7, 9), Grid(7, 9, hand="left")
    bottom = Grid(7, 9, start="bottom")
    width, length = right.extent_mm(1.3, 1.6)
    assert np.allclose(left.centres_mm(1.3, 1.6), [width, 0] + right.centres_mm(1.3, 1.6) * [-1, 1])
    assert np.allclose(bottom.centres_mm(1.3, 1.6), [0, length] + right.centres_mm(1.3, 1.6) * [1, -1])
    assert "".join(entry.direction for entry in left.entries) == "<><><><>"
    assert "".join(entry.direction for entry in bottom.entries) == "><><><><"


@given(grids())
def test_rows_follow_each_other_without_gaps(grid):
    rows = [grid.row_of[first:end].tolist() for first, end in pairwise(grid.row_edges)]
    assert rows == [[row] * grid.rule_of(row).beads for row in range(1, grid.rows + 1)]


def test_seventeen_columns_alternate_nine_and_eight():
    """Trade fact (common practice, no source)."""
    grid = Grid(17, 6)
    assert [grid.rule_of(row).beads for row in range(1, 7)] == [9, 8, 9, 8, 9, 8]


@pytest.mark.parametrize("columns", [3, 17, 25])
def test_odd_count_row_three_comes_back_to_the_tail_and_ends_in_the_odd_count_turn(columns):
    """Trade fact (common practice, no source)."""
    grid = Grid(columns, 8)
    assert grid.entry_of[3].direction == "<"
    assert grid.column_of[grid.entry_of[3].beads][-1] == 1
    assert [entry.rows for entry in grid.entries if entry.end == "odd-count"] == [(3,), (5,), (7,)]


@pytest.mark.parametrize("columns", [2, 16, 60])
def test_even_widths_have_no_special_turn(columns):
    """Trade fact (common practice, no source)."""
    grid = Grid(columns, 8)
    assert {entry.end for entry in grid.entries} == {"plain"}


@pytest.mark.parametrize("columns", [2, 5, 16, 17])
@pytest.mark.parametrize("rows", [2, 9, 40])
def test_rows_are_counted_on_neighbouring_columns(columns, rows):
    """Beads in the first plus beads in the second column = rows.

    Common practice, no source: rows are counted by zig-zagging between two columns.
    """
    grid = Grid(columns, rows)
    in_column = np.bincount(grid.column_of)
    assert in_column[1] + in_column[2] == rows


def test_the_row_three_step():
    """With 11 strung, pick up bead 12, skip 11, go through 10 (common practice, no source)."""
    grid = Grid(11, 4)
    strung = grid.column_of[grid.entries[0].beads]
    assert strung.tolist() == list(range(1, 12))
    first = grid.entry_of[3].beads[0]
    assert grid.column_of[first] == 11
    assert grid.neighbours[first, Contact.EARLIER] == grid.bead_at(np.array(1), np.array(11))


def test_size_of_a_flat_strip():
    """W=20, 110 beads a column, 1.6 x 1.3 mm: 26.0 x 176.8 mm, 220 rows, 2200 beads (plain geometry)."""
    grid = Grid(20, 220)
    assert grid.extent_mm(1.3, 1.6) == pytest.approx((26.0, 176.8))
    assert grid.count == 2200


@pytest.mark.parametrize(("columns", "rows"), [(0, 10), (1, 10), (-3, 10), (10, 1), (10, 0), (4000, 4000)])
def test_sizes_that_make_no_work_are_refused(columns, rows):
    with pytest.raises(BadChoiceError, match="give"):
        Grid(columns, rows)


def test_arrays_cannot_be_changed():
    grid = Grid(5, 6)
    for array in (grid.row_of, grid.column_of, grid.neighbours, grid.needle_order, grid.place_of):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 7
