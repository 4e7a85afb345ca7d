"""What is written of the word rows, line by line: every row, or the repeat once and then references to it."""

from dataclasses import replace
from typing import NamedTuple

from convert.rows.checkpoints import Checkpoint
from convert.rows.find_repeat import Repeat, find_repeat
from convert.rows.row import RowOfWork, rows_of_work
from shared.design import Design

FEWEST_REFERRED = 4
"""Fewer rows of a last round are written out: looking them up takes longer than reading them."""


class Reference(NamedTuple):
    """Rows that equal earlier ones, in whole rounds or in the first rows of one."""

    first: int
    last: int
    source_first: int
    source_last: int

    def __str__(self) -> str:
        """Write it as word rows do: ``20-67 = 4-19``."""
        return f"{self.first}-{self.last} = {self.source_first}-{self.source_last}"

    @property
    def rows(self) -> int:
        """How many rows it stands for."""
        return self.last - self.first + 1

    @property
    def rounds(self) -> int:
        """How often the earlier rows come again."""
        return self.rows // (self.source_last - self.source_first + 1)


class Written(NamedTuple):
    """The lines of a design, in the order of working."""

    repeat: Repeat | None
    """None where nothing comes round again, or all is written in full."""
    lines: tuple[RowOfWork | Reference, ...]
    """Rows in full and references. The checkpoints of all rounds that are referred to stand in the first one."""


def written(design: Design, *, full: bool = False) -> Written:
    """Say what to write of a design.

    Parameters
    ----------
    design
        Any.
    full
        Write every row, also those that come round again.
    """
    entries = rows_of_work(design)
    repeat = None if full else find_repeat(design)
    if repeat is None:
        return Written(None, entries)
    place = {entry.rows[-1]: place for place, entry in enumerate(entries)}
    first = place[repeat.first]
    references = _references(repeat)
    told = place[references[-1].last] + 1
    round_entries = _once_per_round(entries[first:told], repeat)
    return Written(repeat, (*entries[:first], *round_entries, *references, *entries[told:]))


def _references(repeat: Repeat) -> list[Reference]:
    whole = repeat.last + (repeat.rounds - 1) * repeat.period
    references = [Reference(repeat.last + 1, whole, repeat.first, repeat.last)]
    if repeat.partial >= FEWEST_REFERRED:
        partial = Reference(whole + 1, whole + repeat.partial, repeat.first, repeat.first + repeat.partial - 1)
        references.append(partial)
    return references


def _once_per_round(entries: tuple[RowOfWork, ...], repeat: Repeat) -> list[RowOfWork]:
    """Return the first round, with the checkpoints of all rounds that are told with it, alike ones once."""
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
                _for_rounds(times, entry, repeat, told) for times in gathered.get(entry.rows[0], {}).values()
            ),
        )
        for entry in entries[: repeat.period]
    ]


def _for_rounds(times: list[Checkpoint], entry: RowOfWork, repeat: Repeat, told: int) -> Checkpoint:
    """Return one checkpoint for those of several rounds, as though it were in the first.

    ``told`` is the last row of all that are told with the first round.
    """
    row = entry.rows[0]
    shift = row - times[0].rows[0]
    begins, ends = times[0].dome_rows
    first = replace(times[0], rows=entry.rows, dome_rows=(begins + shift, ends + shift))
    rounds = tuple((check.rows[0] - row) // repeat.period + 1 for check in times)
    every = (told - row) // repeat.period + 1
    if len(rounds) == every:
        return first
    whole = (told - repeat.first_rows) % repeat.period == 0
    return replace(first, rounds=rounds, of_rounds=every, last_is_whole=whole)
