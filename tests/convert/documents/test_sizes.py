"""The table of sizes in a booklet: does each bracelet close, and can it be stitched from what the page says?"""

import re

import pytest
from booklets import KINDS, random_design, repeated_design

from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.cover import predict_finished
from convert.documents.booklet.sizes import size_table
from convert.rows.row import rows_of_work
from convert.shopping.resize_design import Change, plain_bead, resize

ROW_MM = 0.8
"""Half the diameter of a cylinder 11/0 (1.6 mm)."""

CLASP_MM, EASE_MM = 20, 20


def table_of(design):
    return size_table(design, predict_finished(design), BookletChoices())


@pytest.mark.parametrize("period", [16, 60])
def test_what_whole_rounds_leave_over_is_told_and_named_where_the_bracelet_would_not_close(period):
    """Flat work of R rows is (R + 1) / 2 beads of 1.6 mm long; the lengths are worked out anew here."""
    table = table_of(repeated_design(first_rows=3, period=period, rows=3 + 3 * period))
    place = {head: place for place, head in enumerate(table.heads)}
    needed = 0
    for row in table.rows:
        wrist = int(row[place["Wrist"]].split()[0])
        made_mm = (int(row[place["Rows"]]) + 1) * ROW_MM
        left = re.fullmatch(r"(\d+) mm(?:, (\d+) rows)?(, needed)?", row[place["Left over"]])
        most_mm = wrist + EASE_MM - CLASP_MM
        assert float(left[1]) == pytest.approx(most_mm - made_mm, abs=0.51)
        filled_mm = made_mm + int(left[2] or 0) * ROW_MM
        assert most_mm - 2 * ROW_MM < filled_mm <= most_mm + 1e-6
        assert bool(left[3]) == (made_mm + CLASP_MM < wrist)
        assert filled_mm + CLASP_MM >= wrist
        needed += bool(left[3])
    assert bool(needed) == (period == 60)
    assert any("does not close" in note for note in table.notes) == (period == 60)


def test_work_without_a_repeat_leaves_nothing_over():
    table = table_of(random_design(9, 40))
    assert "Left over" not in table.heads
    assert not any("eft over" in note for note in table.notes)


def notes_of(design):
    return " ".join(table_of(design).notes)


@pytest.mark.parametrize("kind", ["odd", "two-drop", "domes"])
def test_plain_rows_are_told_with_their_bead_and_what_becomes_of_row_numbers(kind):
    design = KINDS[kind]()
    bead, notes = plain_bead(design), notes_of(design)
    assert f"Plain rows are all of {bead.kind} ({bead.name})" in notes
    assert "Row numbers in the chart and the word rows then count from the row after those put on first" in notes
    assert "left out" not in notes


def test_a_repeat_with_plain_rows_to_fill_it_says_what_they_are():
    assert "Plain rows are all of" in notes_of(repeated_design(rows=3 + 16 * 4))


def told_rows(design):
    """Single beads of each entry in the order in which the needle takes them, by the numbers of its rows."""
    return {entry.rows: [key for count, key in entry.runs for _ in range(count)] for entry in rows_of_work(design)}


def stitches(beads, drop):
    return [beads[place : place + drop] for place in range(0, len(beads), drop)]


def one_by_one(found):
    return [bead for stitch in found for bead in stitch]


WORKS = [kind for kind in KINDS if kind not in ("domes", "long names")]


@pytest.mark.parametrize("kind", WORKS)
def test_the_strand_becomes_two_rows_as_the_note_says(kind):
    """Plain rows before row 1: every second stitch of the strand from its end back is row 1, the others row 2."""
    design = KINDS[kind]()
    drop = design.grid.drop
    strand = told_rows(design)[1, 2]
    back, on = stitches(strand[::-1], drop)[::2], stitches(strand, drop)
    told = told_rows(resize(design, None, Change(0, 16)))
    assert told[9,] == one_by_one(back)
    assert told[10,] == one_by_one(on[len(on) % 2 :: 2])


@pytest.mark.parametrize("kind", WORKS)
def test_two_rows_become_the_strand_as_the_note_says(kind):
    """Rows 1 to 2 left out: rows 3, from its end back, and 4 in turn, the first of row 3 last on the thread."""
    design = KINDS[kind]()
    drop, told = design.grid.drop, told_rows(design)
    earlier, later = stitches(told[3,][::-1], drop), stitches(told[4,], drop)
    strand = []
    while earlier or later:
        strand.insert(0, (earlier if len(strand) % 2 == 0 else later).pop())
    assert strand[-1] == told[3,][:drop][::-1]
    cut = resize(design, None, Change(0, -4))
    assert told_rows(cut)[1, 2] == one_by_one(strand)


def test_how_to_begin_is_told_where_rows_are_left_out():
    notes = notes_of(random_design(6, 600))
    assert "Where rows are left out first, the next two are strung together" in notes
    assert "Plain rows" not in notes
