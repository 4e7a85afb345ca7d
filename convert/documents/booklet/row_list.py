"""The word rows of a booklet: in full up to a repeat, the repeat once, and what comes after it."""

from typing import NamedTuple

from convert.buying.repeat import Repeat, find_repeat
from convert.words.write import rows_text
from shared.design import Design

FEWEST_ROUNDS = 2

_HARD_BLANK = "\N{NO-BREAK SPACE}"


class RowEntry(NamedTuple):
    """One row to stitch, or the strand."""

    first: int
    """Its row number; 1 for the strand."""
    last: int
    """The same, but 2 for the strand."""
    way: str
    """Which way the needle goes: ``>`` or ``<``."""
    head: str
    """Number, way and count: ``3 < 11:``."""
    runs: str
    """The runs, each held together by hard blanks: ``1 A11, 9 B``."""
    turn: bool
    """Whether it ends with the odd-count turn."""


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
        return _from_to(self.first, self.last)


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
    entries = _entries(design)
    repeat = _stitched(find_repeat(design), design.grid.rows)
    if repeat is None:
        return (RowPart("", entries),)
    rows = design.grid.rows
    first, last = repeat.foundation + 1, repeat.foundation + repeat.period
    whole = (rows - repeat.foundation - repeat.end) // repeat.period
    after = last + (whole - 1) * repeat.period
    rounds = tuple(
        Round(place + 1, first + place * repeat.period, last + place * repeat.period) for place in range(whole)
    )
    partial = rows - repeat.end - after
    if partial:
        rounds += (Round(whole + 1, after + 1, after + partial, _from_to(first, first + partial - 1)),)
    refers = [f"{last + 1}-{after} = {first}-{last}"]
    if partial:
        refers.append(_span(after + 1, after + partial, first))
    parts = [
        RowPart("Foundation", _between(entries, 1, repeat.foundation)),
        RowPart("Repeat", _between(entries, first, last), rounds, tuple(refers)),
    ]
    if repeat.end:
        parts.append(RowPart("End rows", _between(entries, rows - repeat.end + 1, rows)))
    return tuple(parts)


def _stitched(repeat: Repeat | None, rows: int) -> Repeat | None:
    """Return the repeat begun after the strand, which is no part of any; None when two rounds are not left."""
    if repeat is None:
        return None
    later = repeat._replace(foundation=max(2, repeat.foundation))
    left = rows - later.foundation - later.end
    return later if left >= FEWEST_ROUNDS * later.period else None


def _span(first: int, last: int, source: int) -> str:
    if first == last:
        return f"{first} = {source}"
    return f"{first}-{last} = {source}-{source + last - first}"


def _from_to(first: int, last: int) -> str:
    return str(first) if first == last else f"{first} to {last}"


def _between(entries: tuple[RowEntry, ...], first: int, last: int) -> tuple[RowEntry, ...]:
    return tuple(entry for entry in entries if first <= entry.first and entry.last <= last)


def _entries(design: Design) -> tuple[RowEntry, ...]:
    grid = design.grid
    lines = rows_text(design).splitlines()[-len(grid.works) :]
    return tuple(_entry(rows, grid.way(rows), line) for rows, line in zip(grid.works, lines, strict=True))


def _entry(rows: tuple[int, ...], way: str, line: str) -> RowEntry:
    body, _, note = line.partition(";")
    head, _, runs = body.partition(":")
    held = ", ".join(run.strip().replace(" ", _HARD_BLANK) for run in runs.split(",") if run.strip())
    return RowEntry(rows[0], rows[-1], way, f"{head}:".replace(" ", _HARD_BLANK), held, bool(note))
