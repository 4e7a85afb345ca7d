"""The path of the needle against a simulation of it, and a work of another outline in the place of a rectangle."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from outlined import FAR, Outlined
from strategies import SIZES, bead_of, grids

from convert.rows.row import rows_of_work
from convert.shopping.thread import path_mm
from shared.design import Design
from shared.domes import domes_of
from shared.errors import BadFileError
from shared.grid import Grid
from shared.needle import entry_places
from shared.size_steps import keep_size_step_rule


def full(columns, rows, hand="right"):
    host = Grid(columns, rows, hand)
    return Outlined(host, np.ones(host.count, dtype=bool))


def in_pairs(grid, work):
    """The passes of a work of single beads, stitch by stitch: bead of a grid, and whether it is entered at the tail."""
    found = []
    for turn, row in work.passes:
        for where, group, end in (*turn, *row):
            columns = range((group - 1) * grid.drop + 1, group * grid.drop + 1)
            beads = grid.bead_at(np.array(where), np.array(columns)).tolist()
            found += [(bead, end == FAR) for bead in (beads if end == FAR else beads[::-1])]
    return found


@given(grids(most_columns=16, most_rows=14))
def test_the_path_is_the_shortest_that_thread_can_take(grid):
    """With a row more the way to it is known; that of the turn before it belongs to the rows before."""
    path = grid.needle_path
    own = list(zip(path.beads.tolist(), path.from_tail.tolist(), strict=True))
    work, longer = (full(grid.columns // grid.drop, rows, grid.hand) for rows in (grid.rows, grid.rows + 1))
    taller = Grid(grid.columns, grid.rows + 1, grid.hand, grid.start, grid.drop)
    rows_alone = in_pairs(grid, work)
    assert own == in_pairs(taller, longer)[: len(own)]
    assert own[: len(rows_alone)] == rows_alone
    has_turn = grid.odd_count and grid.rows % 2 and grid.rows > 3
    assert len(own) - len(rows_alone) == (4 * grid.drop if has_turn else 0)


@given(grids(most_columns=16, most_rows=14))
def test_the_path_is_parted_into_rows_and_turns(grid):
    path = grid.needle_path
    assert path.starts[0] == 0
    assert path.starts[-1] == len(path.beads) == len(path.from_tail)
    for place, entry in enumerate(grid.entries):
        row = path.beads[path.row(place)]
        assert [bead for bead in row.tolist() if bead in set(entry.beads.tolist())] == entry.beads.tolist()
        away = (entry.direction == ">") == (grid.hand == "right")
        assert (path.from_tail[path.row(place)] == away).all()
        if path.turn(place).stop > path.turn(place).start:
            assert entry.end == "odd-count"
    firsts = np.unique(path.beads, return_index=True)[1]
    assert path.beads[np.sort(firsts)].tolist() == grid.needle_order.tolist()


@given(grids())
def test_entries_hold_every_bead_once_and_begin_as_the_one_before_ends(grid):
    entries = grid.entries
    assert np.concatenate([entry.beads for entry in entries]).tolist() == grid.needle_order.tolist()
    assert [row for entry in entries for row in entry.rows] == list(range(1, grid.rows + 1))
    assert [entry.name for entry in entries[:2]] == ["1+2", "3"][: len(entries)]
    assert [entry.begin for entry in entries] == ["strung", *(entry.end for entry in entries[:-1])]
    for place, entry in enumerate(entries):
        assert set(grid.row_of[entry.beads].tolist()) <= set(entry.rows)
        assert (entry_places(entries) == place).sum() == entry.beads.size
        assert all(grid.entry_of[row] is entry for row in entry.rows)


def pointed(columns=9, straight=9):
    """A strip whose last rows have a bead less each, to a point."""
    host = Grid(columns, straight + columns // 2)
    inset = np.maximum(host.row_of - straight, 0)
    return Outlined(host, (host.column_of > inset) & (host.column_of <= columns - inset))


def plain(lattice, **more):
    return Design("Reef", lattice, SIZES, (bead_of(0, 0),), np.zeros(lattice.count, dtype=int), **more)


def test_rows_of_another_outline_are_those_that_it_has():
    """The tip of a cuff 9 columns wide: rows of 4, 3, 2, 1, ever fewer at both sides."""
    rows = rows_of_work(plain(pointed()))
    assert [(row.name, row.direction, row.count) for row in rows[:3]] == [("1+2", ">", 9), ("3", "<", 5), ("4", ">", 4)]
    tip = [(row.name, row.direction, row.count) for row in rows[-4:]]
    assert tip == [("10", ">", 4), ("11", "<", 3), ("12", ">", 2), ("13", "<", 1)]
    assert all(str(run) == f"{row.count} A" for row in rows for run in row.runs)


def test_thread_of_another_outline_follows_its_own_path():
    """Rows left out take none: the rest is a strip. A point takes less than the strip it is cut from."""
    host = Grid(6, 12)
    assert path_mm(plain(Outlined(host, host.row_of <= 9))) == pytest.approx(path_mm(plain(Grid(6, 9))))
    without, whole = (path_mm(plain(Grid(9, rows))) for rows in (9, 13))
    assert without < path_mm(plain(pointed())) < whole


@pytest.mark.parametrize("columns", [4, 5, 6, 9])
def test_a_closed_strip_takes_the_thread_of_one_row_more(columns):
    """The needle comes back through row 1 and the last row in turn, which lie as two rows of a strip do."""
    ring = Outlined(Grid(columns, 8), np.ones(Grid(columns, 8).count, dtype=bool), closed=True)
    assert path_mm(plain(ring)) == pytest.approx(path_mm(plain(Grid(columns, 9))) - odd_turn_mm(columns))


def odd_turn_mm(columns):
    """What the turn at the end of row 9 takes, which a ring ends without: four beads and the ways between them."""
    if columns % 2 == 0:
        return 0
    down, slanting = 1.6 - 0.8, 0.0  # a diameter less a hole; half a diameter less a hole
    return 4 * 1.3 + 2 * down + 2 * slanting


@given(st.integers(3, 8), st.integers(2, 6), st.integers(0, 10**6), st.sampled_from(["trim", "widen"]))
def test_the_size_step_rule_goes_round_a_closed_work(columns, half, seed, slopes):
    """As in a long strip in which the same rows come again and again, well away from its ends."""
    host, times = Grid(columns, 2 * half), 2 + 24 // half
    ring = Outlined(host, np.ones(host.count, dtype=bool), closed=True)
    wanted = np.where(np.random.default_rng(seed).random(host.count) < 0.2, 3, 0)
    strip = Grid(columns, 2 * half * times)
    ruled = keep_size_step_rule(wanted, ring, slopes=slopes)
    middle = np.arange(host.count) + host.count * (times // 2)
    assert ruled.tolist() == keep_size_step_rule(np.tile(wanted, times), strip, slopes=slopes)[middle].tolist()


def test_a_dome_over_the_seam_is_one():
    host = Grid(9, 20)
    levels = ((host.row_of <= 3) | (host.row_of >= 18)) & (abs(host.column_of - 5) <= 2)
    ring = Outlined(host, np.ones(host.count, dtype=bool), closed=True)
    assert (len(domes_of(ring, levels.astype(int))), len(domes_of(host, levels.astype(int)))) == (1, 2)


def test_a_bead_that_hangs_in_the_air_is_named():
    host = Grid(7, 8)
    lacks = (host.row_of == 5) & (host.column_of == 1)
    with pytest.raises(BadFileError, match="hang over the edge") as caught:
        plain(Outlined(host, ~lacks))
    assert caught.value.where == ("row 7, column 1",)
    assert Grid(7, 8).problems() == pointed().problems() == ()
