"""What she does, step by step, in the order of doing: the rows, their repeat, and where to stop and check."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from convert.rows.checkpoints import check_in_words
from convert.rows.find_repeat import find_repeat
from convert.rows.row import RowOfWork, rows_of_work
from shared.design import Design
from shared.orientation import Direction

Run = tuple[int, int]
"""How many of which bead: a count, and the place of the bead in ``design.beads``."""


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the word rows.

    Parameters
    ----------
    rows
        The rows it makes: ``(1, 2)`` for the strand, else one.
    way
        How the needle runs.
    odd_count_turn
        Whether it ends with the odd-count turn.
    runs
        Its beads in needle order.
    """

    rows: tuple[int, ...]
    direction: Direction
    odd_count_turn: bool
    runs: tuple[Run, ...]


@dataclass(frozen=True, slots=True)
class Rounds:
    """The rows that come again and again.

    Parameters
    ----------
    first
        The first row of the first round.
    period
        Rows of a round.
    last
        The last row of the last round, which may be a part of one.
    """

    first: int
    period: int
    last: int


@dataclass(frozen=True, slots=True)
class Plan:
    """All steps of a work.

    Parameters
    ----------
    steps
        In their order.
    rounds
        The repeat, if there is one.
    checks
        For the last row of a step, sentences on what must be seen once it is done.
    """

    steps: tuple[Step, ...]
    rounds: Rounds | None = None
    checks: Mapping[int, tuple[str, ...]] = field(default_factory=dict)


def plan_of(design: Design) -> Plan:
    """Return what there is to do for a design: its rows, their repeat, and its checkpoints in words."""
    entries, repeat = rows_of_work(design), find_repeat(design)
    place_of = {bead.kind: place for place, bead in enumerate(design.beads)}
    return Plan(
        tuple(_step(entry, place_of) for entry in entries),
        None if repeat is None else Rounds(repeat.first, repeat.period, repeat.rows - repeat.end),
        {entry.rows[-1]: tuple(map(check_in_words, entry.checkpoints)) for entry in entries if entry.checkpoints},
    )


def _step(entry: RowOfWork, place_of: Mapping[str, int]) -> Step:
    runs = tuple((run.beads, place_of[run.kind]) for run in entry.runs)
    return Step(entry.rows, entry.direction, entry.odd_count_turn, runs)
