"""Word rows of two-drop, as a person types them and gets them wrong."""

import pytest
from strategies import LADDER

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.errors import MistakesError
from shared.grid import Grid

NEAT = """\
# Tide pool cuff
# 10 columns, 5 rows, two-drop odd-count flat peyote, tail at left
two-drop
bead A = cylinder 11/0 #2f4a5a slate
bead B = cylinder 11/0 #d8c7a0 sand
1+2 > 10: 2 A, 2 B, 6 A
3 < 6: 2 B, 4 A; odd-count turn
4 > 4: 4 A
5 < 6: 3 A, 3 B; odd-count turn
"""


def complaints(text):
    with pytest.raises(MistakesError) as caught:
        parse_rows(text, LADDER)
    return caught.value.mistakes


def test_five_pairs_come_back():
    design = parse_rows(NEAT, LADDER)
    assert design.grid == Grid(10, 5, drop=2)
    assert rows_text(design) == NEAT
    row_3 = design.cells[design.grid.row_slice(3)]
    assert [design.beads[cell].kind for cell in row_3] == list("AAAABB")


@pytest.mark.parametrize(
    "words", ["two drop", "Two-Drop", "2-drop", "2 drop", "drop 2", "DROP  two", "drop: 2", "twodrop # pairs"]
)
def test_it_may_be_said_otherwise_and_anywhere(words):
    assert parse_rows(NEAT.replace("\ntwo-drop\n", f"\n{words}\n"), LADDER) == parse_rows(NEAT, LADDER)
    assert parse_rows(NEAT.replace("\ntwo-drop\n", "\n") + words + "\n", LADDER) == parse_rows(NEAT, LADDER)


@pytest.mark.parametrize("words", ["one-drop", "drop 1", "1 drop"])
def test_a_drop_of_1_may_be_said(words):
    text = f"{words}\nbead A = cylinder 11/0 #2f4a5a slate\n1+2 > 5: 5 A\n3 < 3: 3 A\n"
    assert parse_rows(text, LADDER).grid == Grid(5, 3)


def test_said_twice_is_a_mistake_of_the_second_line():
    assert complaints(NEAT + "drop 1\n") == ("line 10: the drop is also given on line 3; delete one of them",)


def test_a_row_with_a_bead_too_few_is_named():
    assert complaints(NEAT.replace("4 > 4: 4 A", "4 > 3: 3 A")) == (
        "line 8: row 4 has 3 beads where 4 belong; add 1 or mend a count",
    )


def test_a_strand_with_a_bead_too_few_is_named():
    (only,) = complaints(NEAT.replace("> 10: 2 A", "> 9: 1 A"))
    assert only == "line 6: row 1+2 has 9 beads, and two-drop goes in pairs; mend a count, or the line two-drop"


def test_the_turn_goes_by_pairs():
    text = NEAT.replace("10: 2 A", "12: 4 A").replace("4 > 4: 4 A", "4 > 6: 6 A")
    assert complaints(text) == tuple(
        f"line {line}: row {row} ends in a plain turn; delete its note of an odd-count turn"
        for line, row in ((7, 3), (9, 5))
    )
