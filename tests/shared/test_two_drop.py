"""Two-drop: pairs act as one. The lattice is recomputed from single-drop work whose every column is split in two."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import BadChoiceError
from shared.grid import Grid

HANDS, STARTS = st.sampled_from(["right", "left"]), st.sampled_from(["top", "bottom"])
SIZES = st.tuples(st.integers(2, 9), st.integers(2, 14))


def doubled(single):
    """Both beads of every pair, as (row, column), where a bead of work half as wide is a pair."""
    places = zip(single.row_of.tolist(), single.column_of.tolist(), strict=True)
    return [(row, 2 * pair - 1 + step) for row, pair in places for step in (0, 1)]


@given(SIZES, HANDS, STARTS)
def test_each_bead_of_plain_work_becomes_a_pair(size, hand, start):
    pairs, rows = size
    single, double = Grid(pairs, rows, hand, start), Grid(2 * pairs, rows, hand, start, drop=2)
    held = list(zip(double.row_of.tolist(), double.column_of.tolist(), strict=True))
    assert held == doubled(single)
    assert double.count == 2 * single.count
    assert [double.rule_of(r).beads for r in range(1, rows + 3)] == [
        2 * single.rule_of(r).beads for r in range(1, rows + 3)
    ]
    assert double.row_edges == tuple(2 * edge for edge in single.row_edges)
    for one, other in zip(double.entries, single.entries, strict=True):
        assert (one.rows, one.direction, one.begin, one.end) == (other.rows, other.direction, other.begin, other.end)
    number = {place: bead for bead, place in enumerate(held)}
    for row in range(-1, rows + 3):
        for column in range(-1, 2 * pairs + 3):
            assert double.bead_at(np.array(row), np.array(column)) == number.get((row, column), -1)


@given(SIZES, HANDS)
def test_the_needle_takes_pairs_in_the_order_of_plain_work(size, hand):
    pairs, rows = size
    single, double = Grid(pairs, rows, hand), Grid(2 * pairs, rows, hand, drop=2)
    for one, other in zip(double.entries, single.entries, strict=True):
        steps = (1, 2) if (one.direction == ">") == (hand == "right") else (2, 1)
        wanted = [2 * pair - 2 + step for pair in single.column_of[other.beads] for step in steps]
        assert double.column_of[one.beads].tolist() == wanted


@given(SIZES)
def test_a_bead_touches_its_column_its_partner_and_two_on_its_outer_diagonals(size):
    pairs, rows = size
    grid = Grid(2 * pairs, rows, drop=2)
    held = {place: bead for bead, place in enumerate(doubled(Grid(pairs, rows)))}
    assert grid.neighbours.shape == (grid.count, 8)
    for (row, column), bead in held.items():
        outward = -1 if column % 2 else 1
        around = [(row - 2, column), (row + 2, column), (row, column - outward)]
        around += [(row - 1, column + outward), (row + 1, column + outward)]
        wanted = sorted(held[place] for place in around if place in held)
        assert sorted(n for n in grid.neighbours[bead].tolist() if n >= 0) == wanted


def test_ten_beads_are_five_pairs_of_columns():
    """A published reading lesson strings 10 beads for 5 pair-columns, protruding pairs row 1, recessed row 2; row 3
    runs back, one pair a stitch, and an odd number of pair-columns needs the special turn at its end. Source:
    about.com Beadwork, "How to Read a Two-Drop Peyote Stitch Pattern".
    """
    grid = Grid(10, 6, drop=2)
    assert grid.column_of[grid.entries[0].beads].tolist() == list(range(1, 11))
    assert grid.column_of[grid.row_slice(1)].tolist() == [1, 2, 5, 6, 9, 10]
    assert grid.column_of[grid.row_slice(2)].tolist() == [3, 4, 7, 8]
    assert (grid.entries[0].direction, grid.entry_of[3].direction) == (">", "<")
    assert grid.column_of[grid.entry_of[3].beads].tolist() == [10, 9, 6, 5, 2, 1]
    assert [entry.rows for entry in grid.entries if entry.end == "odd-count"] == [(3,), (5,)]
    assert {entry.end for entry in Grid(12, 6, drop=2).entries} == {"plain"}


def test_it_measures_what_plain_work_of_its_columns_does():
    """A column is a bead's length wide however many are worked at a time (plain geometry)."""
    assert Grid(20, 220, drop=2).extent_mm(1.3, 1.6) == Grid(20, 220).extent_mm(1.3, 1.6)
    assert Grid(20, 220, drop=2).count == 2200


@pytest.mark.parametrize("columns", [5, 21])
def test_a_bead_without_a_partner_is_refused(columns):
    with pytest.raises(BadChoiceError, match=f"give {columns + 1} or another even number"):
        Grid(columns, 10, drop=2)


@pytest.mark.parametrize("columns", [0, 1, 2, 3])
def test_a_single_pair_of_columns_is_refused(columns):
    """Every second row would be empty."""
    with pytest.raises(BadChoiceError, match=f"^{columns} is too few columns; give 4 or more$"):
        Grid(columns, 10, drop=2)


@pytest.mark.parametrize("drop", [0, 3, -1])
def test_other_drops_are_refused(drop):
    with pytest.raises(BadChoiceError, match="give 1, or 2"):
        Grid(12, 10, drop=drop)
