"""Word rows copied out of a booklet: what the pages have around them is left out, and no mistake is lost with it."""

import pytest
from strategies import SIZES

from convert.rows.parser import read_rows

ROWS = """\
# Tide pool cuff
# 5 columns, 18 rows, odd-count flat peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 5: 2 A, 1 B, 2 A
Row 3 ← 3: 1 A, 1 B, 1 A; odd-count turn
Row 4 → 2: 2 A
Row 5 ← 3: 3 B; odd-count turn
Row 6 → 2: 2 B
Rows 7–14: as rows 3–6
Rows 15–18: as rows 3–6
"""

PAGES = """\
Tide pool cuff
What you need
A
112
Bay Studio · page 5 of 7

Tide pool cuff
Word rows
Tick a row when it is done. The arrow shows where the needle goes; then comes the number of beads in the row, and
after the colon how many of which kind, in the order in which the needle takes them.
Beads
# Tide pool cuff
# 5 columns, 18 rows, odd-count flat
… peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
B: cylinder 11/0,
… sand (#d8c7a0)
First rows
done row, direction, beads: how many of which kind
   Rows 1+2 → 5: 2 A, 1 B,
      2 A
Repeat
Work these rows 3 times, then some of them once more, and tick each repeat
here.
1 rows 3 to 6     2 rows 7 to 10   3 rows 11 to 14
4 rows 15 to 18: only 3 to 6
done row, direction, beads: how many of which kind
Row 3 ← 3: 1 A, 1 B, 1 A;
odd-count turn
Check: in the first repeat, a dome begins on columns 5 to 10: 3 flat beads, then the dome, then 3; 8 flat beads in
column 9 from the first row on.
Row 4 → 2: 2 A
Bay Studio · page 6 of 7

Tide pool cuff
done row, direction, beads: how many of which kind
Row 5 ← 3: 3 B; odd-count turn
Row 6 → 2: 2 B
The later repeats, as row numbers:
Rows 7–14: as rows 3–6
Rows 15–18: as rows 3–6
End of the word rows.
Bay Studio · page 7 of 7
Sizes
3: all is well
"""

OLDEST = """\
Tide pool cuff
Word rows
Tick a row when it is done. The arrow and the sign < or > show which way the needle goes; then comes the
number of beads in the row, and after the colon how many of which key, in the order in which the needle takes
them.
Beads
# Tide pool cuff
bead A = cylinder 11/0 #2f4a5a slate
bead B = cylinder 11/0 #d8c7a0 sand
Foundation
done way row, way, beads in it: how many of which key
   1+2 > 5: 2 A, 1 B,
      2 A
Repeat
Work these rows 3 times, then some of them once more, and tick each round
here.
1 rows 3 to 6     2 rows 7 to 10   3 rows 11 to 14
4 rows 15 to 18: only 3 to 6
done way row, way, beads in it: how many of which key
3 < 3: 1 A, 1 B, 1 A;
odd-count turn
Check: in the first round, a dome begins on columns 5 to 10: 3 flat beads, then the dome, then 3; 8 flat beads in column
9 from the first row on.
4 > 2: 2 A
Bay Studio · page 6 of 7

Tide pool cuff
done way row, way, beads in it: how many of which key
5 < 3: 3 B; odd-count turn
6 > 2: 2 B
The later rounds, as row numbers:
7-14 = 3-6
15-18 = 3-6
End of the word rows.
Bay Studio · page 7 of 7
Sizes
3: all is well
"""

OLD = OLDEST
for was, became in (
    ("show which way", "show where"),
    ("which key", "which kind"),
    ("done way row, way,", "done needle row, direction,"),
    ("Foundation", "First rows"),
    ("round", "repeat"),
):
    OLD = OLD.replace(was, became)
"""Booklets of two earlier layouts, with rows of the first form."""


def said(text):
    return [mistake.message for mistake in read_rows(text, SIZES).mistakes]


def test_the_pages_give_the_same_design_as_the_rows():
    assert read_rows(PAGES, SIZES).mistakes == ()
    assert read_rows(PAGES, SIZES).design == read_rows(ROWS, SIZES).design


@pytest.mark.parametrize("pages", [OLD, OLDEST], ids=["old", "oldest"])
def test_booklets_printed_before_give_it_as_well(pages):
    assert read_rows(pages, SIZES).mistakes == ()
    assert read_rows(pages, SIZES).design == read_rows(ROWS, SIZES).design


def test_from_any_heading_on_they_do_too():
    text = PAGES[PAGES.index("Beads\n") :]
    assert read_rows(text, SIZES).design == read_rows(ROWS, SIZES).design


def test_a_mistake_is_told_with_its_own_line():
    text = PAGES.replace("Row 6 → 2: 2 B", "Row 6 → 2: 1 B")
    (mistake,) = [one for one in read_rows(text, SIZES).mistakes if "row 6" in one.message]
    assert text.splitlines()[mistake.line - 1] == "Row 6 → 2: 1 B"


LINES = [line for line in ROWS.splitlines() if line.startswith("Row")]


@pytest.mark.parametrize("wrong", ["", "1", "B", "←", ",", ".", " rows "])
@pytest.mark.parametrize("line", [line for line in LINES if f"\n{line}\n" in PAGES])
def test_any_slip_in_a_row_says_the_same_as_without_the_pages(line, wrong):
    """What is skipped around the rows must not swallow what went wrong in them."""
    for place, right in enumerate(line):
        if wrong == right:
            continue
        slip = line[:place] + wrong + line[place + 1 :]
        alone = read_rows(ROWS.replace(f"\n{line}\n", f"\n{slip}\n"), SIZES)
        within = read_rows(PAGES.replace(f"\n{line}\n", f"\n{slip}\n"), SIZES)
        assert within.design == alone.design, slip
        assert bool(within.mistakes) == bool(alone.mistakes), slip


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("First rows\n", "First rows of sand\n"),
        ("Check: in", "Cheek: in"),
        ("The later repeats", "The later rows"),
        ("Work these rows 3", "Work these rows"),
        ("odd-count turn\nCheck", "odd count\nCheck"),
        ("      2 A\n", "      2 ?\n"),
        ("column 9 from the first row on.\n", ""),
        ("Bay Studio · page 6 of 7", "page six"),
        ("End of the word rows.\n", ""),
        ("Bay Studio · page 5 of 7\n", "Row 4 → 2: 2 A\n"),
        ("3: all is well", "Row 17 ← 3: 3 A"),
    ],
)
def test_what_is_not_the_booklets_own_is_named(right, wrong):
    assert PAGES.count(right) == 1
    assert said(PAGES.replace(right, wrong))


@pytest.mark.parametrize("begins", ["Row 4", "Row 6", "The later", "End of"])
def test_pages_that_break_off_are_told(begins):
    told = said(PAGES[: PAGES.index(f"\n{begins}") + 1])
    assert any("the word rows break off: 'End of the word rows.' is missing" in message for message in told)
    assert not any("break off" in message for message in said(PAGES))


def test_repeats_that_were_not_copied_are_missed():
    text = PAGES.replace("Rows 7–14: as rows 3–6\nRows 15–18: as rows 3–6\n", "")
    (message,) = said(text)
    assert "go on to row 18, but the rows end with row 6" in message


@pytest.mark.parametrize("more", ["Repeat", "Check: all is well.", "page 2 of 3", "1 rows 3 to 6", "Beads"])
def test_nothing_is_left_out_of_rows_that_are_typed(more):
    assert said(f"{ROWS}{more}\n")


def test_nothing_is_joined_in_rows_that_are_typed():
    assert said(ROWS.replace("1 B, 2 A", "1 B,\n2 A"))
