"""Every mistake in word rows is named with its line and how to mend it."""

import pytest
from good_rows import GOOD, SIZES, mistakes_of, with_lines

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
    "an empty run": (8, "4 > 2: 1 A, 0 B", 8, "row 4 has a run of 0 B; leave it out or mend its count"),
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
    "a key short of a figure": (
        4,
        "bead A1 = round 11/0 #2f4a5a slate",
        4,
        "the key A1 does not fit a round 11/0; write A11 here and in the rows",
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
    "a misspelt bead": (
        5,
        "baed B = cylinder 11/0 #d8c7a0 sand",
        5,
        "cannot read 'baed B = cylinder 11/0 #d8c7a0 sand'; write a bead like bead A = cylinder 11/0 #2f4a5a slate",
    ),
    "a bead without a key": (
        5,
        "bead = cylinder 11/0 #d8c7a0 sand",
        5,
        "cannot read 'bead = cylinder 11/0 #d8c7a0 sand'; write a bead like bead A = cylinder 11/0 #2f4a5a slate",
    ),
    "two rows on a line": (
        8,
        "4 > 2: 2 A 5 < 3: 3 B",
        8,
        "there are two colons in '4 > 2: 2 A 5 < 3: 3 B'; write each row on its own line, with one",
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
    "a start with a sign": (2, "start = top", 2, "cannot read 'start = top'; write start top or start bottom"),
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
    "the number of the next row": (9, "6 < 3: 3 B", 9, "row 6 stands where row 5 belongs; mend the number"),
    "the number of half a strand": (
        7,
        "1 < 3: 1 A11, 1 B, 1 A11",
        7,
        "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number",
    ),
    "the number of a strand": (
        9,
        "2 < 3: 3 B",
        9,
        "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number",
    ),
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
        "row 4 has 1,000,000,000,000 beads where 2 belong; take out 999999999998 or mend a count",
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
