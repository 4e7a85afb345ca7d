"""Every mistake in word rows is named alone, with its line and what mends it."""

import re

import pytest
from good_rows import GOOD, as_first_form, mistakes_of, places_of, with_lines

# What was typed: the line that was edited, the edit, the line that is named, and a part of what is said of it.
SINGLE: dict[str, tuple[int, str, int, str]] = {
    "a bead too few": (8, "Row 4 → 1: 1 A", 8, "add 1"),
    "a bead too many": (9, "Row 5 ← 4: 4 B", 9, "take out 1"),
    "a wrong count, right total": (9, "Row 5 ← 3: 1 B", 9, "add 2"),
    "no runs": (8, "Row 4 → 2:", 8, "0 beads where 2 belong"),
    "a wrong total": (8, "Row 4 → 3: 2 A", 8, "the runs make 2"),
    "a wrong total of rows 1 and 2": (6, "Rows 1+2 → 7: 2 A, 1 B, 2 A", 6, "the runs make 5"),
    "an empty run": (8, "Row 4 → 2: 1 A, 0 B", 8, "0 B"),
    "an unknown letter": (8, "Row 4 → 2: 2 C", 8, "C has no bead line"),
    "an unknown size of a letter": (8, "Row 4 → 2: 2 A8", 8, "A8 has no bead line"),
    "a kind that fits no flat bead": (
        5,
        "B: cylinder 11/0, sand (#d8c7a0)\nC8: cylinder 11/0, dusk (#112233)",
        6,
        "write C here",
    ),
    "a kind that fits no larger bead": (4, "A11: round 8/0, slate (#2f4a5a)", 4, "write A8 here"),
    "a kind short of a figure": (4, "A1: round 11/0, slate (#2f4a5a)", 4, "write A11 here"),
    "an unknown size": (4, "A11: round 15/0, slate (#2f4a5a)", 4, "'round 15/0'"),
    "a size run into a name": (4, "A11: round 11/0 slate (#2f4a5a)", 4, "'round 11/0 slate'"),
    "no size": (4, "A11:, slate (#2f4a5a)", 4, "no size"),
    "a bad colour": (5, "B: cylinder 11/0, sand (#d8c7a)", 5, "'#d8c7a'"),
    "no colour": (5, "B: cylinder 11/0, sand", 5, "no colour"),
    "a colour without its sign": (5, "B: cylinder 11/0, sand (d8c7a0)", 5, "no colour"),
    "a bracket that is not closed": (5, "B: cylinder 11/0, sand (#d8c7a0", 5, "no colour"),
    "no name": (5, "B: cylinder 11/0 (#d8c7a0)", 5, "no name"),
    "an empty name": (5, "B: cylinder 11/0, (#d8c7a0)", 5, "no name"),
    "a bead without a colon": (5, "B cylinder 11/0, sand (#d8c7a0)", 5, "write a bead like"),
    "a bead without a letter": (5, ": cylinder 11/0, sand (#d8c7a0)", 5, "write a bead like"),
    "two rows on a line": (8, "Row 4 → 2: 2 A Row 5 ← 3: 3 B", 8, "two colons"),
    "a letter twice": (
        5,
        "B: cylinder 11/0, sand (#d8c7a0)\nb: cylinder 11/0, dusk (#112233)",
        6,
        "B is also given on line 5",
    ),
    "a wrong direction": (9, "Row 5 → 3: 3 B", 9, "write ← instead of →"),
    "a wrong direction of an even row": (10, "Row 6 <- 2: 2 B", 10, "write → instead of ←"),
    "a wrong direction of rows 1 and 2": (6, "Rows 1+2 ← 5: 2 A, 1 B, 2 A", 6, "write → instead of ←"),
    "no direction": (9, "Row 5 3: 3 B", 9, "write ← after"),
    "an odd-count turn away from the tail": (8, "Row 4 → 2: 2 A; Odd-Count  Turn!", 8, "delete the note"),
    "an odd-count turn of rows 1 and 2": (6, "Rows 1+2 → 5: 2 A, 1 B, 2 A; odd-count turn", 6, "delete the note"),
    "no colon": (8, "Row 4 → 2 2 A", 8, "no colon"),
    "an unreadable head": (8, "Row 4 →→ 2: 2 A", 8, "cannot read 'Row 4 →→ 2: 2 A'"),
    "a dash for an arrow": (8, "Row 4 - 2: 2 A", 8, "cannot read 'Row 4 - 2: 2 A'"),
    "an unreadable run": (8, "Row 4 → 2: 1 A, 1 $", 8, "'1 $'"),
    "a forgotten comma": (7, "Row 3 ← 3: 1 A11, 1 B 1 A11", 7, "'1 B 1 A11'"),
    "a comma too many": (8, "Row 4 → 2: 1 A,, 1 A", 8, "''"),
    "an unreadable line": (8, "here the dome begins", 8, "# before a comment"),
    "a misspelt word": (8, "Rwo 4 → 2: 2 A", 8, "cannot read 'Rwo 4 → 2: 2 A'"),
    "a long unreadable line": (8, "x" * 10_000, 8, f"'{'x' * 40}…'"),
    "a long bead line": (8, f"{GOOD[7]}\nx: {' ' * 10_000}x", 9, "no colour"),
    "a control character": (8, "Row 4 → 2: 2\x07 A", 8, "U+0007"),
    "a control character in a name": (5, "B: cylinder 11/0, sa\u200bnd (#d8c7a0)", 5, "U+200B"),
    "a control character in the title": (1, "# Tide\x07pool", 1, "the title"),
    "another size of the work": (
        2,
        "# 6 columns, 10 rows, odd-count flat peyote, tail at left",
        2,
        "5 columns, 10 rows",
    ),
    "another side of the tail": (2, "# 5 columns, 10 rows, odd-count flat peyote, tail at right", 2, "tail at left"),
    "another kind of work": (2, "# 5 columns, 10 rows, even-count flat peyote, tail at left", 2, "odd-count"),
    "another start": (2, "start left", 2, "start top or start bottom"),
    "a start with a sign": (2, "start = top", 2, "start top or start bottom"),
    "two starts": (3, f"start top\nstart bottom\n{GOOD[2]}", 4, "also given on line 3"),
    "a missing row": (9, "", 10, "row 5 is missing"),
    "rows 1 and 2 missing": (6, "", 7, "rows 1+2 are missing"),
    "rows 1 and 2 without beads": (6, "Rows 1+2 →:", 6, "no beads"),
    "a row twice": (9, f"{GOOD[8]}\n{GOOD[8]}", 10, "also given on line 9"),
    "rows 1 and 2 twice": (7, f"{GOOD[5]}\n{GOOD[6]}", 7, "also given on line 6"),
    "a number too high": (9, "Row 15 ← 3: 3 B", 9, "where row 5 belongs"),
    "a number too low": (9, "Row 3 ← 3: 3 B", 9, "where row 5 belongs"),
    "the number of the next row": (9, "Row 6 ← 3: 3 B", 9, "where row 5 belongs"),
    "a number of a row that was": (9, "Row 4 ← 3: 3 B", 9, "where row 5 belongs"),
    "the number of row 1": (7, "Row 1 ← 3: 1 A11, 1 B, 1 A11", 7, "strung together"),
    "the number of row 2": (9, "Row 2 ← 3: 3 B", 9, "strung together"),
    "row 0": (9, "Row 0 ← 3: 3 B", 9, "no row 0"),
    "row 1 alone": (6, "Row 1 → 5: 2 A, 1 B, 2 A", 6, "strung together"),
    "rows 2 and 1": (6, "Rows 2+1 → 5: 2 A, 1 B, 2 A", 6, "strung together"),
    "a silly count": (8, "Row 4 → 2: 1000000000000 A", 8, "take out 999999999998"),
    "a count beyond reading": (8, "Row 4 → 2: " + "9" * 5000 + " A", 8, f"'{'9' * 20}'"),
    "a silly count in rows 1 and 2": (6, "Rows 1+2 →: 1000000000000 A", 6, "more than any work"),
    "a silly row number": (14, "Row 1000000000 → 2: 2 A", 14, "beyond any work"),
}

FIRST_FORM: dict[str, tuple[int, str, int, str]] = {
    "a colour run into a name": (5, "bead B = cylinder 11/0 #d8c7a0sand", 5, "'#d8c7a0sand'"),
    "no size": (4, "bead A11 = #2f4a5a slate", 4, "no size"),
    "no colour": (5, "bead B = cylinder 11/0 sand", 5, "no colour"),
    "no equals sign": (5, "bead B cylinder 11/0 #d8c7a0 sand", 5, "write a bead like A: "),
    "a misspelt bead": (5, "baed B = cylinder 11/0 #d8c7a0 sand", 5, "write a bead like A: "),
    "a bead without a letter": (5, "bead = cylinder 11/0 #d8c7a0 sand", 5, "write a bead like A: "),
    "a bead too few": (8, "4 > 1: 1 A", 8, "add 1"),
    "a wrong direction": (9, "5 > 3: 3 B", 9, "write ← instead of →"),
    "an unreadable head": (8, "4 >> 2: 2 A", 8, "write a row like Row 4 → "),
    "a missing row": (9, "", 10, "row 5 is missing"),
}


@pytest.mark.parametrize("what", SINGLE)
def test_one_mistake_is_named_alone(what: str) -> None:
    line, edit, named, said = SINGLE[what]
    (mistake,) = mistakes_of(with_lines({line: edit}))
    assert mistake.startswith(f"line {named}: ")
    assert said in mistake


@pytest.mark.parametrize("what", FIRST_FORM)
def test_so_it_is_in_the_first_form(what: str) -> None:
    line, edit, named, said = FIRST_FORM[what]
    (mistake,) = mistakes_of(as_first_form(with_lines({line: edit})))
    assert mistake.startswith(f"line {named}: ")
    assert said in mistake


def test_a_mistake_reads_as_a_sentence_that_says_what_to_do() -> None:
    edits = {5: "B: cylinder 15/0, sand (#d8c7a0)", 7: "Rwo 3 ← 3: 3 A", 8: "Row 4 ← 1: 1 A", 9: ""}
    assert mistakes_of(with_lines(edits)) == [
        (
            "line 5: bead B is a 'cylinder 15/0', which is none of the bead sizes; "
            "use one of cylinder 11/0, round 11/0, round 8/0, round 6/0"
        ),
        "line 7: cannot read 'Rwo 3 ← 3: 3 A'; write a row like Row 4 → 10: 9 A, 1 B, or put # before a comment",
        "line 8: row 4 has 1 bead where 2 belong; add 1 or correct a count",
        "line 8: the needle runs left to right in row 4; write → instead of ←",
        "line 10: row 5 is missing; add it before row 6",
    ]


def test_in_the_first_form_the_comment_below_the_title_says_nothing() -> None:
    """Whoever added rows to an older file did not look at it."""
    text = as_first_form("\n".join(GOOD))
    assert places_of(text.replace("10 rows", "9 rows") + "\n11 < 3: 2 A") == [15]


NARROW = """\
# Tide pool cuff
# 1 column, 7 rows, odd-count flat peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
Rows 1+2 → 1: 1 A
Row 3 ← 1: 1 A; odd-count turn
Row 4 → 0:
Row 5 ← 1: 1 A; odd-count turn
Row 6 → 0:
Row 7 ← 1: 1 A; odd-count turn
"""


def test_one_column_is_refused_with_one_sentence() -> None:
    assert mistakes_of(NARROW) == ["line 4: 1 is too few columns; give 2 or more"]


def test_one_pair_of_columns_is_refused_too() -> None:
    text = re.sub("(?<= )1(?=: 1 A)|1(?= A)", "2", NARROW).replace("A: cyl", "two-drop\nA: cyl")
    assert mistakes_of(text) == ["line 5: 2 is too few columns; give 4 or more"]
