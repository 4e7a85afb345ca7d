"""Word rows of two-drop, as a person types them and gets them wrong."""

import pytest
from strategies import SIZES

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.errors import MistakesError
from shared.grid import Grid

NEAT = """\
# Tide pool cuff
# 10 columns, 5 rows, two-drop odd-count flat peyote, tail at left
two-drop
A: cylinder 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 10: 2 A, 2 B, 6 A
Row 3 ← 6: 2 B, 4 A; odd-count turn
Row 4 → 4: 4 A
Row 5 ← 6: 3 A, 3 B; odd-count turn
"""


def mistakes(text):
    with pytest.raises(MistakesError) as caught:
        parse_rows(text, SIZES)
    return caught.value.mistakes


def test_five_pairs_come_back():
    design = parse_rows(NEAT, SIZES)
    assert design.grid == Grid(10, 5, drop=2)
    assert rows_text(design) == NEAT
    row_3 = design.cells[design.grid.row_slice(3)]
    assert [design.beads[cell].kind for cell in row_3] == list("AAAABB")


@pytest.mark.parametrize(
    "words", ["two drop", "Two-Drop", "2-drop", "2 drop", "drop 2", "DROP  two", "drop: 2", "twodrop # pairs"]
)
def test_it_may_be_said_otherwise_and_anywhere(words):
    assert parse_rows(NEAT.replace("\ntwo-drop\n", f"\n{words}\n"), SIZES) == parse_rows(NEAT, SIZES)
    assert parse_rows(NEAT.replace("\ntwo-drop\n", "\n") + words + "\n", SIZES) == parse_rows(NEAT, SIZES)


@pytest.mark.parametrize("words", ["one-drop", "drop 1", "1 drop"])
def test_a_drop_of_1_may_be_said(words):
    text = f"{words}\nA: cylinder 11/0, slate (#2f4a5a)\nRows 1+2 → 5: 5 A\nRow 3 ← 3: 3 A\n"
    assert parse_rows(text, SIZES).grid == Grid(5, 3)


# What was typed: what is replaced by what, and of each mistake its line and a part of what is said.
WRONG = {
    "said twice": ("Row 5 ← 6: 3 A, 3 B", "drop 1\nRow 5 ← 6: 3 A, 3 B", {9: "also given on line 3"}),
    "a row with a bead too few": ("Row 4 → 4: 4 A", "Row 4 → 3: 3 A", {8: "add 1"}),
    "rows 1 and 2 with a bead too few": ("→ 10: 2 A", "→ 9: 1 A", {6: "no pairs"}),
    "six pairs, so that turns are plain": ("→ 10: 2 A", "→ 12: 4 A", {7: "plain", 8: "add 2", 9: "plain"}),
    "pairs not said in the head": ("two-drop odd-count", "even-count", {2: "two-drop odd-count"}),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_is_wrong_is_named_with_its_line(what):
    right, wrong, wanted = WRONG[what]
    for mistake, (line, said) in zip(mistakes(NEAT.replace(right, wrong)), wanted.items(), strict=True):
        assert mistake.startswith(f"line {line}: ")
        assert said in mistake
