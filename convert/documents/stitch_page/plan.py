"""What she does, step by step, in the order of doing: the rows, their repeat, and where to stop and check."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from convert.rows.checkpoints import check_in_words
from convert.rows.find_repeat import find_repeat
from convert.rows.row import RowOfWork, rows_of_work
from shared.design import Design
from shared.orientation import Direction

PlacedRun = tuple[int, int]
"""How many of which bead: a count, and the place of the bead in ``design.beads``."""


@dataclass(frozen=True, slots=True)
class RowStep:
    """One line of the word rows.

    Parameters
    ----------
    rows
        The rows it makes: ``(1, 2)`` for those that are strung together, else one.
    direction
        How the needle runs.
    odd_count_turn
        Whether it ends with the odd-count turn.
    runs
        Its beads in needle order.
    """

    rows: tuple[int, ...]
    direction: Direction
    odd_count_turn: bool
    runs: tuple[PlacedRun, ...]


@dataclass(frozen=True, slots=True)
class RepeatedRows:
    """The rows that come again and again.

    Parameters
    ----------
    first
        The first row of the first repeat.
    period
        Rows of a repeat.
    last
        The last row of the last repeat, which may be a part of one.
    """

    first: int
    period: int
    last: int


@dataclass(frozen=True, slots=True)
class StitchPlan:
    """All steps of a work.

    Parameters
    ----------
    steps
        In their order.
    repeats
        The rows that come again, if any do.
    checks
        For the last row of a step, sentences on what must be seen once it is done.
    """

    steps: tuple[RowStep, ...]
    repeats: RepeatedRows | None = None
    checks: Mapping[int, tuple[str, ...]] = field(default_factory=dict)


def plan_steps(design: Design) -> StitchPlan:
    """Return what there is to do for a design: its rows, their repeat, and its checkpoints in words."""
    entries, repeat = rows_of_work(design), find_repeat(design)
    place_of = {bead.kind: place for place, bead in enumerate(design.beads)}
    return StitchPlan(
        tuple(_step(entry, place_of) for entry in entries),
        None if repeat is None else RepeatedRows(repeat.first, repeat.period, repeat.rows - repeat.end),
        {entry.rows[-1]: tuple(map(check_in_words, entry.checkpoints)) for entry in entries if entry.checkpoints},
    )


def _step(entry: RowOfWork, place_of: Mapping[str, int]) -> RowStep:
    runs = tuple((run.beads, place_of[run.kind]) for run in entry.runs)
    return RowStep(entry.rows, entry.direction, entry.odd_count_turn, runs)
