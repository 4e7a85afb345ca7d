"""The pages of word rows: rows in groups that are never parted, checkpoints in their places."""

from math import ceil
from typing import Any

from convert.chart.lettering import wrap
from convert.chart.shapes import text_width
from convert.documents.booklet.layout import PT_MM, Layout
from convert.documents.booklet.row_list import Round, RowEntry, RowPart, row_parts
from convert.rows.copied import END, GOES_ON, LATER, OPENING
from shared.design import Bead, Design

GROUP = 5
"""Rows that stay together, so that no page has a lone one."""

MOST_LINES = 15
"""A group of more lines is smaller: a page must hold it."""

MOST_ON_A_PAGE = 22
"""A group of more lines, which is a single row of hundreds of beads, may be parted: no page holds it."""

_MARGIN_MM = 18.0
_SHORTEST_LINE = 30.0


def row_pages(design: Design, layout: Layout) -> dict[str, Any]:
    """Return what the template needs for the word rows."""
    em = layout.rows_pt * PT_MM
    room = layout.line_mm - _MARGIN_MM
    title = _broken(f"# {design.title}", room, em)
    return {
        "opening": OPENING,
        "later": LATER,
        "end": END,
        "settings": [*title, *(line for line in _settings(design) if line)],
        "beads": [line for bead in design.beads for line in _bead_lines(bead, room, em)],
        "parts": [_part(part, room, em) for part in row_parts(design)],
    }


def _settings(design: Design) -> tuple[str, str]:
    return (
        "start bottom" if design.grid.start == "bottom" else "",
        "two-drop" if design.grid.drop == 2 else "",
    )


def _bead_lines(bead: Bead, room: float, em: float) -> list[str]:
    """Write the bead line of word rows."""
    return _broken(f"bead {bead.kind} = {bead.size} {bead.srgb} {bead.name}", room, em)


def _broken(text: str, room: float, em: float) -> list[str]:
    """Break a line where it is too long."""
    first, *more = wrap(text, max(room, _SHORTEST_LINE), em, most_lines=200)
    return [first, *(GOES_ON + line for line in more)]


def _part(part: RowPart, room: float, em: float) -> dict[str, Any]:
    return {
        "name": part.name,
        "rounds": [{"number": one.number, "rows": _round(one), "partly": bool(one.only)} for one in part.rounds],
        "refers": part.refers,
        "groups": [_group(group, room, em) for group in _grouped(part.rows, room, em)],
    }


def _round(one: Round) -> str:
    return one.rows + (f": only {one.only}" if one.only else "")


def _group(rows: list[RowEntry], room: float, em: float) -> dict[str, Any]:
    fits = sum(_lines(entry, room, em) for entry in rows) <= MOST_ON_A_PAGE
    return {"rows": [_row(entry) for entry in rows], "together": fits}


def _lines(entry: RowEntry, room: float, em: float) -> int:
    """Return how many lines a row takes with its checks, or one more."""
    texts = [f"{entry.head} {entry.runs}; odd-count turn", *entry.checks]
    return sum(ceil(text_width(text, em) / room) for text in texts)


def _grouped(rows: tuple[RowEntry, ...], room: float, em: float) -> list[list[RowEntry]]:
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


def _row(entry: RowEntry) -> dict[str, Any]:
    return {"way": entry.direction, "head": entry.head, "runs": entry.runs, "turn": entry.turn, "checks": entry.checks}
