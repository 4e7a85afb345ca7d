"""What proofreading names beside what the reader finds."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from good_rows import GOOD, with_lines
from hypothesis import given, settings
from hypothesis import strategies as st
from repeat_oracle import rounds
from size_levels import middle, rings
from strategies import LADDER, bead_of
from tolerant_stitcher import skips_a_size, work_of

from convert.rows.parser import parse_rows
from convert.rows.proofread import proofread
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid

GOOD_WORK = parse_rows("\n".join(GOOD), LADDER)


def said(text, against=None):
    return [str(mistake) for mistake in proofread(text, LADDER, against=against).mistakes]


def limpet():
    grid = Grid(9, 22)
    beads = tuple(bead_of(level, level) for level in range(4))
    return Design("Limpet", grid, LADDER, beads, rings(grid, middle(grid), radii=(0.5, 1.5, 2.5)))


def test_good_rows_have_no_mistakes():
    assert proofread("\n".join(GOOD), LADDER).design == GOOD_WORK
    assert proofread("\n".join(GOOD), LADDER, against=GOOD_WORK).design == GOOD_WORK


def test_a_skipped_rung_is_named_with_rows_columns_and_line():
    edits = {5: f"{GOOD[4]}\nbead B8 = round 8/0 #d8c7a0 sand", 9: "5 < 3: 1 B, 1 B8, 1 B; odd-count turn"}
    assert said(with_lines(edits)) == [
        "line 10: row 5 skips a rung against row 3 on column 3: B8 touches B; lay a size between, or mend a key",
        "line 10: row 5 skips a rung against row 4 on column 3: B8 touches A; lay a size between, or mend a key",
        "line 11: row 6 skips a rung against row 5 on columns 2 and 4: B touches B8; lay a size between, or mend a key",
        "line 12: row 7 skips a rung against row 5 on column 3: A touches B8; lay a size between, or mend a key",
    ]


def test_within_the_strand_and_within_a_pair_of_two_drop():
    text = "two-drop\nbead A = cylinder 11/0 #112233 a\nbead A8 = round 8/0 #112233 a\n1+2 > 4: 1 A8, 3 A\n"
    assert said(text) == [
        "line 4: row 2 skips a rung within the row on column 2: A touches A8; lay a size between, or mend a key"
    ]


def test_a_skip_in_a_repeat_is_named_once_and_at_its_seam_too():
    work = rounds(Grid(8, 43), first_rows=3, period=8, seed=1)
    beads = (*work.beads, bead_of(0, 3))
    cells = work.cells.copy()
    for row in range(7, 44, 8):
        cells[work.grid.row_slice(row).start] = 3
    lines = Counter(line.split(":")[0] for line in said(rows_text(replace(work, beads=beads, cells=cells))))
    text = rows_text(replace(work, beads=beads, cells=cells)).splitlines()
    assert text[-1] == "12-43 = 4-11"
    assert f"line {len(text)}" not in lines  # nothing new happens there
    for row in range(4, 44, 8):
        cells[work.grid.row_slice(row).start] = 3
    text = rows_text(replace(work, beads=beads, cells=cells)).splitlines()
    seam = [line for line in said("\n".join(text)) if line.startswith(f"line {len(text)}: ")]
    assert len(seam) == 2  # row 12 against rows 10 and 11, and in no later round again
    assert all("row 12 skips" in line for line in seam)


@settings(max_examples=150)
@given(st.data())
def test_skips_are_named_just_when_a_stitcher_finds_one(data):
    work = limpet()
    cells = work.cells.copy()
    for bead in data.draw(st.lists(st.integers(0, work.grid.count - 1), max_size=2)):
        cells[bead] = data.draw(st.integers(0, 3))
    text = rows_text(replace(work, cells=cells))
    assert any("skips a rung" in line for line in said(text)) == skips_a_size(work_of(text))


@pytest.mark.parametrize("note", ["", "; odd turn", "; odd-cuont turn"])
def test_a_turn_that_is_not_marked_while_others_are(note):
    wanted = "line 9: row 5 ends with the odd-count turn; write ; odd-count turn after its runs"
    assert said(with_lines({9: f"5 < 3: 3 B{note}"})) == [wanted]


def test_rows_without_any_marks_are_good():
    assert said("\n".join(GOOD).replace("; odd-count turn", "")) == []


DIFFERENT = {
    "a bead": (8, "4 > 2: 1 A, 1 B", ["line 8: row 4, column 4: B stands where A belongs; mend the run"]),
    "beads of one kind in two places": (
        9,
        "5 < 3: 1 A, 1 B, 1 A; odd-count turn",
        ["line 9: row 5, columns 1 and 5: A stand where B belongs; mend the run"],
    ),
    "beads swapped": (
        14,
        "10 > 2: 1 B, 1 A",
        [
            "line 14: row 10, column 2: B stands where A belongs; mend the run",
            "line 14: row 10, column 4: A stands where B belongs; mend the run",
        ],
    ),
    "the strand": (6, "1+2 > 5: 5 A", ["line 6: row 1, column 3: A stands where B belongs; mend the run"]),
    "a colour": (
        5,
        "bead B = cylinder 11/0 #d8c7a1 sand",
        [
            (
                "line 5: bead B is cylinder 11/0 #d8c7a1 sand, but in the design cylinder 11/0 #d8c7a0 sand; "
                "mend one of them"
            )
        ],
    ),
    "a bead line more": (
        5,
        f"{GOOD[4]}\nbead C = cylinder 11/0 #112233 dusk",
        ["line 6: the design has no bead C; mend its key or delete the line"],
    ),
    "a row fewer": (14, "#", ["line 14: row 10 of the design is missing; add it at the end"]),
    "a row more": (
        14,
        f"{GOOD[13]}\n11 < 3: 3 A; odd-count turn",
        ["line 15: the design ends with row 10; take out row 11"],
    ),
    "another start": (
        2,
        "start bottom",
        ["line 2: row 1 is the bottom of the picture, but in the design the top; write start top"],
    ),
}


@pytest.mark.parametrize("what", DIFFERENT)
def test_each_difference_is_named(what):
    line, edit, wanted = DIFFERENT[what]
    assert said(with_lines({line: edit}), GOOD_WORK) == wanted


def test_all_mistakes_of_all_kinds_at_once():
    text = with_lines(
        {
            5: "bead B = cylinder 11/0 #d8c7a0 wet sand",
            7: "3 < 3: 1 A11, 1 A, 1 A11; odd-count turn",
            8: "4 > 2: 1 A",
            9: "5 > 3: 2 B, 1 A; odd-count turn",
            11: "7 < 3: 3 A",
            14: "10 > 2: 2 Q",
        }
    )
    assert said(text, GOOD_WORK) == [
        (
            "line 5: bead B is cylinder 11/0 #d8c7a0 wet sand, but in the design cylinder 11/0 #d8c7a0 sand; "
            "mend one of them"
        ),
        "line 7: row 3, column 3: A stands where B belongs; mend the run",
        "line 8: row 4 has 1 bead where 2 belong; add 1 or mend a count",
        "line 9: row 5 runs right to left here; write < instead of >",
        "line 9: row 5, column 1: A stands where B belongs; mend the run",
        "line 11: row 7 ends with the odd-count turn; write ; odd-count turn after its runs",
        "line 14: the key Q has no bead line; add one or mend the key",
    ]


def test_a_wrong_bead_in_a_repeat_names_the_rows_that_repeat_it():
    work = rounds(Grid(8, 43), first_rows=3, period=8, seed=1)
    lines = rows_text(work).splitlines()
    place = next(place for place, line in enumerate(lines) if line.startswith("6 > "))
    other = work.cells.copy()
    other[work.grid.entry_of[6].beads[0]] = (other[work.grid.entry_of[6].beads[0]] + 1) % 3
    wrong = rows_text(replace(work, cells=other), full=True).splitlines()
    lines[place] = next(line for line in wrong if line.startswith("6 > "))
    (only,) = said("\n".join(lines), work)
    assert only.startswith(f"line {place + 1}: row 6, column 1: ")
    assert only.endswith(" belongs, as in rows 14, 22, 30 and 38, which repeat it; mend the run")


def test_a_wrong_reference_names_its_own_line():
    work = rounds(Grid(8, 43), first_rows=3, period=8, seed=1)
    text = rows_text(work)
    wrong = text.replace("12-43 = 4-11", "12-19 = 4-11\n20-43 = 10-11")
    lines = {line.split(":")[0] for line in said(wrong, work)}
    assert lines == {f"line {len(text.splitlines()) + 1}"}


def test_columns_hand_and_drop_of_another_work():
    text = "\n".join(GOOD)
    beads, cells = GOOD_WORK.beads, np.zeros(30, np.int64)
    other = Design("Other", Grid(6, 10, "left"), LADDER, beads, cells)
    assert said(text, other) == [
        "line 6: the rows make 5 columns where the design has 6; mend the strand",
        "line 6: the strand runs left to right, but in the design right to left; mend the ways",
    ]
    pairs = Design("Other", Grid(6, 2, drop=2), LADDER, beads, np.zeros(6, np.int64))
    text = "\n".join([*GOOD[2:5], "1+2 > 6: 6 A"])
    assert said(text, pairs) == [
        (
            "line 4: the rows make flat peyote where the design is two-drop flat peyote; "
            "write two-drop on a line of its own"
        )
    ]


def test_bead_lines_in_another_order_are_no_mistake():
    lines = [*GOOD[:2], GOOD[4], GOOD[3], GOOD[2], *GOOD[5:]]
    rich = replace(
        GOOD_WORK,
        beads=tuple(replace(bead, source="coast") for bead in GOOD_WORK.beads),
        provenance={"picture": "tide-pool.png"},
    )
    assert proofread("\n".join(lines), LADDER, against=rich).design == rich


def test_a_note_of_a_plain_turn_where_none_is_is_named_in_every_row():
    text = rows_text(Design("Whelk", Grid(5, 12), LADDER, (bead_of(0, 0),), np.zeros(30, dtype=int)), full=True)
    proof = proofread(text.replace("odd-count turn", "plain turn"), LADDER)
    assert [mistake.line for mistake in proof.mistakes] == [
        number for number, line in enumerate(text.splitlines(), start=1) if line.endswith("odd-count turn")
    ]
    assert proof.mistakes
