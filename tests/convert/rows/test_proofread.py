"""What proofreading names besides what the reader finds, in rows of either form."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from good_rows import GOOD, as_first_form, with_lines
from hypothesis import given, settings
from hypothesis import strategies as st
from repeat_oracle import repeated
from size_levels import middle, rings
from strategies import SIZES, bead_of
from tolerant_stitcher import skips_a_size, work_of

from convert.rows.parser import parse_rows
from convert.rows.proofread import proofread
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid

GOOD_WORK = parse_rows("\n".join(GOOD), SIZES)


def said(text, against=None):
    """The mistakes, which are the same in the first form of the text."""
    mistakes = [str(mistake) for mistake in proofread(text, SIZES, against=against).mistakes]
    first = [str(mistake) for mistake in proofread(as_first_form(text), SIZES, against=against).mistakes]
    assert first == [mistake for mistake in mistakes if "the head says" not in mistake]
    return mistakes


def are_named(mistakes, wanted):
    """Whether each has its line and the part of what is said of it, a pair of both for each mistake."""
    pairs = zip(mistakes, wanted, strict=True)
    return all(mistake.startswith(f"line {line}: ") and part in mistake for mistake, (line, part) in pairs)


def limpet():
    grid = Grid(9, 22)
    beads = tuple(bead_of(level, level) for level in range(4))
    return Design("Limpet", grid, SIZES, beads, rings(grid, middle(grid), radii=(0.5, 1.5, 2.5)))


def test_good_rows_have_no_mistakes():
    assert proofread("\n".join(GOOD), SIZES).design == GOOD_WORK
    assert proofread("\n".join(GOOD), SIZES, against=GOOD_WORK).design == GOOD_WORK


def test_a_skipped_size_is_named_with_rows_columns_and_line():
    edits = {5: f"{GOOD[4]}\nB8: round 8/0, sand (#d8c7a0)", 9: "Row 5 ← 3: 1 B, 1 B8, 1 B; odd-count turn"}
    assert said(with_lines(edits)) == [
        "line 10: row 5 skips a size against row 3 on column 3: B8 touches B; put a size between them, or correct one",
        "line 10: row 5 skips a size against row 4 on column 3: B8 touches A; put a size between them, or correct one",
        (
            "line 11: row 6 skips a size against row 5 on columns 2 and 4: B touches B8; "
            "put a size between them, or correct one"
        ),
        "line 12: row 7 skips a size against row 5 on column 3: A touches B8; put a size between them, or correct one",
    ]


def test_within_rows_1_and_2_and_within_a_pair_of_two_drop():
    text = "two-drop\nA: cylinder 11/0, a (#112233)\nA8: round 8/0, a (#112233)\nRows 1+2 → 4: 1 A8, 3 A\n"
    assert are_named(said(text), [(4, "row 2 skips a size within the row on column 2: A touches A8")])


def test_a_skip_in_a_repeat_is_named_once_and_at_its_seam_too():
    work = repeated(Grid(8, 43), first_rows=3, period=8, seed=1)
    beads = (*work.beads, bead_of(0, 3))
    cells = work.cells.copy()
    for row in range(7, 44, 8):
        cells[work.grid.row_slice(row).start] = 3
    lines = Counter(line.split(":")[0] for line in said(rows_text(replace(work, beads=beads, cells=cells))))
    text = rows_text(replace(work, beads=beads, cells=cells)).splitlines()
    assert text[-1] == "Rows 12–43: as rows 4–11"
    assert f"line {len(text)}" not in lines  # nothing new happens there
    for row in range(4, 44, 8):
        cells[work.grid.row_slice(row).start] = 3
    text = rows_text(replace(work, beads=beads, cells=cells)).splitlines()
    seam = [line for line in said("\n".join(text)) if line.startswith(f"line {len(text)}: ")]
    assert len(seam) == 2  # row 12 against rows 10 and 11, and in no later repeat again
    assert all("row 12 skips" in line for line in seam)


@settings(max_examples=80)
@given(st.data())
def test_skips_are_named_just_when_a_stitcher_finds_one(data):
    work = limpet()
    cells = work.cells.copy()
    for bead in data.draw(st.lists(st.integers(0, work.grid.count - 1), max_size=2)):
        cells[bead] = data.draw(st.integers(0, 3))
    text = rows_text(replace(work, cells=cells))
    assert any("skips a size" in line for line in said(text)) == skips_a_size(work_of(text))


@pytest.mark.parametrize("note", ["", "; odd turn", "; odd-cuont turn"])
def test_a_turn_that_is_not_marked_while_others_are(note):
    assert are_named(said(with_lines({9: f"Row 5 ← 3: 3 B{note}"})), [(9, "write ; odd-count turn after its runs")])


def test_rows_without_any_marks_are_good():
    assert said("\n".join(GOOD).replace("; odd-count turn", "")) == []


DIFFERENT = {
    "a bead": (8, "Row 4 → 2: 1 A, 1 B", [(8, "row 4, column 4: B stands where A belongs")]),
    "beads of one kind in two places": (
        9,
        "Row 5 ← 3: 1 A, 1 B, 1 A; odd-count turn",
        [(9, "row 5, columns 1 and 5: A stand where B belongs")],
    ),
    "beads swapped": (
        14,
        "Row 10 → 2: 1 B, 1 A",
        [(14, "row 10, column 2: B stands where A belongs"), (14, "row 10, column 4: A stands where B belongs")],
    ),
    "rows 1 and 2": (6, "Rows 1+2 → 5: 5 A", [(6, "row 1, column 3: A stands where B belongs")]),
    "a colour": (
        5,
        "B: cylinder 11/0, sand (#d8c7a1)",
        [(5, "but the design B: cylinder 11/0, sand (#d8c7a0)")],
    ),
    "a bead line more": (5, f"{GOOD[4]}\nC: cylinder 11/0, dusk (#112233)", [(6, "no bead C")]),
    "a bead line fewer": (5, "#", [(5, "add B: cylinder 11/0, sand (#d8c7a0)"), (6, "B has no bead line")]),
    "a row fewer": (14, "#", [(2, "the rows make 5 columns, 9 rows"), (14, "row 10 of the design is missing")]),
    "a row more": (
        14,
        f"{GOOD[13]}\nRow 11 ← 3: 3 A; odd-count turn",
        [(2, "the rows make 5 columns, 11 rows"), (15, "take out row 11")],
    ),
    "another start": (2, "start bottom", [(2, "write start top")]),
}


@pytest.mark.parametrize("what", DIFFERENT)
def test_each_difference_is_named(what):
    line, edit, wanted = DIFFERENT[what]
    assert are_named(said(with_lines({line: edit}), GOOD_WORK), wanted)


def test_all_mistakes_of_all_kinds_at_once():
    text = with_lines(
        {
            5: "B: cylinder 11/0, wet sand (#d8c7a0)",
            7: "Row 3 ← 3: 1 A11, 1 A, 1 A11; odd-count turn",
            8: "Row 4 → 2: 1 A",
            9: "Row 5 → 3: 2 B, 1 A; odd-count turn",
            11: "Row 7 ← 3: 3 A",
            14: "Row 10 → 2: 2 Q",
        }
    )
    wanted = [
        (5, "B: cylinder 11/0, wet sand (#d8c7a0)"),
        (7, "row 3, column 3: A stands where B belongs"),
        (8, "add 1"),
        (9, "write ← instead of →"),
        (9, "row 5, column 1: A stands where B belongs"),
        (11, "write ; odd-count turn"),
        (14, "Q has no bead line"),
    ]
    assert are_named(said(text, GOOD_WORK), wanted)


def test_a_wrong_bead_in_a_repeat_names_the_rows_that_repeat_it():
    work = repeated(Grid(8, 43), first_rows=3, period=8, seed=1)
    lines = rows_text(work).splitlines()
    place = next(place for place, line in enumerate(lines) if line.startswith("Row 6 → "))
    other = work.cells.copy()
    other[work.grid.entry_of[6].beads[0]] = (other[work.grid.entry_of[6].beads[0]] + 1) % 3
    wrong = rows_text(replace(work, cells=other), full=True).splitlines()
    lines[place] = next(line for line in wrong if line.startswith("Row 6 → "))
    (only,) = said("\n".join(lines), work)
    assert only.startswith(f"line {place + 1}: row 6, column 1: ")
    assert only.endswith(" belongs, as in rows 14, 22, 30 and 38, which repeat it; correct the run")


def test_a_wrong_reference_names_its_own_line():
    work = repeated(Grid(8, 43), first_rows=3, period=8, seed=1)
    text = rows_text(work)
    wrong = text.replace("Rows 12–43: as rows 4–11", "Rows 12–19: as rows 4–11\nRows 20–43: as rows 10–11")
    lines = {line.split(":")[0] for line in said(wrong, work)}
    assert lines == {f"line {len(text.splitlines()) + 1}"}


def test_columns_hand_and_drop_of_another_work():
    text = "\n".join(GOOD)
    beads, cells = GOOD_WORK.beads, np.zeros(30, np.int64)
    other = Design("Other", Grid(6, 10, "left"), SIZES, beads, cells)
    assert are_named(said(text, other), [(6, "5 columns where the design has 6"), (6, "correct the arrows")])
    pairs = Design("Other", Grid(6, 2, drop=2), SIZES, beads, np.zeros(6, np.int64))
    text = "\n".join([*GOOD[2:5], "Rows 1+2 → 6: 6 A"])
    assert are_named(said(text, pairs), [(4, "write two-drop on a line of its own")])


def test_bead_lines_in_another_order_are_no_mistake():
    lines = [*GOOD[:2], GOOD[4], GOOD[3], GOOD[2], *GOOD[5:]]
    rich = replace(
        GOOD_WORK,
        beads=tuple(replace(bead, source="coast") for bead in GOOD_WORK.beads),
        provenance={"picture": "tide-pool.png"},
    )
    assert proofread("\n".join(lines), SIZES, against=rich).design == rich


def test_a_note_of_a_plain_turn_where_none_is_is_named_in_every_row():
    text = rows_text(Design("Whelk", Grid(5, 12), SIZES, (bead_of(0, 0),), np.zeros(30, dtype=int)), full=True)
    proof = proofread(text.replace("odd-count turn", "plain turn"), SIZES)
    assert [mistake.line for mistake in proof.mistakes] == [
        number for number, line in enumerate(text.splitlines(), start=1) if line.endswith("odd-count turn")
    ]
    assert proof.mistakes
