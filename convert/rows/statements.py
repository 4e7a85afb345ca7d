"""What a single line of word rows says, before anything is known of the lines around it.

There are two forms of these lines. The second is the one that is written; the first, of older files and booklets,
is read as well, and both may stand in one text. Lines are counted from 1.
"""

from dataclasses import dataclass
from typing import Literal

from shared.orientation import Direction, Start

ARROWS: dict[Direction, str] = {">": "\N{RIGHTWARDS ARROW}", "<": "\N{LEFTWARDS ARROW}"}
"""How word rows write the direction of the needle."""

DASH = "\N{EN DASH}"
"""How word rows write from one row to another."""

BEAD_EXAMPLE = "A: cylinder 11/0, deep slate (#2f4a5a)"
FIRST_EXAMPLE = f"Rows 1+2 {ARROWS['>']} 21: 21 A"
ROW_EXAMPLE = f"Row 4 {ARROWS['>']} 10: 9 A, 1 B"
REPEAT_EXAMPLE = f"Rows 20{DASH}35: as rows 4{DASH}19"
"""Lines of each kind, shown where one cannot be read."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """Something wrong in one line (counted from 1): what it is and how to correct it."""

    line: int
    message: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.message}"


@dataclass(frozen=True, slots=True)
class UnreadLine:
    """A line that says nothing that can be understood.

    Parameters
    ----------
    meant
        What it was meant to be, ``"row"`` when in doubt.
    rows
        The rows that it stands for, if they can be told, so that nobody looks for them in vain.
    kind
        The same for the kind that a bead line names.
    """

    line: int
    message: str
    meant: Literal["bead", "start", "row"] = "row"
    rows: tuple[int, ...] = ()
    kind: str = ""


@dataclass(frozen=True, slots=True)
class CommentLine:
    """A line that begins with ``#``; its text may be empty."""

    line: int
    text: str


@dataclass(frozen=True, slots=True)
class StartLine:
    """``start bottom``: which end of the picture row 1 is."""

    line: int
    start: Start


@dataclass(frozen=True, slots=True)
class DropLine:
    """``two-drop``: how many beads the needle takes in a stitch."""

    line: int
    drop: int


@dataclass(frozen=True, slots=True)
class BeadLine:
    """``A11: round 11/0, slate (#2f4a5a)``, or ``bead A11 = round 11/0 #2f4a5a slate``, its parts as typed.

    Parameters
    ----------
    kind
        In capitals.
    size
        In small letters with single blanks; any text.
    colour
        With its ``#``; any text, empty when there is none.
    name
        Any text, which may hold ``#`` or commas; may be empty.
    """

    line: int
    kind: str
    size: str
    colour: str
    name: str


@dataclass(frozen=True, slots=True)
class RowLine:
    """``Row 3 ← 11: 1 A11, 9 B, 1 A11; odd-count turn``, or without the word and with ``<``.

    Parameters
    ----------
    rows
        ``(1, 2)`` or a single row from 3.
    direction
        None where it was forgotten.
    total
        The bead count before the colon; None where it was left out.
    counts, kinds
        The runs in needle order, kinds in capitals.
    unread
        The pieces between commas that are no runs.
    odd_count_turn, plain_turn
        Whether a note marks this turn.
    has_word
        Whether it begins with the word row, as only the second form does.
    """

    line: int
    rows: tuple[int, ...]
    direction: Direction | None
    total: int | None
    counts: tuple[int, ...]
    kinds: tuple[str, ...]
    unread: tuple[str, ...]
    odd_count_turn: bool
    plain_turn: bool = False
    has_word: bool = False


@dataclass(frozen=True, slots=True)
class RepeatLine:
    """``Rows 20–67: as rows 4–19``, or ``20-67 = 4-19``: rows that equal earlier ones, once or several times."""

    line: int
    first: int
    last: int
    source_first: int
    source_last: int

    @property
    def times(self) -> int:
        """How often the earlier rows come again; what is over a whole repeat does not count."""
        return (self.last - self.first + 1) // (self.source_last - self.source_first + 1)


@dataclass(frozen=True, slots=True)
class TallyLine:
    """The tally of repeats in a booklet: it gives no rows, but says how far they go.

    Parameters
    ----------
    last
        The last row of the last repeat that it names.
    """

    line: int
    last: int


Statement = CommentLine | StartLine | DropLine | BeadLine | RowLine | RepeatLine | TallyLine | UnreadLine


def name_rows(first: int, last: int) -> str:
    """Name the rows of one line in a message: ``row 12``, ``rows 20–35``, ``rows 1+2``."""
    if (first, last) == (1, 2):
        return "rows 1+2"
    return f"row {first}" if first == last else f"rows {first}{DASH}{last}"
