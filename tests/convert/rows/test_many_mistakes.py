"""All mistakes are named at once, but nothing that merely follows from another mistake."""

import pytest
from good_rows import GOOD, mistakes_of, places_of, with_lines
from strategies import SIZES

from convert.rows.parser import parse_rows
from shared.errors import BadFileError, MistakesError


def test_the_good_text_is_good() -> None:
    assert parse_rows(with_lines({}), SIZES).grid.rows == 10


def test_all_mistakes_are_named_in_the_order_of_their_lines() -> None:
    edits = {
        3: "A: cylinder 11/0, slate",
        8: "Row 4 ← 2: 1 A, 2 C",
        10: "Row 6 → 4: 2 B",
        12: "Row 8 → 2: 2 A; odd-count turn",
        13: "Row 10 pulled tight",
    }
    assert places_of(with_lines(edits)) == [3, 8, 8, 8, 10, 12, 13]


def test_the_error_reads_as_a_list() -> None:
    with pytest.raises(MistakesError) as caught:
        parse_rows(with_lines({8: "Row 4 → 2: 2 C", 10: "Row 6 ← 2: 2 B"}), SIZES, source="rows.txt")
    assert str(caught.value) == "\n  ".join(["rows.txt: 2 mistakes:", *caught.value.mistakes])
    assert [mistake[:9] for mistake in caught.value.mistakes] == ["line 8: C", "line 10: "]


def test_a_bead_may_have_several_mistakes() -> None:
    first, second = mistakes_of(with_lines({4: "A11: oval 11/0, slate (#red)"}))
    assert "'oval 11/0'" in first
    assert "'#red'" in second
    assert first[:8] == second[:8] == "line 4: "


def test_a_kind_without_a_bead_line_is_named_once_with_its_lines() -> None:
    (mistake,) = mistakes_of(with_lines({5: ""}))
    assert mistake.startswith("line 6: B ")
    assert mistake.endswith("(also on lines 7, 9, 10, 13, 14)")
    more = "\n".join(f"{row} {'<>'[row % 2 == 0]} : {3 if row % 2 else 2} B" for row in range(11, 14))
    assert mistakes_of(f"{with_lines({5: ''})}\n{more}")[0].endswith("(also on lines 7, 9, 10, 13, 14 and 3 more)")


@pytest.mark.parametrize("text", ["", "\n\n", "# Tide pool cuff\n", "\n".join(GOOD[:5])])
def test_no_rows_at_all(text: str) -> None:
    (mistake,) = mistakes_of(text)
    assert mistake.startswith(f"line {max(len(text.strip().splitlines()), 1)}: there are no rows; ")


# What was typed: the edits, the lines that are named, and a part of what is said of each.
ORDER = {
    "rows exchanged": ({9: GOOD[9], 10: GOOD[8]}, {9: "row 6 is out of order after row 4"}),
    "rows 1 and 2 late": ({6: GOOD[6], 7: GOOD[5]}, {6: "row 3 is out of order before rows 1+2"}),
    "a number that fits nowhere": ({9: "Row 40 ← 3: 3 B", 10: ""}, {9: "row 40 is out of order after row 4"}),
    "rows 1 and 2 again": ({9: GOOD[5], 10: ""}, {9: "rows 1+2 are also given on line 6"}),
    "several rows missing": ({8: "", 9: "", 12: ""}, {10: "rows 4–5 are missing", 13: "row 8 is missing"}),
    "no gap where a line cannot be read": ({9: "S ← 3: 3 B"}, {9: "cannot read 'S ← 3: 3 B'"}),
    "no gap where rows 1 and 2 cannot be read": ({6: "Rows l+2 → 5: 5 A"}, {6: "cannot read 'Rows l+2 → 5: 5 A'"}),
    "rows 1 and 2 apart": (
        {6: "Row 1 → 3: 3 A\nRow 2 → 2: 2 A"},
        {6: "strung together", 7: "strung together"},
    ),
    "other rows strung": ({7: "Rows 3+4 ← 5: 5 A", 8: ""}, {7: "write rows 3 and 4 each on its own line"}),
    "rows 1 and 2 miscounted": (
        {6: "Rows 1+2 → 7: 7 A", 10: "Row 6 → 3: 3 B"},
        {6: "7 beads, but the rows after them fit 5 columns", 10: "take out 1"},
    ),
    "rows 1 and 2 missing": (
        {6: "", 9: "Row 5 ← 3: 2 B", 10: "Row 6 ← 2: 2 B"},
        {7: "rows 1+2 are missing", 9: "add 1", 10: "write → instead of ←"},
    ),
}


@pytest.mark.parametrize("what", ORDER)
def test_nothing_is_named_that_follows_from_another_mistake(what: str) -> None:
    edits, wanted = ORDER[what]
    mistakes = mistakes_of(with_lines(edits))
    for mistake, (line, said) in zip(mistakes, wanted.items(), strict=True):
        assert mistake.startswith(f"line {line}: ")
        assert said in mistake


def test_a_row_within_a_repeat() -> None:
    text = "\n".join([*GOOD, "Rows 11–18: as rows 3–10", "Row 13 ← 3: 3 A", "Row 19 ← 3: 3 A"])
    (mistake,) = mistakes_of(text)
    assert mistake.startswith("line 15: row 13 is also given on line 16; ")


def test_two_wrong_rows_do_not_outvote_rows_1_and_2() -> None:
    assert places_of("\n".join([*GOOD[:6], "Row 3 ← 4: 4 A", "Row 4 → 3: 3 A"])) == [7, 8]


def test_three_rows_that_agree_do() -> None:
    text = "\n".join([*GOOD[:6], "Row 3 ← 5: 5 A", "Row 4 → 4: 4 A", "Row 5 ← 5: 5 A"])
    (mistake,) = mistakes_of(text)
    assert mistake.startswith("line 6: rows 1+2 have 5 beads, but the rows after them fit 9 columns; ")


def test_a_minority_that_agrees_does_not() -> None:
    counts = {3: 5, 4: 4, 5: 5, 6: 17, 7: 27, 8: 37, 9: 47}
    rows = [f"{row} {'<>'[row % 2 == 0]}: {count} A" for row, count in counts.items()]
    mistakes = mistakes_of("\n".join([*GOOD[:6], *rows]))
    assert [mistake.split(":")[0] for mistake in mistakes] == [f"line {line}" for line in range(7, 14)]


def test_silly_counts_that_agree_are_no_work() -> None:
    rows = [f"Row {row} {'←→'[row % 2 == 0]}: 1000000000000 A" for row in range(3, 7)]
    assert places_of("\n".join([*GOOD[:5], *rows])) == [6]


def test_an_even_work_has_no_odd_count_turn() -> None:
    assert places_of("\n".join([*GOOD[:5], "Rows 1+2 → 4: 4 A", "Row 3 ← 2: 2 A; odd-count turn"])) == [7]


def test_a_work_that_is_too_large() -> None:
    text = "\n".join([*GOOD[:5], "Rows 1+2 → 2000000: 2000000 A", "Row 3 ← 1000000: 1000000 A"])
    (mistake,) = mistakes_of(text)
    assert mistake.startswith("line 7: 2000000 columns by 3 rows are over")


def test_what_is_no_text() -> None:
    with pytest.raises(BadFileError, match="NUL characters, so it is no text") as caught:
        parse_rows("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", SIZES, source="cuff.png")
    assert str(caught.value).startswith("cuff.png: ")
