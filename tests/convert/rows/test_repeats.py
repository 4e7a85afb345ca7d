"""A repeat is written once and referred to."""

import pytest
from good_rows import as_first_form
from hypothesis import given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from strategies import SIZES, designs

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.design import Design
from shared.errors import MistakesError

CHEVRON = """\
# Chevron
# 4 columns and as many rows as follow
A: cylinder 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 4: 4 A
Row 3 ← 2: 1 A, 1 B
Row 4 → 2: 2 B
Row 5 ← 2: 1 B, 1 A
Row 6 → 2: 2 A
"""


def rows_of(text: str) -> list[str]:
    """Return each row of what a text gives, abbreviate_rows out, without its number."""
    lines = rows_text(parse_rows(text, SIZES), full=True).splitlines()
    return [line.split(" ", 2)[2] for line in lines if line.startswith("Row")]


def test_one_repeat() -> None:
    rows = rows_of(CHEVRON + "Rows 7–10: as rows 3–6\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:]]


def test_several_repeats_and_rows_after_them() -> None:
    rows = rows_of(CHEVRON + "Rows 7–18: as rows 3–6\nRow 19 ← 2: 2 B\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:] * 3, "← 2: 2 B"]


def test_a_repeat_of_repeated_rows() -> None:
    rows = rows_of(CHEVRON + "Rows 7–10: as rows 3–6\nRows 11–18: as rows 3–10\n")
    assert rows == [*rows_of(CHEVRON), *rows_of(CHEVRON)[1:] * 3]


@pytest.mark.parametrize(
    "line",
    [
        *("7 = 3", "7-7=3-3", "07 = 3 ; once", "7=3 # as before", "  7 - 7  =  3 - 3  ", "7–7 = 3"),
        *(
            "Row 7: as row 3",
            "rows 7-7: as rows 3-3",
            "ROW 07 : As Row 3; once",
            "Row 7: as 3 # as before",
            "Row 7 = row 3",
        ),
    ],
)
def test_a_single_row_and_loose_typing(line: str) -> None:
    assert rows_of(CHEVRON + line) == [*rows_of(CHEVRON), "← 2: 1 A, 1 B"]


def test_3_first_rows_and_a_repeat_of_16() -> None:
    """Common practice, no source: then row 20 is row 4."""
    keys = "ABBABAABBBABAABA"
    written = [f"{row} {'<>'[row % 2 == 0]}: {key}, B" for row, key in enumerate("A" + keys, start=3)]
    text = "\n".join([*CHEVRON.splitlines()[:5], *written, "Rows 20–35: as rows 4–19", "Rows 36–67: as rows 4–19"])
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
    text = rows_text(design).replace(f", {rows} rows,", f", {total} rows,", 1)
    text += f"Rows {rows + 1}–{total}: as rows {source}–{source + length - 1}\n"
    piece = stitch(text)
    read = parse_rows(text, SIZES)
    places = zip(read.grid.row_of.tolist(), read.grid.column_of.tolist(), strict=True)
    assert piece.rows == total
    assert piece.cells == dict(zip(places, (read.beads[cell].kind for cell in read.cells), strict=True))


BAD_REPEATS = {
    "Rows 7–9: as rows 3–6": "end at row 10",
    "Rows 7–15: as rows 3–6": "end at row 14",
    "Rows 7–10: as rows 2–5": "begin both sides at row 3 or later",
    "Rows 7–10: as rows 1–4": "begin both sides at row 3 or later",
    "Rows 7–10: as rows 4–7": "refer to earlier rows",
    "Rows 7–10: as rows 20–23": "refer to earlier rows",
    "Rows 7–9: as rows 4–6": "shift by an even number of rows",
    "Row 7: as row 6": "shift by an even number of rows",
    "Rows 7–12: as rows 3–5": "shift by an even number of rows",
    "Rows 10–7: as rows 3–6": "counts backwards",
    "Rows 7–10: as rows 6–3": "counts backwards",
    "Rows 7–10: is rows 3–6": "write a repeat like Rows 20–35: as rows 4–19",
    "Rows 7–10 as rows 3–6": "write a repeat like Rows 20–35: as rows 4–19",
    "Rows 7–10: as rows": "write a repeat like Rows 20–35: as rows 4–19",
    "7-10 == 3-6": "write a repeat like Rows 20–35: as rows 4–19",
    "7-10 = ": "write a repeat like Rows 20–35: as rows 4–19",
    "Rows 7–1000000006: as rows 3–6": "beyond any work",
    "Rows 9–12: as rows 3–6": "rows 7–8 are missing",
    "Rows 5–8: as rows 3–6": "row 5 is also given on line 8",
}


@pytest.mark.parametrize("line", BAD_REPEATS)
def test_bad_repeats(line: str) -> None:
    for text in (CHEVRON + line, as_first_form(CHEVRON + line)):
        with pytest.raises(MistakesError) as caught:
            parse_rows(text, SIZES)
        (mistake,) = caught.value.mistakes
        assert mistake.startswith("line 10: ")
        assert BAD_REPEATS[line] in mistake


def test_a_repeat_beyond_any_work_is_refused_before_it_is_laid() -> None:
    with pytest.raises(MistakesError) as caught:
        parse_rows(CHEVRON + "Rows 7–1500006: as rows 3–6", SIZES)
    (mistake,) = caught.value.mistakes
    assert mistake.startswith("line 10: 4 columns by 1500006 rows are over")
