"""The repeat of a design: found where it is, and told once."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from repeat_oracle import best_repeat, plain, rounds
from strategies import LADDER, grids

from convert.rows.abbreviate import Reference, written
from convert.rows.find_repeat import Repeat, find_repeat, row_numbers
from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.grid import Grid


@st.composite
def repeated_designs(draw, *, most_columns=6, most_rows=40):
    grid = draw(grids(most_columns=most_columns, most_rows=most_rows))
    return rounds(
        grid,
        first_rows=draw(st.integers(0, 5)),
        period=2 * draw(st.integers(1, 8)),
        end=draw(st.integers(0, 4)),
        kinds=draw(st.integers(1, 3)),
        seed=draw(st.integers(0, 10_000)),
    )


@settings(max_examples=300)
@given(repeated_designs(most_rows=26), st.booleans())
def test_no_other_way_leaves_fewer_rows_to_tell(design, strand):
    found = find_repeat(design, strand=strand)
    wanted = best_repeat(design, strand=strand)
    assert (found and tuple(found)[:3]) == wanted


@settings(max_examples=200)
@given(st.data())
def test_a_tiled_motif_gives_back_its_shortest_period(data):
    motif = 2 * data.draw(st.integers(1, 12))
    columns, times, left = data.draw(st.integers(2, 9)), data.draw(st.integers(3, 6)), data.draw(st.integers(0, 9))
    seed = data.draw(st.integers(0, 10_000))
    work = rounds(Grid(columns, motif * times + left), first_rows=0, period=motif, kinds=3, seed=seed)
    rows = row_numbers(work)[:motif]
    shortest = next(
        period
        for period in range(2, motif + 1, 2)
        if motif % period == 0 and all(rows[row] == rows[row % period] for row in range(motif))
    )
    found = find_repeat(work)
    assert found == Repeat(2, shortest, 0, work.grid.rows)
    assert find_repeat(work, strand=True) == Repeat(0, shortest, 0, work.grid.rows)


def test_a_foundation_of_3_rows_and_a_repeat_of_16():
    """Common practice, no source: then row 20 is row 4."""
    work = rounds(Grid(21, 67), first_rows=3, period=16, seed=2)
    repeat = find_repeat(work)
    assert repeat == Repeat(3, 16, 0, 67)
    assert repeat.source_of(20) == 4
    assert (repeat.first, repeat.last, repeat.rounds, repeat.partial) == (4, 19, 4, 0)
    assert rows_text(work).splitlines()[-1] == "20-67 = 4-19"


def test_two_rounds_are_written_as_one_line():
    text = rows_text(rounds(Grid(21, 35), first_rows=3, period=16, seed=2))
    assert text.splitlines()[-1] == "20-35 = 4-19"


def test_a_last_round_of_a_few_rows_is_written_out_and_a_longer_one_referred_to():
    def ends(rows):
        return rows_text(rounds(Grid(8, rows), first_rows=3, period=16, seed=3)).splitlines()[-2:]

    assert [line.split()[0] for line in ends(70)] == ["69", "70"]
    assert ends(71) == ["20-67 = 4-19", "68-71 = 4-7"]


def test_end_rows_stand_in_full_after_the_rounds():
    work = rounds(Grid(8, 40), first_rows=4, period=10, end=5, seed=4)
    lines = rows_text(work).splitlines()
    place = lines.index("15-34 = 5-14")
    assert [line.split()[0] for line in lines[place + 1 :]] == ["35", "36", "37", "38", "39", "40"]
    assert find_repeat(work).partial == 1


def test_plain_ground_at_one_end_is_no_repeat():
    work = rounds(Grid(9, 60), first_rows=40, period=2, kinds=3, seed=5)
    assert find_repeat(work) is None
    assert "=" not in "".join(line for line in rows_text(work).splitlines() if line[0].isdigit())


def test_the_odd_count_turn_is_the_same_in_every_round():
    work = rounds(Grid(7, 43), first_rows=3, period=8, seed=6)
    repeat = find_repeat(work)
    for row in range(repeat.first, 44):
        source = repeat.source_of(row)
        one, other = (work.grid.entry_of[at] for at in (row, source))
        assert one.end == other.end
        assert one.direction == other.direction


def test_plain_work_is_two_rows_over_and_over():
    assert rows_text(plain(4, 9)).splitlines()[-4:-1] == ["3 < 2: 2 A", "4 > 2: 2 A", "5-8 = 3-4"]


@settings(max_examples=150)
@given(repeated_designs())
def test_rows_with_a_repeat_give_the_design_back(design):
    text = rows_text(design)
    assert parse_rows(text, LADDER) == parse_rows(rows_text(design, full=True), LADDER) == design
    piece, grid = stitch(text), design.grid
    places = zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)
    assert piece.cells == dict(zip(places, (design.beads[cell].kind for cell in design.cells), strict=True))


@given(repeated_designs())
def test_what_is_written_covers_every_row_once(design):
    assume(find_repeat(design))
    covered = []
    for line in written(design).lines:
        covered += range(line.first, line.last + 1) if isinstance(line, Reference) else line.rows
    assert covered == list(range(1, design.grid.rows + 1))


@pytest.mark.parametrize("changed", [25, 44, 60])
def test_one_other_bead_breaks_the_repeat_there(changed):
    work = rounds(Grid(8, 67), first_rows=3, period=16, seed=7)
    cells = work.cells.copy()
    cells[work.grid.row_slice(changed).start] += 1
    cells %= 3
    other = find_repeat(replace(work, cells=cells))
    assert other is None or not other.first <= changed <= 67 - other.end or changed <= other.last
    assert np.count_nonzero(cells != work.cells) == 1
