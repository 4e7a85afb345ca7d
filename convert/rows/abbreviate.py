"""What is written of the word rows, line by line: every row, or the repeat once and then references to it."""

from dataclasses import replace
from typing import NamedTuple

from convert.rows.checkpoints import Checkpoint
from convert.rows.find_repeat import Repeat, find_repeat
from convert.rows.row import RowOfWork, rows_of_work
from shared.design import Design

FEWEST_REFERRED = 4
"""Fewer rows of a last repeat are written out: looking them up takes longer than reading them."""


class Reference(NamedTuple):
    """Rows that equal earlier ones, in whole repeats or in the first rows of one."""

    first: int
    last: int
    source_first: int
    source_last: int

    @property
    def rows(self) -> int:
        """How many rows it stands for."""
        return self.last - self.first + 1

    @property
    def times(self) -> int:
        """How often the earlier rows come again."""
        return self.rows // (self.source_last - self.source_first + 1)


class AbbreviatedRows(NamedTuple):
    """The lines of a design, in the order of working."""

    repeat: Repeat | None
    """None where nothing repeats, or all is written in full."""
    lines: tuple[RowOfWork | Reference, ...]
    """Rows in full and references. The checkpoints of all repeats that are referred to stand in the first one."""


def abbreviate_rows(design: Design, *, full: bool = False) -> AbbreviatedRows:
    """Say what to write of a design.

    Parameters
    ----------
    full
        Write every row, also those that repeat earlier ones.
    """
    entries = rows_of_work(design)
    repeat = None if full else find_repeat(design)
    if repeat is None:
        return AbbreviatedRows(None, entries)
    place = {entry.rows[-1]: place for place, entry in enumerate(entries)}
    first = place[repeat.first]
    references = _references(repeat)
    told = place[references[-1].last] + 1
    once = _tell_checks_once(entries[first:told], repeat)
    return AbbreviatedRows(repeat, (*entries[:first], *once, *references, *entries[told:]))


def _references(repeat: Repeat) -> list[Reference]:
    whole = repeat.last + (repeat.times - 1) * repeat.period
    references = [Reference(repeat.last + 1, whole, repeat.first, repeat.last)]
    if repeat.partial >= FEWEST_REFERRED:
        partial = Reference(whole + 1, whole + repeat.partial, repeat.first, repeat.first + repeat.partial - 1)
        references.append(partial)
    return references


def _tell_checks_once(entries: tuple[RowOfWork, ...], repeat: Repeat) -> list[RowOfWork]:
    """Return the first repeat, with the checkpoints of all repeats that are told with it, alike ones once."""
    gathered: dict[int, dict[Checkpoint, list[Checkpoint]]] = {}
    for entry in entries:
        source = repeat.source_of(entry.rows[0])
        for check in entry.checkpoints:
            alike = replace(check, rows=(source,), dome_rows=(0, 0))
            gathered.setdefault(source, {}).setdefault(alike, []).append(check)
    told = entries[-1].rows[0]
    return [
        replace(
            entry,
            checkpoints=tuple(
                _join_checks(alike, entry, repeat, told) for alike in gathered.get(entry.rows[0], {}).values()
            ),
        )
        for entry in entries[: repeat.period]
    ]


def _join_checks(alike: list[Checkpoint], entry: RowOfWork, repeat: Repeat, told: int) -> Checkpoint:
    """Return one checkpoint for those of several repeats, as though it were in the first.

    ``told`` is the last row of all that are told with the first repeat.
    """
    row = entry.rows[0]
    shift = row - alike[0].rows[0]
    begins, ends = alike[0].dome_rows
    first = replace(alike[0], rows=entry.rows, dome_rows=(begins + shift, ends + shift))
    repeats = tuple((check.rows[0] - row) // repeat.period + 1 for check in alike)
    every = (told - row) // repeat.period + 1
    if len(repeats) == every:
        return first
    whole = (told - repeat.first_rows) % repeat.period == 0
    return replace(first, repeats=repeats, of_repeats=every, last_is_whole=whole)
