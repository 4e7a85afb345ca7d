"""Word rows without a mistake, and what the reader says when some of their lines are edited."""

import pytest
from strategies import LADDER

from convert.rows.parser import parse_rows
from shared.errors import MistakesError

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
