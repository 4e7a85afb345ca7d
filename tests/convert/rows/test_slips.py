"""Any single slip of the finger is either harmless or named, and never worse than a list of sentences."""

import re
from collections.abc import Iterator

import pytest
from good_rows import as_first_form
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import SIZES

from convert.rows.parser import RowsRead, read_rows
from convert.rows.writer import rows_text

SECOND = """\
# Tide pool cuff
# 5 columns, 14 rows, odd-count flat peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
A11: round 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 5: 2 A, 1 B, 2 A
Row 3 ← 3: 1 A11, 1 B, 1 A11; odd-count turn
Row 4 → 2: 2 A
Row 5 ← 3: 3 B; odd-count turn
Row 6 → 2: 2 B
Rows 7–14: as rows 3–6
"""
FIRST = as_first_form(SECOND)
FIRST_ROW_LINE, LAST_LINE = 6, 11


def slips(good: str, characters: list[str]) -> Iterator[tuple[int, str]]:
    """Yield the line of each slip and the text with it: each character left out or replaced."""
    for place, right in enumerate(good):
        for wrong in characters:
            if wrong != right:
                yield good.count("\n", 0, place) + 1, good[:place] + wrong + good[place + 1 :]


def reading_of(text: str) -> RowsRead:
    """Read a text; a design without mistakes must come back from its own rows."""
    reading = read_rows(text, SIZES)
    assert (reading.design is None) == bool(reading.mistakes)
    if reading.design is not None:
        assert read_rows(rows_text(reading.design), SIZES).design == reading.design
    return reading


def test_the_text_itself_is_good() -> None:
    assert reading_of(SECOND).design is not None
    assert reading_of(FIRST).design == reading_of(SECOND).design


ONE_LETTER = [*((SECOND, wrong) for wrong in ["", "1", "B", "<", "\n"])]
ONE_LETTER.append((FIRST, "1"))


@pytest.mark.parametrize(("good", "wrong"), ONE_LETTER)
def test_a_slip_is_harmless_or_named_near_it(good: str, wrong: str) -> None:
    named = 0
    for line, text in slips(good, [wrong]):
        mistakes = reading_of(text).mistakes
        named += bool(mistakes)
        assert len(mistakes) <= 4
        assert [mistake.line for mistake in mistakes] == sorted(mistake.line for mistake in mistakes)
        if mistakes and line >= FIRST_ROW_LINE:
            figures = {int(figure) for mistake in mistakes for figure in re.findall(r"line (\d+)", str(mistake))}
            assert figures & {line, line + 1}, (text, mistakes)
    assert named > len(good) / 5


@pytest.mark.parametrize("good", [SECOND, FIRST], ids=["second", "first"])
def test_a_wrong_figure_in_a_row_is_always_named(good: str) -> None:
    """A figure says which row, how many beads, or which size; each is checked against the rest."""
    zeroed = re.sub(r"\d", "0", good)
    figures = [(line, text) for line, text in slips(good, [*"0258"]) if re.sub(r"\d", "0", text) == zeroed]
    in_rows = [text for line, text in figures if FIRST_ROW_LINE <= line < LAST_LINE]
    assert len(in_rows) > 60
    for text in in_rows:
        assert reading_of(text).mistakes, text


ODD_LINES = ["bead", "3 <", "Row 3", "20-35 = 4-19", "start bottom", "1 > : a", "A:", "(#", "\x07"]


@given(st.lists(st.sampled_from([*SECOND.splitlines(), *ODD_LINES])))
def test_lines_in_any_order_give_a_design_or_a_list_of_mistakes(lines: list[str]) -> None:
    reading_of("\n".join(lines))


@settings(max_examples=25)
@given(st.text())
def test_no_random_text_is_a_design(text: str) -> None:
    assert reading_of(text.replace("\0", "?")).mistakes
