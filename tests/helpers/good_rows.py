"""Word rows without a mistake in both forms, and what the reader says when some of their lines are edited."""

import re

import pytest
from strategies import SIZES

from convert.rows.parser import parse_rows
from shared.errors import MistakesError

GOOD = [
    "# Tide pool cuff",
    "# 5 columns, 10 rows, odd-count flat peyote, tail at left",
    "A: cylinder 11/0, slate (#2f4a5a)",
    "A11: round 11/0, slate (#2f4a5a)",
    "B: cylinder 11/0, sand (#d8c7a0)",
    "Rows 1+2 → 5: 2 A, 1 B, 2 A",
    "Row 3 ← 3: 1 A11, 1 B, 1 A11; odd-count turn",
    "Row 4 → 2: 2 A",
    "Row 5 ← 3: 3 B; odd-count turn",
    "Row 6 → 2: 2 B",
    "Row 7 ← 3: 3 A; odd-count turn",
    "Row 8 → 2: 2 A",
    "Row 9 ← 3: 3 B; odd-count turn",
    "Row 10 → 2: 1 A, 1 B",
]


def as_first_form(text: str) -> str:
    """Return word rows as the first version wrote them; lines that are not as they are written stay."""
    for pattern, first in (
        (r"^([A-Z]+\d*): (\w+ \d+/0), (.*) \((#[0-9a-f]{6})\)$", r"bead \1 = \2 \4 \3"),
        (r"^Rows (\d+)–(\d+): as rows (\d+)–(\d+)$", r"\1-\2 = \3-\4"),
        (r"^Rows? ([\d+]+) →", r"\1 >"),
        (r"^Rows? ([\d+]+) ←", r"\1 <"),
    ):
        text = re.sub(pattern, first, text, flags=re.MULTILINE)
    return text


def mistakes_of(text: str) -> list[str]:
    with pytest.raises(MistakesError) as caught:
        parse_rows(text, SIZES, source="rows.txt")
    assert caught.value.where == ("rows.txt",)
    assert caught.value.exit_status == 2
    return list(caught.value.mistakes)


def places_of(text: str) -> list[int]:
    """Return the line of each mistake."""
    return [int(re.match(r"line (\d+): ", mistake)[1]) for mistake in mistakes_of(text)]


def with_lines(edits: dict[int, str]) -> str:
    """Return the good text with some of its lines replaced."""
    return "\n".join(edits.get(number, line) for number, line in enumerate(GOOD, start=1))
