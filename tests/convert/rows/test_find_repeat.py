"""The repeat of a design: found where it is, and told once."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from repeat_oracle import best_repeat, plain, repeated
from strategies import SIZES, grids

from convert.rows.abbreviate import Reference, abbreviate_rows
from convert.rows.find_repeat import Repeat, find_long_repetitions, find_repeat, number_rows, z_function
from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.grid import Grid


@st.composite
def repeated_designs(draw, *, most_columns=6, most_rows=40):
    grid = draw(grids(most_columns=most_columns, most_rows=most_rows))
    return repeated(
        grid,
        first_rows=draw(st.integers(0, 5)),
        period=2 * draw(st.integers(1, 8)),
        end=draw(st.integers(0, 4)),
        kinds=draw(st.integers(1, 3)),
        seed=draw(st.integers(0, 10_000)),
    )


@settings(max_examples=300)
@given(repeated_designs(most_rows=26), st.booleans())
def test_no_other_way_leaves_fewer_rows_to_tell(design, from_row_1):
    found = find_repeat(design, from_row_1=from_row_1)
    wanted = best_repeat(design, from_row_1=from_row_1)
    assert (found and tuple(found)[:3]) == wanted


@settings(max_examples=200)
@given(st.data())
def test_a_tiled_motif_gives_back_its_shortest_period(data):
    motif = 2 * data.draw(st.integers(1, 12))
    columns, times, left = data.draw(st.integers(2, 9)), data.draw(st.integers(3, 6)), data.draw(st.integers(0, 9))
    seed = data.draw(st.integers(0, 10_000))
    work = repeated(Grid(columns, motif * times + left), first_rows=0, period=motif, kinds=3, seed=seed)
    rows = number_rows(work)[:motif]
    shortest = next(
        period
        for period in range(2, motif + 1, 2)
        if motif % period == 0 and all(rows[row] == rows[row % period] for row in range(motif))
    )
    found = find_repeat(work)
    assert found == Repeat(2, shortest, 0, work.grid.rows)
    assert find_repeat(work, from_row_1=True) == Repeat(0, shortest, 0, work.grid.rows)


def test_3_first_rows_and_a_repeat_of_16():
    """Common practice, no source: then row 20 is row 4."""
    work = repeated(Grid(21, 67), first_rows=3, period=16, seed=2)
    repeat = find_repeat(work)
    assert repeat == Repeat(3, 16, 0, 67)
    assert repeat.source_of(20) == 4
    assert (repeat.first, repeat.last, repeat.times, repeat.partial) == (4, 19, 4, 0)
    assert rows_text(work).splitlines()[-1] == "Rows 20–67: as rows 4–19"


def test_two_repeats_are_written_as_one_line():
    text = rows_text(repeated(Grid(21, 35), first_rows=3, period=16, seed=2))
    assert text.splitlines()[-1] == "Rows 20–35: as rows 4–19"


def test_a_last_repeat_of_a_few_rows_is_written_out_and_a_longer_one_referred_to():
    def ends(rows):
        return rows_text(repeated(Grid(8, rows), first_rows=3, period=16, seed=3)).splitlines()[-2:]

    assert [line.split()[1] for line in ends(70)] == ["69", "70"]
    assert ends(71) == ["Rows 20–67: as rows 4–19", "Rows 68–71: as rows 4–7"]


def test_last_rows_stand_in_full_after_the_repeats():
    work = repeated(Grid(8, 40), first_rows=4, period=10, end=5, seed=4)
    lines = rows_text(work).splitlines()
    place = lines.index("Rows 15–34: as rows 5–14")
    assert [line.split()[1] for line in lines[place + 1 :]] == ["35", "36", "37", "38", "39", "40"]
    assert find_repeat(work).partial == 1


def test_plain_ground_at_one_end_is_no_repeat():
    work = repeated(Grid(9, 60), first_rows=40, period=2, kinds=3, seed=5)
    assert find_repeat(work) is None
    assert ": as rows " not in rows_text(work)


def test_the_odd_count_turn_is_the_same_in_every_repeat():
    work = repeated(Grid(7, 43), first_rows=3, period=8, seed=6)
    repeat = find_repeat(work)
    for row in range(repeat.first, 44):
        source = repeat.source_of(row)
        one, other = (work.grid.entry_of[at] for at in (row, source))
        assert one.end == other.end
        assert one.direction == other.direction


def test_plain_work_is_two_rows_over_and_over():
    assert rows_text(plain(4, 9)).splitlines()[-4:-1] == ["Row 3 ← 2: 2 A", "Row 4 → 2: 2 A", "Rows 5–8: as rows 3–4"]


@settings(max_examples=150)
@given(repeated_designs())
def test_rows_with_a_repeat_give_the_design_back(design):
    text = rows_text(design)
    assert parse_rows(text, SIZES) == parse_rows(rows_text(design, full=True), SIZES) == design
    piece, grid = stitch(text), design.grid
    places = zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)
    assert piece.cells == dict(zip(places, (design.beads[cell].kind for cell in design.cells), strict=True))


@given(repeated_designs())
def test_what_is_written_covers_every_row_once(design):
    assume(find_repeat(design))
    covered = []
    for line in abbreviate_rows(design).lines:
        covered += range(line.first, line.last + 1) if isinstance(line, Reference) else line.rows
    assert covered == list(range(1, design.grid.rows + 1))


@pytest.mark.parametrize("changed", [25, 44, 60])
def test_one_other_bead_breaks_the_repeat_there(changed):
    work = repeated(Grid(8, 67), first_rows=3, period=16, seed=7)
    cells = work.cells.copy()
    cells[work.grid.row_slice(changed).start] += 1
    cells %= 3
    other = find_repeat(replace(work, cells=cells))
    assert other is None or not other.first <= changed <= 67 - other.end or changed <= other.last
    assert np.count_nonzero(cells != work.cells) == 1


def longest_possible(items):
    """Every stretch of two periods or more that can be made no longer, by trying all of them."""
    size = len(items)
    found = set()
    for period in range(1, size // 2 + 1):
        alike = [items[place] == items[place + period] for place in range(size - period)]
        for first in range(size - period):
            if alike[first] and not (first and alike[first - 1]):
                stop = next((place for place in range(first, size - period) if not alike[place]), size - period)
                if stop - first >= period:
                    found.add((first, period, stop - first + period))
    return found


few = st.lists(st.integers(0, 2), max_size=40)


@settings(max_examples=200)
@given(few)
def test_what_fills_more_than_half_is_found_and_nothing_that_comes_not_again(items):
    found = list(map(tuple, find_long_repetitions(items)))
    wanted = {one for one in longest_possible(items) if 2 * one[2] > len(items)}
    assert set(found) == wanted


@given(few)
def test_z_function(items):
    def by_hand(place):
        return next((step for step in range(len(items) - place) if items[step] != items[place + step]), -1)

    wanted = [len(items) - place if by_hand(place) < 0 else by_hand(place) for place in range(1, len(items))]
    assert z_function(items)[1:] == wanted


class Seen(int):
    """A number that counts how often any such number is compared."""

    looks = 0

    def __eq__(self, other):
        Seen.looks += 1
        return other is not None and int(self) == int(other)

    __hash__ = int.__hash__


def series(what, size):
    if what == "chance":
        return np.random.default_rng(1).integers(0, 4, size).tolist()
    if what == "words of Fibonacci":
        one, other = [0], [0, 1]
        while len(other) < size:
            one, other = other, other + one
        return other[:size]
    return {"one item": [0] * size, "pairs": [0, 1] * (size // 2), "no repetition": list(range(size))}[what]


@pytest.mark.parametrize("what", ["one item", "pairs", "no repetition", "words of Fibonacci", "chance"])
def test_each_item_is_looked_at_a_fixed_number_of_times(what):
    for size in (1000, 4000):
        Seen.looks = 0
        found = list(find_long_repetitions([Seen(item) for item in series(what, size)]))
        assert bool(found) == (what not in {"no repetition", "chance"})
        assert Seen.looks < 40 * size
