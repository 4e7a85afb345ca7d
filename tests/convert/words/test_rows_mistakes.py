"""Every mistake in word rows is named with its line and how to mend it, and nothing that merely follows from it."""

import pytest
from strategies import LADDER

from convert.words.read import parse_rows
from shared.errors import BadFileError, MistakesError

GOOD = [
    "# Tide pool cuff",
    "# 5 columns, 10 rows, odd-count flat peyote, tail at left",
    "bead A = cylinder 11/0 #2f4a5a slate",
    "bead A11 = round 11/0 #2f4a5a slate",
    "bead B = cylinder 11/0 #d8c7a0 sand",
    "1+2 > 5: 2 A, 1 B, 2 A",
    "3 < 3: 1 A11, 1 B, 1 A11; odd-count turn",
    "4 > 2: 2 A",
    "5 < 3: 3 B; odd-count turn",
    "6 > 2: 2 B",
    "7 < 3: 3 A; odd-count turn",
    "8 > 2: 2 A",
    "9 < 3: 3 B; odd-count turn",
    "10 > 2: 1 A, 1 B",
]


SIZES = "cylinder 11/0, round 11/0, round 8/0, round 6/0"


def mistakes_of(text: str) -> list[str]:
    with pytest.raises(MistakesError) as caught:
        parse_rows(text, LADDER, source="rows.txt")
    assert caught.value.where == ("rows.txt",)
    assert caught.value.exit_status == 2
    return list(caught.value.mistakes)


def with_lines(edits: dict[int, str]) -> str:
    """Return the good text with some of its lines replaced."""
    return "\n".join(edits.get(number, line) for number, line in enumerate(GOOD, start=1))


# What was typed: the line that was edited, the edit, the line that is named, and what is said of it.
SINGLE: dict[str, tuple[int, str, int, str]] = {
    "a bead too few": (8, "4 > 1: 1 A", 8, "row 4 has 1 bead where 2 belong; add 1 or mend a count"),
    "a bead too many": (9, "5 < 4: 4 B", 9, "row 5 has 4 beads where 3 belong; take out 1 or mend a count"),
    "a wrong count, right total": (9, "5 < 3: 1 B", 9, "row 5 has 1 bead where 3 belong; add 2 or mend a count"),
    "no runs": (8, "4 > 2:", 8, "row 4 has 0 beads where 2 belong; add 2 or mend a count"),
    "a wrong total": (8, "4 > 3: 2 A", 8, "row 4 says 3 beads, but its runs make 2; mend the total or a count"),
    "a wrong total of the strand": (
        6,
        "1+2 > 7: 2 A, 1 B, 2 A",
        6,
        "row 1+2 says 7 beads, but its runs make 5; mend the total or a count",
    ),
    "an empty run": (8, "4 > 2: 2 A, 0 B", 8, "row 4 has a run of 0 B; leave it out or mend its count"),
    "an unknown key": (8, "4 > 2: 2 C", 8, "the key C has no bead line; add one or mend the key"),
    "an unknown size of a key": (8, "4 > 2: 2 A8", 8, "the key A8 has no bead line; add one or mend the key"),
    "a key that fits no base bead": (
        5,
        "bead B = cylinder 11/0 #d8c7a0 sand\nbead C8 = cylinder 11/0 #112233 dusk",
        6,
        "the key C8 does not fit a cylinder 11/0; write C here and in the rows",
    ),
    "a key that fits no larger bead": (
        4,
        "bead A11 = round 8/0 #2f4a5a slate",
        4,
        "the key A11 does not fit a round 8/0; write A8 here and in the rows",
    ),
    "an unknown size": (
        4,
        "bead A11 = round 15/0 #2f4a5a slate",
        4,
        f"bead A11 is a 'round 15/0', which the ladder lacks; use one of {SIZES}",
    ),
    "no size": (
        4,
        "bead A11 = #2f4a5a slate",
        4,
        f"bead A11 has no size; use one of {SIZES}",
    ),
    "a bad colour": (
        5,
        "bead B = cylinder 11/0 #d8c7a sand",
        5,
        "bead B has '#d8c7a' for a colour; write it as #rrggbb, for instance #2f4a5a",
    ),
    "a colour run into a name": (
        5,
        "bead B = cylinder 11/0 #d8c7a0sand",
        5,
        "bead B has '#d8c7a0sand' for a colour; write it as #rrggbb, for instance #2f4a5a",
    ),
    "no colour": (
        5,
        "bead B = cylinder 11/0 sand",
        5,
        "bead B has no colour; write it as #rrggbb, for instance #2f4a5a",
    ),
    "no name": (
        5,
        "bead B = cylinder 11/0 #d8c7a0",
        5,
        "bead B has no name; write a word for the colour after #d8c7a0",
    ),
    "no equals sign": (
        5,
        "bead B cylinder 11/0 #d8c7a0 sand",
        5,
        "cannot read 'bead B cylinder 11/0 #d8c7a0 sand'; write a bead like bead A = cylinder 11/0 #2f4a5a slate",
    ),
    "a key twice": (
        5,
        "bead B = cylinder 11/0 #d8c7a0 sand\nbead b = cylinder 11/0 #112233 dusk",
        6,
        "the key B is also given on line 5; give each bead its own key",
    ),
    "a wrong way": (9, "5 > 3: 3 B", 9, "row 5 runs right to left here; write < instead of >"),
    "a wrong way of an even row": (10, "6 < 2: 2 B", 10, "row 6 runs left to right here; write > instead of <"),
    "a wrong way of the strand": (
        6,
        "1+2 < 5: 2 A, 1 B, 2 A",
        6,
        "row 1+2 runs left to right here; write > instead of <",
    ),
    "no way": (9, "5 3: 3 B", 9, "row 5 has no way; write < after its number"),
    "an odd-count turn away from the tail": (
        8,
        "4 > 2: 2 A; Odd-Count  Turn!",
        8,
        "row 4 ends in a plain turn; delete its note of an odd-count turn",
    ),
    "an odd-count turn of the strand": (
        6,
        "1+2 > 5: 2 A, 1 B, 2 A; odd-count turn",
        6,
        "row 1+2 ends in a plain turn; delete its note of an odd-count turn",
    ),
    "no colon": (8, "4 > 2 2 A", 8, "there is no colon in '4 > 2 2 A'; write a row like 4 > 10: 9 A, 1 B"),
    "an unreadable head": (8, "4 >> 2: 2 A", 8, "cannot read '4 >> 2: 2 A'; write a row like 4 > 10: 9 A, 1 B"),
    "an unreadable run": (
        8,
        "4 > 2: 1 A, 1 $",
        8,
        "row 4 has '1 $' where a run belongs; write a count and a key, like 3 A, with commas between",
    ),
    "a forgotten comma": (
        7,
        "3 < 3: 1 A11, 1 B 1 A11",
        7,
        "row 3 has '1 B 1 A11' where a run belongs; write a count and a key, like 3 A, with commas between",
    ),
    "a comma too many": (
        8,
        "4 > 2: 1 A,, 1 A",
        8,
        "row 4 has '' where a run belongs; write a count and a key, like 3 A, with commas between",
    ),
    "an unreadable line": (
        8,
        "here the dome begins",
        8,
        "cannot read 'here the dome begins'; write a row like 4 > 10: 9 A, 1 B, or put # before a comment",
    ),
    "a long unreadable line": (
        8,
        "x" * 10_000,
        8,
        f"cannot read '{'x' * 40}…'; write a row like 4 > 10: 9 A, 1 B, or put # before a comment",
    ),
    "a control character": (8, "4 > 2: 2\x07 A", 8, "holds the unprintable character U+0007; delete it"),
    "a control character in a name": (
        5,
        "bead B = cylinder 11/0 #d8c7a0 sa\u200bnd",
        5,
        "holds the unprintable character U+200B; delete it",
    ),
    "a control character in the title": (
        1,
        "# Tide\x07pool",
        1,
        "the title holds an unprintable character; type it anew",
    ),
    "another start": (2, "start left", 2, "cannot read 'start left'; write start top or start bottom"),
    "two starts": (3, f"start top\nstart bottom\n{GOOD[2]}", 4, "start is also given on line 3; delete one of them"),
    "a missing row": (9, "", 10, "row 5 is missing; add it before row 6"),
    "a missing strand": (6, "", 7, "the strand is missing; add it before row 3, like 1+2 > 21: 21 A"),
    "a strand without beads": (6, "1+2 >:", 6, "the strand has no beads; write its runs, like 1+2 > 21: 21 A"),
    "a row twice": (
        9,
        f"{GOOD[8]}\n{GOOD[8]}",
        10,
        "row 5 is also given on line 9; delete one of them or mend its number",
    ),
    "a strand twice": (
        7,
        f"{GOOD[5]}\n{GOOD[6]}",
        7,
        "row 1+2 is also given on line 6; delete one of them or mend its number",
    ),
    "a number too high": (9, "15 < 3: 3 B", 9, "row 15 stands where row 5 belongs; mend the number"),
    "a number too low": (9, "3 < 3: 3 B", 9, "row 3 stands where row 5 belongs; mend the number"),
    "a number of a row that was": (9, "4 < 3: 3 B", 9, "row 4 stands where row 5 belongs; mend the number"),
    "row 0": (9, "0 < 3: 3 B", 9, "there is no row 0; rows are numbered from 1, mend its number"),
    "half a strand": (
        6,
        "1 > 5: 2 A, 1 B, 2 A",
        6,
        "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number",
    ),
    "a strand the wrong way round": (
        6,
        "2+1 > 5: 2 A, 1 B, 2 A",
        6,
        "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number",
    ),
    "a silly count": (
        8,
        "4 > 2: 1000000000000 A",
        8,
        "row 4 has 1000000000000 beads where 2 belong; take out 999999999998 or mend a count",
    ),
    "a count beyond reading": (
        8,
        "4 > 2: " + "9" * 5000 + " A",
        8,
        f"row 4 has '{'9' * 20}' where a run belongs; write a count and a key, like 3 A, with commas between",
    ),
    "a silly strand": (
        6,
        "1+2 >: 1000000000000 A",
        6,
        "the strand has 1000000000000 beads, more than any work; mend a count",
    ),
    "a silly row number": (14, "1000000000 > 2: 2 A", 14, "row 1000000000 is beyond any work; mend its number"),
}


@pytest.mark.parametrize("what", SINGLE)
def test_one_mistake_is_named_alone(what: str) -> None:
    line, edit, named, sentence = SINGLE[what]
    assert mistakes_of(with_lines({line: edit})) == [f"line {named}: {sentence}"]


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
    text = "\n".join([*GOOD[:5], "1+2 > 4000000: 4000000 A", "3 < 2000000: 2000000 A"])
    (mistake,) = mistakes_of(text)
    assert mistake.startswith("line 7: 4000000 columns by 3 rows are over")


def test_what_is_no_text() -> None:
    with pytest.raises(BadFileError, match="NUL characters, so it is no text") as caught:
        parse_rows("\x89PNG\r\n\x1a\n\0\0\0\rIHDR", LADDER, source="cuff.png")
    assert str(caught.value).startswith("cuff.png: ")
