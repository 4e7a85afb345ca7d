"""All mistakes are named at once, but nothing that merely follows from another mistake."""

import pytest
from good_rows import GOOD, SIZES, mistakes_of, with_lines
from strategies import LADDER

from convert.rows.parser import parse_rows
from shared.errors import BadFileError, MistakesError


def test_the_good_text_is_good() -> None:
    assert parse_rows(with_lines({}), LADDER).grid.rows == 10


def test_all_mistakes_are_named_in_the_order_of_their_lines() -> None:
    edits = {
        3: "bead A = cylinder 11/0 slate",
        8: "4 < 2: 1 A, 2 C",
        10: "6 > 4: 2 B",
        12: "8 > 2: 2 A; odd-count turn",
        13: "10 pulled tight",
    }
    assert mistakes_of(with_lines(edits)) == [
        "line 3: bead A has no colour; write it as #rrggbb, for instance #2f4a5a",
        "line 8: row 4 has 3 beads where 2 belong; take out 1 or mend a count",
        "line 8: row 4 runs left to right here; write > instead of <",
        "line 8: the key C has no bead line; add one or mend the key",
        "line 10: row 6 says 4 beads, but its runs make 2; mend the total or a count",
        "line 12: row 8 ends in a plain turn; delete its note of an odd-count turn",
        "line 13: there is no colon in '10 pulled tight'; write a row like 4 > 10: 9 A, 1 B",
    ]


def test_the_error_reads_as_a_list() -> None:
    with pytest.raises(MistakesError) as caught:
        parse_rows(with_lines({8: "4 > 2: 2 C", 10: "6 < 2: 2 B"}), LADDER, source="rows.txt")
    assert str(caught.value) == (
        "rows.txt: 2 mistakes:\n"
        "  line 8: the key C has no bead line; add one or mend the key\n"
        "  line 10: row 6 runs left to right here; write > instead of <"
    )


def test_a_bead_may_have_several_mistakes() -> None:
    assert mistakes_of(with_lines({4: "bead A11 = oval 11/0 #red slate"})) == [
        f"line 4: bead A11 is a 'oval 11/0', which the ladder lacks; use one of {SIZES}",
        "line 4: bead A11 has '#red' for a colour; write it as #rrggbb, for instance #2f4a5a",
    ]


def test_a_key_without_a_bead_line_is_named_once_with_its_lines() -> None:
    assert mistakes_of(with_lines({5: ""})) == [
        "line 6: the key B has no bead line; add one or mend the key (also on lines 7, 9, 10, 13, 14)"
    ]
    more = "\n".join(f"{row} {'<>'[row % 2 == 0]} : {3 if row % 2 else 2} B" for row in range(11, 14))
    assert mistakes_of(f"{with_lines({5: ''})}\n{more}")[0].endswith("(also on lines 7, 9, 10, 13, 14 and 3 more)")


@pytest.mark.parametrize("text", ["", "\n\n", "# Tide pool cuff\n", "\n".join(GOOD[:5])])
def test_no_rows_at_all(text: str) -> None:
    last = max(len(text.strip().splitlines()), 1)
    assert mistakes_of(text) == [f"line {last}: there are no rows; begin with the strand, like 1+2 > 21: 21 A"]


def test_rows_that_were_exchanged() -> None:
    assert mistakes_of(with_lines({9: GOOD[9], 10: GOOD[8]})) == [
        "line 9: row 6 is out of order after row 4; rows must rise, so move it or mend its number"
    ]


def test_a_strand_that_comes_late() -> None:
    assert mistakes_of(with_lines({6: GOOD[6], 7: GOOD[5]})) == [
        "line 6: row 3 is out of order before row 1+2; rows must rise, so move it or mend its number"
    ]


def test_a_number_that_fits_nowhere_says_nothing_of_its_row() -> None:
    assert mistakes_of(with_lines({9: "40 < 3: 3 B", 10: ""})) == [
        "line 9: row 40 is out of order after row 4; rows must rise, so move it or mend its number"
    ]


def test_a_second_strand_is_no_row_with_a_wrong_number() -> None:
    assert mistakes_of(with_lines({9: GOOD[5], 10: ""})) == [
        "line 9: row 1+2 is also given on line 6; delete one of them or mend its number"
    ]


def test_a_row_within_a_repeat() -> None:
    text = "\n".join([*GOOD, "11-18 = 3-10", "13 < 3: 3 A", "19 < 3: 3 A"])
    assert mistakes_of(text) == ["line 15: row 13 is also given on line 16; delete one of them or mend its number"]


def test_several_missing_rows() -> None:
    assert mistakes_of(with_lines({8: "", 9: "", 12: ""})) == [
        "line 10: rows 4-5 are missing; add them before row 6",
        "line 13: row 8 is missing; add it before row 9",
    ]


def test_no_gap_is_seen_where_a_line_cannot_be_read() -> None:
    assert mistakes_of(with_lines({9: "S < 3: 3 B"})) == [
        "line 9: cannot read 'S < 3: 3 B'; write a row like 4 > 10: 9 A, 1 B, or put # before a comment"
    ]


def test_an_unreadable_strand_is_not_missed_too() -> None:
    (mistake,) = mistakes_of(with_lines({6: "l+2 > 5: 2 A, 1 B, 2 A"}))
    assert mistake.startswith("line 6: cannot read 'l+2 > 5: 2 A, 1 B, 2 A'")


def test_halves_of_a_strand_are_each_named_but_nothing_is_missing() -> None:
    sentence = "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number"
    assert mistakes_of(with_lines({6: "1 > 3: 3 A\n2 > 2: 2 A"})) == [f"line 6: {sentence}", f"line 7: {sentence}"]


def test_only_rows_1_and_2_are_strung_together() -> None:
    assert mistakes_of(with_lines({7: "3+4 < 5: 5 A", 8: ""})) == [
        "line 7: only rows 1 and 2 are strung together; write rows 3 and 4 each on its own line"
    ]


def test_a_miscounted_strand_is_blamed_once_and_wrong_rows_still_found() -> None:
    assert mistakes_of(with_lines({6: "1+2 > 7: 7 A", 10: "6 > 3: 3 B"})) == [
        "line 6: the strand has 7 beads, but the rows after it fit 5 columns; mend its counts",
        "line 10: row 6 has 3 beads where 2 belong; take out 1 or mend a count",
    ]


def test_two_wrong_rows_do_not_outvote_the_strand() -> None:
    text = "\n".join([*GOOD[:6], "3 < 4: 4 A", "4 > 3: 3 A"])
    assert mistakes_of(text) == [
        "line 7: row 3 has 4 beads where 3 belong; take out 1 or mend a count",
        "line 8: row 4 has 3 beads where 2 belong; take out 1 or mend a count",
    ]


def test_three_rows_that_agree_do() -> None:
    text = "\n".join([*GOOD[:6], "3 < 5: 5 A", "4 > 4: 4 A", "5 < 5: 5 A"])
    assert mistakes_of(text) == ["line 6: the strand has 5 beads, but the rows after it fit 9 columns; mend its counts"]


def test_a_minority_that_agrees_does_not() -> None:
    counts = {3: 5, 4: 4, 5: 5, 6: 17, 7: 27, 8: 37, 9: 47}
    rows = [f"{row} {'<>'[row % 2 == 0]}: {count} A" for row, count in counts.items()]
    mistakes = mistakes_of("\n".join([*GOOD[:6], *rows]))
    assert [mistake.split(":")[0] for mistake in mistakes] == [f"line {line}" for line in range(7, 14)]


def test_silly_counts_that_agree_are_no_work() -> None:
    rows = [f"{row} {'<>'[row % 2 == 0]}: 1000000000000 A" for row in range(3, 7)]
    assert mistakes_of("\n".join([*GOOD[:5], *rows])) == [
        "line 6: the strand is missing; add it before row 3, like 1+2 > 21: 21 A"
    ]


def test_without_a_strand_the_other_rows_tell_what_belongs() -> None:
    assert mistakes_of(with_lines({6: "", 9: "5 > 3: 2 B"})) == [
        "line 7: the strand is missing; add it before row 3, like 1+2 > 21: 21 A",
        "line 9: row 5 has 2 beads where 3 belong; add 1 or mend a count",
        "line 9: row 5 runs right to left here; write < instead of >",
    ]


def test_an_even_work_has_no_odd_count_turn() -> None:
    text = "\n".join([*GOOD[:5], "1+2 > 4: 4 A", "3 < 2: 2 A; odd-count turn"])
    assert mistakes_of(text) == ["line 7: row 3 ends in a plain turn; delete its note of an odd-count turn"]


def test_a_work_that_is_too_large() -> None:
    text = "\n".join([*GOOD[:5], "1+2 > 2000000: 2000000 A", "3 < 1000000: 1000000 A"])
    (mistake,) = mistakes_of(text)
    assert mistake.startswith("line 7: 2000000 columns by 3 rows are over")


def test_what_is_no_text() -> None:
    with pytest.raises(BadFileError, match="NUL characters, so it is no text") as caught:
        parse_rows("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", LADDER, source="cuff.png")
    assert str(caught.value).startswith("cuff.png: ")
