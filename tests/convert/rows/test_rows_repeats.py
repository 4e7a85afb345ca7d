"""A repeat is written once and referred to."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from strategies import LADDER, designs

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.design import Design
from shared.errors import MistakesError

CHEVRON = """\
# Chevron
# 4 columns, 4 rows, even-count flat peyote, tail at left
bead A = cylinder 11/0 #2f4a5a slate
bead B = cylinder 11/0 #d8c7a0 sand
1+2 > 4: 4 A
3 < 2: 1 A, 1 B
4 > 2: 2 B
5 < 2: 1 B, 1 A
6 > 2: 2 A
"""


def rows_of(text: str) -> list[str]:
    """Return each row of what a text gives, written out, without its number."""
    lines = rows_text(parse_rows(text, LADDER), full=True).splitlines()
    return [line.split(" ", 1)[1] for line in lines if line[0].isdigit()]


def test_one_round() -> None:
    rows = rows_of(CHEVRON + "7-10 = 3-6\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:]]


def test_several_rounds_and_rows_after_them() -> None:
    rows = rows_of(CHEVRON + "7-18 = 3-6\n19 < 2: 2 B\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:] * 3, "< 2: 2 B"]


def test_a_repeat_of_repeated_rows() -> None:
    rows = rows_of(CHEVRON + "7-10 = 3-6\n11-18 = 3-10\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:] * 3]


@pytest.mark.parametrize(
    "line", ["7 = 3", "7-7=3-3", "07 = 3 ; once", "7=3 # as before", "  7 - 7  =  3 - 3  ", "7\u20137 = 3"]
)
def test_a_single_row_and_loose_typing(line: str) -> None:
    assert rows_of(CHEVRON + line) == [*rows_of(CHEVRON), "< 2: 1 A, 1 B"]


def test_a_foundation_of_3_rows_and_a_repeat_of_16() -> None:
    """Common practice, no source: then row 20 is row 4."""
    keys = "ABBABAABBBABAABA"
    written = [f"{row} {'<>'[row % 2 == 0]}: {key}, B" for row, key in enumerate("A" + keys, start=3)]
    text = "\n".join([*CHEVRON.splitlines()[:5], *written, "20-35 = 4-19", "36-67 = 4-19"])
    rows = rows_of(text)
    assert len(rows) == 66
    assert rows[20 - 2] == rows[4 - 2]
    assert rows[20 - 2 : 36 - 2] == rows[4 - 2 : 20 - 2] == rows[36 - 2 : 52 - 2] == rows[52 - 2 :]


@settings(max_examples=40)
@given(designs(most_rows=10).filter(lambda design: design.grid.rows >= 4), st.data())
def test_any_repeat_is_what_an_independent_stitcher_makes(design: Design, data: st.DataObject) -> None:
    rows = design.grid.rows
    length = 2 * data.draw(st.integers(1, (rows - 2) // 2))
    source = rows + 1 - length - 2 * data.draw(st.integers(0, (rows - 2 - length) // 2))
    total = rows + length * data.draw(st.integers(1, 3))
    text = rows_text(design) + f"{rows + 1}-{total} = {source}-{source + length - 1}\n"
    piece = stitch(text.replace(f", {rows} rows,", f", {total} rows,", 1))
    read = parse_rows(text, LADDER)
    places = zip(read.grid.row_of.tolist(), read.grid.column_of.tolist(), strict=True)
    assert piece.rows == total
    assert piece.cells == dict(zip(places, (read.beads[cell].kind for cell in read.cells), strict=True))


BAD_REPEATS = {
    "7-9 = 3-6": "3 rows are no whole round of the 4 of rows 3-6; end at row 10",
    "7-15 = 3-6": "9 rows are no whole round of the 4 of rows 3-6; end at row 14",
    "7-10 = 2-5": "rows 1 and 2 are one strand and no part of a repeat; begin both sides at row 3 or later",
    "7-10 = 1-4": "rows 1 and 2 are one strand and no part of a repeat; begin both sides at row 3 or later",
    "7-10 = 4-7": "rows 4-7 must be given before row 7; refer to earlier rows",
    "7-10 = 20-23": "rows 20-23 must be given before row 7; refer to earlier rows",
    "7-9 = 4-6": "an odd row cannot repeat an even one as it would from rows 4-6; shift by an even number of rows",
    "7 = 6": "an odd row cannot repeat an even one as it would from row 6; shift by an even number of rows",
    "7-12 = 3-5": "an odd row cannot repeat an even one as it would from rows 3-5; shift by an even number of rows",
    "10-7 = 3-6": "'10-7 = 3-6' counts backwards; write the lower row of each pair first",
    "7-10 = 6-3": "'7-10 = 6-3' counts backwards; write the lower row of each pair first",
    "7-10 == 3-6": "cannot read '7-10 == 3-6'; write a repeat like 20-35 = 4-19",
    "7-10 = ": "cannot read '7-10 ='; write a repeat like 20-35 = 4-19",
    "7-1000000006 = 3-6": "row 1000000006 is beyond any work; mend its number",
    "9-12 = 3-6": "rows 7-8 are missing; add them before rows 9-12",
    "5-8 = 3-6": "row 5 is also given on line 8; delete one of them or mend its number",
}


@pytest.mark.parametrize("line", BAD_REPEATS)
def test_bad_repeats(line: str) -> None:
    with pytest.raises(MistakesError) as caught:
        parse_rows(CHEVRON + line, LADDER)
    assert caught.value.mistakes == (f"line 10: {BAD_REPEATS[line]}",)


def test_a_repeat_beyond_any_work_is_refused_before_it_is_laid() -> None:
    with pytest.raises(MistakesError) as caught:
        parse_rows(CHEVRON + "7-3000006 = 3-6", LADDER)
    (mistake,) = caught.value.mistakes
    assert mistake.startswith("line 10: 4 columns by 3000006 rows are over")
