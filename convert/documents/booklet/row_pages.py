"""The pages of word rows: the rows in full up to a repeat, the repeat once, and what comes after it.

Rows are put in groups that are never parted, with the checkpoints in their places.
"""

from math import ceil
from typing import Any, NamedTuple

from convert.documents.booklet.layout import PT_MM, PageLayout
from convert.rows.abbreviate import AbbreviatedRows, Reference, abbreviate_rows
from convert.rows.checkpoints import check_in_words
from convert.rows.copied import END, GOES_ON, LATER, OPENING
from convert.rows.find_repeat import Repeat
from convert.rows.row import RowOfWork
from shared.design import Bead, Design
from shared.lettering import text_width, wrap

GROUP = 5
"""Rows that stay together, so that no page has a lone one."""

MOST_LINES = 15
"""A group of more lines is smaller: a page must hold it."""

MOST_ON_A_PAGE = 22
"""A group of more lines, which is a single row of hundreds of beads, may be parted: no page holds it."""

_MARGIN_MM = 18.0
_SHORTEST_LINE = 30.0
_HARD_BLANK = "\N{NO-BREAK SPACE}"


class RowEntry(NamedTuple):
    """One row to stitch, or rows 1 and 2, which are strung together."""

    first: int
    """Its row number."""
    last: int
    """The same, but 2 for rows 1 and 2."""
    direction: str
    """Where the needle goes: ``>`` or ``<``."""
    head: str
    """Number, direction and count: ``3 < 11:``."""
    runs: str
    """The runs, each held together by hard blanks: ``1 A11, 9 B``."""
    turn: bool
    """Whether it ends with the odd-count turn."""
    checks: tuple[str, ...]
    """What must be true after it, a sentence each."""


class RepeatTick(NamedTuple):
    """The repeat worked once, to be ticked off."""

    number: int
    first: int
    last: int
    only: str = ""
    """Which rows of the repeat it has, when not all of them."""


class RowPart(NamedTuple):
    """Some rows under a heading."""

    name: str
    """What they are: empty when there is no repeat."""
    rows: tuple[RowEntry, ...]
    repeats: tuple[RepeatTick, ...] = ()
    """How often they are worked; empty for once."""
    refers: tuple[str, ...] = ()
    """Lines of word rows for the later repeats: ``20-67 = 4-19``."""


def row_parts(design: Design) -> tuple[RowPart, ...]:
    """Return all word rows of a design in their order."""
    work = abbreviate_rows(design)
    entries = tuple(_entry(line) for line in work.lines if isinstance(line, RowOfWork))
    if work.repeat is None:
        return (RowPart("", entries),)
    repeat = work.repeat
    refers = [line for line in work.lines if isinstance(line, Reference)]
    parts = (
        RowPart("First rows", tuple(entry for entry in entries if entry.first < repeat.first)),
        RowPart(
            "Repeat",
            tuple(entry for entry in entries if repeat.first <= entry.first <= repeat.last),
            _ticks(repeat, work),
            tuple(f"{one.first}-{one.last} = {one.source_first}-{one.source_last}" for one in refers),
        ),
        RowPart("Last rows", tuple(entry for entry in entries if entry.first > repeat.last)),
    )
    return tuple(part for part in parts if part.rows)


def _ticks(repeat: Repeat, work: AbbreviatedRows) -> tuple[RepeatTick, ...]:
    """Return the whole repeats, and the rows of a last one that are referred to."""
    firsts = range(repeat.first, repeat.first + repeat.times * repeat.period, repeat.period)
    ticks = [RepeatTick(place, first, first + repeat.period - 1) for place, first in enumerate(firsts, start=1)]
    for line in work.lines:
        if isinstance(line, Reference) and line.source_last < repeat.last:
            only = f"{line.source_first} to {line.source_last}"
            ticks.append(RepeatTick(len(ticks) + 1, line.first, line.last, only))
    return tuple(ticks)


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


def row_pages(design: Design, layout: PageLayout) -> dict[str, Any]:
    """Return what the template needs for the word rows."""
    em = layout.rows_pt * PT_MM
    room = layout.line_mm - _MARGIN_MM
    settings = {"start bottom": design.grid.start == "bottom", "two-drop": design.grid.drop == 2}
    return {
        "opening": OPENING,
        "later": LATER,
        "end": END,
        "settings": [
            *_break_line(f"# {design.title}", room, em),
            *(line for line, holds in settings.items() if holds),
        ],
        "beads": [line for bead in design.beads for line in _bead_lines(bead, room, em)],
        "parts": [_part(part, room, em) for part in row_parts(design)],
    }


def _bead_lines(bead: Bead, room: float, em: float) -> list[str]:
    """Write the bead line of word rows."""
    return _break_line(f"bead {bead.kind} = {bead.size} {bead.srgb} {bead.name}", room, em)


def _break_line(text: str, room: float, em: float) -> list[str]:
    """Break a line where it is too long."""
    first, *more = wrap(text, max(room, _SHORTEST_LINE), em, most_lines=200)
    return [first, *(GOES_ON + line for line in more)]


def _part(part: RowPart, room: float, em: float) -> dict[str, Any]:
    return {
        "name": part.name,
        "repeats": [{"number": one.number, "rows": _tick_words(one), "partly": bool(one.only)} for one in part.repeats],
        "refers": part.refers,
        "groups": [_group(group, room, em) for group in _group_rows(part.rows, room, em)],
    }


def _tick_words(one: RepeatTick) -> str:
    """Say which rows a repeat has: ``20 to 35``."""
    return f"{one.first} to {one.last}" + (f": only {one.only}" if one.only else "")


def _group(rows: list[RowEntry], room: float, em: float) -> dict[str, Any]:
    fits = sum(_lines(entry, room, em) for entry in rows) <= MOST_ON_A_PAGE
    return {"rows": [entry._asdict() for entry in rows], "together": fits}


def _lines(entry: RowEntry, room: float, em: float) -> int:
    """Return how many lines a row takes with its checks, or one more."""
    texts = [f"{entry.head} {entry.runs}; odd-count turn", *entry.checks]
    return sum(ceil(text_width(text, em) / room) for text in texts)


def _group_rows(rows: tuple[RowEntry, ...], room: float, em: float) -> list[list[RowEntry]]:
    """Put rows together, fewer where they are long; none stays alone at the end if the one before is short too."""
    groups: list[list[RowEntry]] = []
    lines = MOST_LINES
    for entry in rows:
        own = _lines(entry, room, em)
        if not groups or len(groups[-1]) == GROUP or lines + own > MOST_LINES:
            groups.append([])
            lines = 0
        groups[-1].append(entry)
        lines += own
    if len(groups) > 1 and len(groups[-1]) == 1 and len(groups[-2]) > 2:
        groups[-1].insert(0, groups[-2].pop())
    return groups
