"""Rows, finished length and beads of a design for each wrist."""

from collections.abc import Callable
from dataclasses import replace
from math import floor
from typing import NamedTuple

from convert.buying.growth import Growth
from convert.buying.longer import FEWEST_ROWS, Change, changed, rounds_of
from convert.buying.packs import PackOf, no_packs
from convert.buying.shopping import shopping_list
from convert.buying.wrists import Size, beadwork_mm
from convert.words.repeats import Repeat
from shared.design import LONGEST_LINE, Design
from shared.errors import BadChoiceError

_HAIR_MM = 1e-6
_TRIES = 8


class Wanted(NamedTuple):
    """What is asked for, whatever the wrist."""

    ease_mm: float
    """What the bracelet is longer than the wrist."""
    clasp_mm: float
    """What the clasp adds to the beadwork."""
    plain_ends: bool = False
    """Whether plain rows at the ends fill what whole repeats leave over."""
    spare_percent: float = 0.0
    """Beads above the count."""
    pack_of: PackOf = no_packs
    """How beads are sold."""


class Fit(NamedTuple):
    """A design made for one wrist."""

    size: Size
    """Whom it is for."""
    beadwork_mm: float
    """How long the beadwork may be."""
    change: Change
    """What is done to the design."""
    rounds: int | None
    """Whole rounds of the repeat that it has; None without a repeat."""
    design: Design
    """The design, so changed."""
    finished_mm: float
    """How long it comes out: never more than it may be."""
    grams: str
    """Of all beads, spare included."""
    packs: int | None
    """That hold them; None where it is unknown how they are sold."""

    @property
    def left_over_mm(self) -> float:
        """What the beadwork is shorter than it may be."""
        return max(0.0, self.beadwork_mm - self.finished_mm)


class Found(NamedTuple):
    """A design made for some wrists."""

    repeat: Repeat | None
    """Of the design."""
    growth: Growth
    """How its length changes."""
    fits: tuple[Fit, ...]
    """One for each wrist that the design can be made for."""
    missed: tuple[tuple[Size, str], ...] = ()
    """The other wrists, and why."""


def fit(design: Design, repeat: Repeat | None, growth: Growth, size: Size, wanted: Wanted) -> Fit:
    """Make a design for a wrist.

    A design that repeats gets as many whole rounds as the length holds; what is left over may be filled with
    plain rows at both ends. One that does not repeat gets plain rows at both ends, or loses rows there. The
    beadwork is never longer than wrist + ease - clasp.

    Raises
    ------
    BadChoiceError
        When the length does not hold one round, or fewer than `FEWEST_ROWS` rows.
    """
    most_mm = beadwork_mm(size.wrist_mm, wanted.ease_mm, wanted.clasp_mm)
    change = _change(design, repeat, growth, most_mm, plain_ends=wanted.plain_ends)
    one = _named(changed(design, repeat, change), size, change)
    purchases = shopping_list(one, spare_percent=wanted.spare_percent, pack_of=wanted.pack_of)
    centigrams = sum(purchase.centigrams for purchase in purchases)
    packs = [purchase.packs for purchase in purchases if purchase.packs is not None]
    return Fit(
        size=size,
        beadwork_mm=most_mm,
        change=change,
        rounds=None if repeat is None else rounds_of(design.grid, repeat) + change.rounds,
        design=one,
        finished_mm=growth.after(change),
        grams=f"{centigrams // 100}.{centigrams % 100:02d}",
        packs=sum(packs) if len(packs) == len(purchases) else None,
    )


def _change(design: Design, repeat: Repeat | None, growth: Growth, wanted_mm: float, *, plain_ends: bool) -> Change:
    rounds = 0
    if repeat is not None:
        rounds = floor((wanted_mm - growth.length_mm + _HAIR_MM) / growth.round_mm)
        if rounds_of(design.grid, repeat) + rounds < 1:
            least = growth.after(Change(1 - rounds_of(design.grid, repeat)))
            raise BadChoiceError(
                f"{wanted_mm:.1f} mm of beadwork do not hold one repeat, which needs {least:.1f} mm with foundation "
                "and ends; give a larger wrist or ease, or a shorter clasp"
            )
    if repeat is not None and not plain_ends:
        return Change(rounds)
    fewest = 0 if repeat is not None else FEWEST_ROWS - design.grid.rows
    plain = _most_rows(lambda rows: growth.after(Change(rounds, rows)), wanted_mm, growth.row_mm, fewest)
    return Change(rounds, plain)


def _most_rows(length_of: Callable[[int], float], wanted_mm: float, row_mm: float, fewest: int) -> int:
    """Return the most rows, an even number, with which a work is no longer than wanted."""
    fewest += fewest % 2
    tried: dict[int, float] = {}
    rows = 0
    for _ in range(_TRIES):
        rows = max(rows, fewest)
        if rows in tried:
            break
        tried[rows] = length_of(rows)
        rows += 2 * floor((wanted_mm - tried[rows] + _HAIR_MM) / (2 * row_mm))
    fitting = [rows for rows, length in tried.items() if length <= wanted_mm + _HAIR_MM]
    if not fitting:
        raise BadChoiceError(
            f"{wanted_mm:.1f} mm of beadwork are too few for this design; give a larger wrist or ease, "
            "or a shorter clasp"
        )
    return max(fitting)


def _named(design: Design, size: Size, change: Change) -> Design:
    told = {"wrist_mm": size.wrist_mm, "repeats_added": change.rounds, "rows_added": change.plain}
    title = f"{design.title[: LONGEST_LINE // 2].rstrip()}, {size.name}"
    return replace(design, title=title, provenance=dict(design.provenance) | {"length": told})
