"""The word rows of a booklet: in full up to a repeat, the repeat once, and what comes after it."""

from typing import NamedTuple

from convert.rows.abbreviate import AbbreviatedRows, Reference, abbreviate_rows
from convert.rows.checkpoints import check_in_words
from convert.rows.find_repeat import Repeat
from convert.rows.row import RowOfWork
from shared.design import Design

_HARD_BLANK = "\N{NO-BREAK SPACE}"


class RowEntry(NamedTuple):
    """One row to stitch, or the strand."""

    first: int
    """Its row number; 1 for the strand."""
    last: int
    """The same, but 2 for the strand."""
    direction: str
    """Which way the needle goes: ``>`` or ``<``."""
    head: str
    """Number, way and count: ``3 < 11:``."""
    runs: str
    """The runs, each held together by hard blanks: ``1 A11, 9 B``."""
    turn: bool
    """Whether it ends with the odd-count turn."""
    checks: tuple[str, ...]
    """What must be true after it, a sentence each."""


class Round(NamedTuple):
    """One round of the repeat, to be ticked off."""

    number: int
    first: int
    last: int
    only: str = ""
    """Which rows of the repeat it has, when not all of them."""

    @property
    def rows(self) -> str:
        """Its rows in words: ``20 to 35``."""
        return f"{self.first} to {self.last}"


class RowPart(NamedTuple):
    """Some rows under a heading."""

    name: str
    """What they are: empty when there is no repeat."""
    rows: tuple[RowEntry, ...]
    rounds: tuple[Round, ...] = ()
    """How often they are worked; empty for once."""
    refers: tuple[str, ...] = ()
    """Lines of word rows for the later rounds: ``20-67 = 4-19``."""


def row_parts(design: Design) -> tuple[RowPart, ...]:
    """Return all word rows of a design in their order."""
    work = abbreviate_rows(design)
    entries = tuple(_entry(line) for line in work.lines if isinstance(line, RowOfWork))
    if work.repeat is None:
        return (RowPart("", entries),)
    repeat = work.repeat
    refers = [line for line in work.lines if isinstance(line, Reference)]
    parts = (
        RowPart("Foundation", tuple(entry for entry in entries if entry.first < repeat.first)),
        RowPart(
            "Repeat",
            tuple(entry for entry in entries if repeat.first <= entry.first <= repeat.last),
            _rounds(repeat, work),
            tuple(f"{one.first}-{one.last} = {one.source_first}-{one.source_last}" for one in refers),
        ),
        RowPart("Last rows", tuple(entry for entry in entries if entry.first > repeat.last)),
    )
    return tuple(part for part in parts if part.rows)


def _rounds(repeat: Repeat, work: AbbreviatedRows) -> tuple[Round, ...]:
    """Return the whole rounds, and the rows of a last one that are referred to."""
    firsts = range(repeat.first, repeat.first + repeat.times * repeat.period, repeat.period)
    rounds = [Round(place, first, first + repeat.period - 1) for place, first in enumerate(firsts, start=1)]
    for line in work.lines:
        if isinstance(line, Reference) and line.source_last < repeat.last:
            only = f"{line.source_first} to {line.source_last}"
            rounds.append(Round(len(rounds) + 1, line.first, line.last, only))
    return tuple(rounds)


def _entry(line: RowOfWork) -> RowEntry:
    return RowEntry(
        first=line.rows[0],
        last=line.rows[-1],
        direction=line.direction,
        head=f"{line.name} {line.direction} {line.count}:".replace(" ", _HARD_BLANK),
        runs=", ".join(str(run).replace(" ", _HARD_BLANK) for run in line.runs),
        turn=line.odd_count_turn,
        checks=tuple(f"{check_in_words(check)}." for check in line.checkpoints),
    )
