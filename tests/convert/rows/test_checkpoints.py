"""Where domes begin, peak and end, and how many flat beads lie between them."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from size_levels import random_levels, rings
from strategies import SIZES, bead_of, grids

from convert.rows.abbreviate import Reference, abbreviate_rows
from convert.rows.checkpoints import Gap, find_checkpoints
from convert.rows.parser import parse_rows
from convert.rows.row import rows_of_work
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid


def work_of(grid, levels):
    return Design("Limpet", grid, SIZES, tuple(bead_of(level, level) for level in range(4)), levels)


def one_dome(rows=30, **choices):
    """Its middle on row 13, column 7 of 13."""
    grid = Grid(13, rows, **choices)
    return work_of(grid, rings(grid, (13, 7), radii=(0.5, 1.5, 2.5)))


def test_one_dome_as_drawn():
    """Contacts from the middle: one ring is two rows up and down its column and one column to each side."""
    begins, peaks, ends = find_checkpoints(one_dome())
    assert [one.rows for one in (begins, peaks, ends)] == [(9,), (13,), (17,)]
    assert [one.moments for one in (begins, peaks, ends)] == [("begins",), ("peaks",), ("ends",)]
    assert {one.columns for one in (begins, peaks, ends)} == {(5, 9)}
    assert {one.dome_rows for one in (begins, peaks, ends)} == {(9, 17)}
    assert {one.top_size for one in (begins, peaks, ends)} == {"round 6/0"}
    # Row 9 holds columns 1, 3 … 13, and one bead of the dome, on column 7.
    assert (begins.raised, begins.before, begins.after) == (1, Gap(3, "edge"), Gap(3, "edge"))
    # Down column 7 before it lie rows 1, 3, 5 and 7; after it rows 19 to 29.
    assert (begins.column, begins.since, begins.until) == (7, Gap(4, "edge"), None)
    assert (ends.column, ends.since, ends.until) == (7, None, Gap(6, "edge"))
    # Row 13: columns 5, 7 and 9 belong to the dome.
    assert (peaks.raised, peaks.before, peaks.after) == (3, Gap(2, "edge"), Gap(2, "edge"))


def test_the_next_dome_down_the_column_and_along_the_row():
    grid = Grid(21, 50)
    two_by_two = [(row, column) for row in (13, 33) for column in (5, 15)]
    found = find_checkpoints(work_of(grid, rings(grid, *two_by_two, radii=(1.5, 2.5))))
    assert len(found) == 12
    second = next(one for one in found if one.moments == ("begins",) and one.columns == (3, 7) and one.rows > (20,))
    # The first ends on row 17, this one begins on row 29: rows 19, 21, 23, 25 and 27.
    assert second.since == Gap(5, "dome")
    peaks = [one for one in found if one.moments == ("peaks",) and one.rows == (13,)]
    # Odd rows run right to left here: from column 21 over 13-17 to 3-7.
    assert [(one.columns, one.before, one.after) for one in peaks] == [
        ((3, 7), Gap(2, "dome"), Gap(1, "edge")),
        ((13, 17), Gap(2, "edge"), Gap(2, "dome")),
    ]


@pytest.mark.parametrize("row", [1, 2, 3])
def test_a_dome_from_rows_1_and_2_on(row):
    grid = Grid(9, 20)
    column = 5 + (9 - 5 + row + 1) % 2
    begins, *_, ends = find_checkpoints(work_of(grid, rings(grid, (row, column), radii=(1.5,))))
    assert begins.rows == (1, 2)
    assert "begins" in begins.moments
    assert begins.since == Gap(0, "edge")
    assert ends.rows == (row + 2,)


def test_raised_beads_in_one_row_are_no_dome_to_follow():
    grid = Grid(9, 20)
    assert find_checkpoints(work_of(grid, rings(grid, (9, 5), radii=(0.5,)))) == ()
    assert find_checkpoints(work_of(grid, np.zeros(grid.count, np.int64))) == ()


def seen_by_hand(design):
    """Each dome as (first row, last row, first column, last column), by walking from bead to bead."""
    grid = design.grid
    level = {(int(grid.row_of[b]), int(grid.column_of[b])): int(design.levels[b]) for b in range(grid.count)}
    steps = [(2, 0), (-2, 0), (1, 1), (1, -1), (-1, 1), (-1, -1)]
    left = {place for place, one in level.items() if one > min(level.values())}
    domes = []
    while left:
        edge, dome = [left.pop()], set()
        while edge:
            row, column = edge.pop()
            dome.add((row, column))
            beside = {(row + down, column + across) for down, across in steps} & left
            if grid.drop == 2:
                beside |= {(row, column + (1 if column % 2 else -1))} & left
            left -= beside
            edge += beside
        domes.append(dome)
    return level, domes


@settings(max_examples=80)
@given(grids(most_columns=14, most_rows=30), st.integers(0, 1000))
def test_begins_ends_and_gaps_against_walking_over_the_beads(grid, seed):
    design = work_of(grid, np.minimum(random_levels(grid, seed), 1))  # of one level, so that no dome is parted
    level, domes = seen_by_hand(design)
    lowest = min(level.values())
    tall = [dome for dome in domes if max(row for row, _ in dome) > max(2, min(row for row, _ in dome))]
    found = find_checkpoints(design)
    assert sum("begins" in one.moments for one in found) == len(tall)
    assert sum("ends" in one.moments for one in found) == len(tall)
    shapes = {(min(r for r, _ in d), max(r for r, _ in d), min(c for _, c in d), max(c for _, c in d)) for d in tall}
    assert {(*one.dome_rows, *one.columns) for one in found} == shapes
    for one in found:
        for gap, step in ((one.since, -2), (one.until, 2)):
            if gap is None:
                continue
            row, beads = one.rows[-1], 0
            row += 0 if (row, one.column) in level else -1
            while level.get((row + step * (beads + 1), one.column)) == lowest:
                beads += 1
            assert gap.beads == beads
            assert (gap.to == "edge") == ((row + step * (beads + 1), one.column) not in level)


@given(grids(most_columns=14, most_rows=30), st.integers(0, 1000))
def test_each_stands_in_its_entry_and_the_row_adds_up(grid, seed):
    design = work_of(grid, random_levels(grid, seed))
    entries = rows_of_work(design)
    assert tuple(check for entry in entries for check in entry.checkpoints) == find_checkpoints(design)
    for entry in entries:
        for check in entry.checkpoints:
            assert check.rows == entry.rows
            assert check.before.beads + check.raised + check.after.beads <= entry.count


@settings(max_examples=60)
@given(grids(most_columns=14, most_rows=30), st.integers(0, 1000))
def test_comments_on_checks_do_not_change_what_is_read(grid, seed):
    design = work_of(grid, random_levels(grid, seed))
    text = rows_text(design)
    assert text.count("\n# check: ") == len(find_checkpoints(design)) or ": as rows " in text
    assert parse_rows(text, SIZES) == design


def test_in_a_repeat_each_is_told_once():
    grid = Grid(13, 83)
    design = work_of(grid, rings(grid, *((row, 7) for row in (13, 33, 53, 73)), radii=(0.5, 1.5, 2.5)))
    work = abbreviate_rows(design)
    assert work.repeat[:3] == (2, 20, 0)
    told = [check for line in work.lines for check in getattr(line, "checkpoints", ())]
    # From the first row on 4 beads, later from row 17 to 29 of each repeat: 5. No dome comes after the last.
    assert [(one.moments, one.repeats, one.since) for one in told] == [
        (("begins",), (1,), Gap(4, "edge")),
        (("begins",), (2, 3, 4), Gap(5, "dome")),
        (("peaks",), (), None),
        (("ends",), (1, 2, 3), None),
        (("ends",), (4,), None),
    ]
    text = rows_text(design)
    assert "# check: in the first repeat, a dome begins on columns 5 to 9: " in text
    assert "# check: from repeat 2 on, a dome begins on columns 5 to 9: " in text
    assert "# check: a dome peaks on columns 5 to 9 with round 6/0: " in text
    assert "# check: in all repeats but the last, a dome ends on columns 5 to 9: " in text
    assert "# check: in the last repeat, a dome ends on columns 5 to 9: " in text


def test_where_the_last_repeat_is_not_whole_repeats_are_told_by_number():
    """Rounds of 20 rows from row 3 on: rows 63 to 67 are a part of the fourth, which the rows of the domes lack."""
    grid = Grid(13, 67)
    design = work_of(grid, rings(grid, *((row, 7) for row in (13, 33, 53)), radii=(0.5, 1.5, 2.5)))
    work = abbreviate_rows(design)
    assert (work.repeat.times, work.repeat.partial) == (3, 5)
    told = [line.split(", ")[0] for line in rows_text(design).splitlines() if line.startswith("# check: in ")]
    assert told == [
        "# check: in the first repeat",
        "# check: in repeats 2 and 3",
        "# check: in repeats 1 and 2",
        "# check: in repeat 3",
    ]


def test_what_holds_only_from_the_second_repeat_on_says_so():
    """Of the first dome the two widest rows would lie before row 1, so that it is narrower than the later ones."""
    grid = Grid(13, 83)
    shape = ((0, 5), (0, 7), (0, 9), (1, 6), (1, 8), (2, 7), (4, 7))
    raised = {(row + down, column) for row in range(-1, 83, 20) for down, column in shape}
    places = zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)
    work = work_of(grid, np.array([int(place in raised) for place in places]))
    lines = rows_text(work).splitlines()
    place = next(place for place, line in enumerate(lines) if line.startswith("Row 3 ← "))
    assert lines[place + 1].startswith("# check: in the first repeat, a dome ends on column 7: ")
    assert any(
        line.startswith("# check: ") and "repeat" in line and "a dome ends on columns 5 to 9: " in line
        for line in lines[place + 2 : place + 4]
    )
    assert parse_rows("\n".join(lines), SIZES) == work


NOTHING = {"rows": (), "dome_rows": (0, 0), "repeats": (), "of_repeats": 0, "last_is_whole": True}


def spelt_out(work):
    """All checks of a work, as one who stitches repeat after repeat meets them: row, and what is told there."""
    repeat, met = work.repeat, []
    last_referred = max((line.last for line in work.lines if isinstance(line, Reference)), default=0)
    for line in work.lines:
        for check in getattr(line, "checkpoints", ()):
            row = check.rows[0]
            period, repeats = 0, (1,)
            if repeat is not None and repeat.first <= row <= repeat.last:
                period = repeat.period
                repeats = check.repeats or range(1, (last_referred - row) // period + 2)
            met += [(row + (number - 1) * period, replace(check, **NOTHING)) for number in repeats]
    return sorted(met, key=repr)


@settings(max_examples=60)
@given(st.integers(5, 13), st.integers(0, 4), st.integers(3, 8), st.integers(10, 90), st.integers(0, 99))
def test_told_once_or_in_full_a_stitcher_meets_the_same_checks(columns, first_rows, half, more, seed):
    """Whatever the seams and the ends cut, each repeat is told just what holds in it."""
    grid = Grid(columns, first_rows + more)
    motif = np.random.default_rng(seed).random((2 * half, columns + 1)) < 0.35
    row = grid.row_of - first_rows - 1
    levels = np.where(row >= 0, motif[row % (2 * half), grid.column_of], 0).astype(np.int64)
    design = work_of(grid, levels)
    assert spelt_out(abbreviate_rows(design)) == spelt_out(abbreviate_rows(design, full=True))
