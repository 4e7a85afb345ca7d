"""The pages of word rows: the rows in full up to a repeat, the repeat once, and what comes after it.

Rows are put in groups that are never parted, with the checkpoints in their places.
"""

from math import ceil
from typing import Any, NamedTuple

from convert.documents.booklet.layout import PT_MM, PageLayout
from convert.rows.abbreviate import Reference, abbreviate_rows
from convert.rows.checkpoints import check_in_words
from convert.rows.copied import END, GOES_ON, LATER, OPENING
from convert.rows.find_repeat import Repeat
from convert.rows.row import RowOfWork, describe_work
from convert.rows.writer import write_bead, write_reference, write_row, write_settings
from shared.design import Design
from shared.typeface import text_width, wrap

GROUP = 5
"""Rows that stay together, so that no page has a lone one."""

MOST_LINES = 15
"""A group of more lines is smaller: a page must hold it."""

MOST_ON_A_PAGE = 22
"""A group of more lines, which is a single row of hundreds of beads, may be parted: no page holds it."""

_MARGIN_MM = 18.0
_SHORTEST_LINE = 30.0
_HARD_BLANK = "\N{NO-BREAK SPACE}"


class RowPart(NamedTuple):
    """Some rows under a heading."""

    name: str
    """What they are: empty when there is no repeat."""
    rows: tuple[RowOfWork, ...]
    repeats: tuple[dict[str, Any], ...] = ()
    """What is ticked off, each a repeat worked once; empty where the rows are worked once."""
    refers: tuple[str, ...] = ()
    """Lines of word rows for the later repeats: ``Rows 20–67: as rows 4–19``."""


def row_parts(design: Design) -> tuple[RowPart, ...]:
    """Return all word rows of a design in their order."""
    work = abbreviate_rows(design)
    rows = tuple(line for line in work.lines if isinstance(line, RowOfWork))
    repeat = work.repeat
    if repeat is None:
        return (RowPart("", rows),)
    refers = [line for line in work.lines if isinstance(line, Reference)]
    parts = (
        RowPart("First rows", tuple(row for row in rows if row.rows[0] < repeat.first)),
        RowPart(
            "Repeat",
            tuple(row for row in rows if repeat.first <= row.rows[0] <= repeat.last),
            _ticks(repeat, refers),
            tuple(map(write_reference, refers)),
        ),
        RowPart("Last rows", tuple(row for row in rows if row.rows[0] > repeat.last)),
    )
    return tuple(part for part in parts if part.rows)


def _ticks(repeat: Repeat, refers: list[Reference]) -> tuple[dict[str, Any], ...]:
    """Return the whole repeats, and the rows of a last one that are referred to."""
    firsts = range(repeat.first, repeat.first + repeat.times * repeat.period, repeat.period)
    rows = [f"{first} to {first + repeat.period - 1}" for first in firsts]
    partly = [
        f"{one.first} to {one.last}: only {one.source_first} to {one.source_last}"
        for one in refers
        if one.source_last < repeat.last
    ]
    return tuple(
        {"number": number, "rows": words, "partly": number > len(rows)}
        for number, words in enumerate([*rows, *partly], start=1)
    )


def _row(row: RowOfWork) -> dict[str, Any]:
    """Return a row as the template sets it; hard blanks hold the head and each run together."""
    head, colon, _ = write_row(row).partition(":")
    return {
        "head": f"{head}{colon}".replace(" ", _HARD_BLANK),
        "runs": ", ".join(str(run).replace(" ", _HARD_BLANK) for run in row.runs),
        "turn": row.odd_count_turn,
        "checks": [f"{check_in_words(check)}." for check in row.checkpoints],
    }


def row_pages(design: Design, layout: PageLayout) -> dict[str, Any]:
    """Return what the template needs for the word rows."""
    em = layout.rows_pt * PT_MM
    room = layout.line_mm - _MARGIN_MM
    return {
        "opening": OPENING,
        "later": LATER,
        "end": END,
        "settings": [
            *_break_line(f"# {design.title}", room, em),
            *_break_line(f"# {describe_work(design.grid)}", room, em),
            *write_settings(design.grid),
        ],
        "beads": [line for bead in design.beads for line in _break_line(write_bead(bead), room, em)],
        "parts": [_part(part, room, em) for part in row_parts(design)],
    }


def _break_line(text: str, room: float, em: float) -> list[str]:
    """Break a line where it is too long."""
    first, *more = wrap(text, max(room, _SHORTEST_LINE), em, most_lines=200)
    return [first, *(GOES_ON + line for line in more)]


def _part(part: RowPart, room: float, em: float) -> dict[str, Any]:
    groups = _group_rows([_row(row) for row in part.rows], room, em)
    return part._asdict() | {"rows": [], "groups": [_group(group, room, em) for group in groups]}


def _group(rows: list[dict[str, Any]], room: float, em: float) -> dict[str, Any]:
    return {"rows": rows, "together": sum(_lines(row, room, em) for row in rows) <= MOST_ON_A_PAGE}


def _lines(row: dict[str, Any], room: float, em: float) -> int:
    """Return how many lines a row takes with its checks, or one more."""
    texts = [f"{row['head']} {row['runs']}; odd-count turn", *row["checks"]]
    return sum(ceil(text_width(text, em) / room) for text in texts)


def _group_rows(rows: list[dict[str, Any]], room: float, em: float) -> list[list[dict[str, Any]]]:
    """Put rows together, fewer where they are long; none stays alone at the end if the one before is short too."""
    groups: list[list[dict[str, Any]]] = []
    lines = MOST_LINES
    for row in rows:
        own = _lines(row, room, em)
        if not groups or len(groups[-1]) == GROUP or lines + own > MOST_LINES:
            groups.append([])
            lines = 0
        groups[-1].append(row)
        lines += own
    if len(groups) > 1 and len(groups[-1]) == 1 and len(groups[-2]) > 2:
        groups[-1].insert(0, groups[-2].pop())
    return groups
