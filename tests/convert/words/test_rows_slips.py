"""Any single slip of the finger is either harmless or named, and never worse than a list of sentences."""

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import LADDER

from convert.words.read import parse_rows
from convert.words.write import rows_text
from shared.errors import MistakesError

TEXT = """\
# Tide pool cuff
# 5 columns, 12 rows, odd-count flat peyote, tail at left
bead A = cylinder 11/0 #2f4a5a slate
bead A11 = round 11/0 #2f4a5a slate
bead B = cylinder 11/0 #d8c7a0 sand
1+2 > 5: 2 A, 1 B, 2 A
3 < 3: 1 A11, 1 B, 1 A11; odd-count turn
4 > 2: 2 A
5 < 3: 3 B; odd-count turn
6 > 2: 2 B
7-12 = 3-6
"""
FIRST_ROW_LINE = 6


def slips(characters: list[str]) -> Iterator[tuple[int, str]]:
    """Yield the line of each slip and the text with it: each character left out or replaced."""
    for place, right in enumerate(TEXT):
        for wrong in characters:
            if wrong != right:
                yield TEXT.count("\n", 0, place) + 1, TEXT[:place] + wrong + TEXT[place + 1 :]


@pytest.mark.parametrize("wrong", ["", "1", "7", "B", " ", "<", ",", "\n", "#"])
def test_a_slip_is_harmless_or_named(wrong: str) -> None:
    lines = TEXT.count("\n") + 1
    named = 0
    for line, text in slips([wrong]):
        try:
            design = parse_rows(text, LADDER)
        except MistakesError as error:
            named += 1
            places = [int(re.match(r"line (\d+): ", mistake)[1]) for mistake in error.mistakes]  # type: ignore[index]
            assert places == sorted(places)
            assert set(places) <= set(range(1, lines + 1))
            assert len(places) <= 4
            if line >= FIRST_ROW_LINE:
                assert any(
                    f"{word} {place}" in mistake
                    for mistake in error.mistakes
                    for place in (line, line + 1)
                    for word in ("line", "lines")
                )
        else:
            assert parse_rows(rows_text(design), LADDER) == design
    assert named > len(TEXT) / 5


def test_a_wrong_figure_in_a_row_is_always_named() -> None:
    """A figure says which row, how many beads, or which size; each is checked against the rest."""
    for line, text in slips([*"0123456789"]):
        was, now = TEXT.splitlines()[line - 1], text.splitlines()[line - 1]
        if line < FIRST_ROW_LINE or not re.search(r"\d", was) or re.sub(r"\d", "0", was) != re.sub(r"\d", "0", now):
            continue
        with pytest.raises(MistakesError):
            parse_rows(text, LADDER)


@given(
    st.lists(st.sampled_from([*TEXT.splitlines(), "bead", "3 <", "20-35 = 4-19", "start bottom", "1 > : a", "\x07"]))
)
def test_lines_in_any_order_give_a_design_or_a_list_of_mistakes(lines: list[str]) -> None:
    try:
        design = parse_rows("\n".join(lines), LADDER)
    except MistakesError as error:
        assert error.mistakes
    else:
        assert parse_rows(rows_text(design), LADDER) == design


@given(st.text())
def test_no_text_does_worse_than_a_list_of_mistakes(text: str) -> None:
    with pytest.raises(MistakesError):
        parse_rows(text.replace("\0", "?"), LADDER)
