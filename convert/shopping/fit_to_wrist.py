"""A design fitted to wrists: its repeats, rows, finished length and beads for each."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import floor
from typing import NamedTuple

from convert.rows.find_repeat import Repeat
from convert.shopping.choices import WristChoices
from convert.shopping.length_model import LengthModel
from convert.shopping.packs import grams_text, known_packs
from convert.shopping.resize_design import FEWEST_ROWS, Change, resize
from convert.shopping.shopping_list import shopping_list
from convert.shopping.wrists import Size, beadwork_mm
from shared.design import LONGEST_LINE, Design
from shared.errors import BadChoiceError

_HAIR_MM = 1e-6
"""A length that is longer by no more than rounding errors of its sum still fits."""

_TRIES = 8
"""At most this number of steps; the search ends sooner, for lengths grow nearly in a straight line."""


class Fit(NamedTuple):
    """A design made for one wrist."""

    size: Size
    beadwork_mm: float
    """How long the beadwork may be."""
    change: Change
    repeats: int | None
    """How many whole repeats it has; None without a repeat."""
    design: Design
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
    growth: LengthModel
    fits: tuple[Fit, ...]
    """One for each wrist that the design can be made for."""
    missed: tuple[tuple[Size, str], ...] = ()
    """The other wrists, and why."""


def fit_to_wrist(design: Design, repeat: Repeat | None, growth: LengthModel, size: Size, wanted: WristChoices) -> Fit:
    """Make a design for a wrist.

    A design that repeats gets as many whole repeats as the length holds; what is left over may be filled with
    plain rows at both ends. One that does not repeat gets plain rows at both ends, or loses rows there. The
    beadwork is never longer than wrist + ease - clasp.

    Raises
    ------
    BadChoiceError
        When the length does not hold one repeat, or holds fewer than `FEWEST_ROWS` rows.
    """
    most_mm = beadwork_mm(size.wrist_mm, wanted.ease_mm, wanted.clasp_mm)
    change = _choose_change(design, repeat, growth, most_mm, plain_ends=wanted.plain_ends)
    one = _name_work(resize(design, repeat, change), size, change)
    purchases = shopping_list(one, spare_percent=wanted.spare_percent, pack_of=known_packs(wanted, design.bead_sizes))
    centigrams = sum(purchase.centigrams for purchase in purchases)
    packs = [purchase.packs for purchase in purchases if purchase.packs is not None]
    return Fit(
        size=size,
        beadwork_mm=most_mm,
        change=change,
        repeats=None if repeat is None else repeat.times + change.repeats,
        design=one,
        finished_mm=growth.after(change),
        grams=grams_text(centigrams),
        packs=sum(packs) if len(packs) == len(purchases) else None,
    )


def fit_to_wrists(
    design: Design, repeat: Repeat | None, growth: LengthModel, sizes: Sequence[Size], wanted: WristChoices
) -> tuple[tuple[Fit, ...], tuple[tuple[Size, str], ...]]:
    """Make a design for each of some wrists; return them, and the wrists that it cannot be made for with the reason."""
    fits, missed = [], []
    for size in sizes:
        try:
            fits.append(fit_to_wrist(design, repeat, growth, size, wanted))
        except BadChoiceError as error:
            missed.append((size, str(error)))
    return tuple(fits), tuple(missed)


def _choose_change(
    design: Design, repeat: Repeat | None, growth: LengthModel, wanted_mm: float, *, plain_ends: bool
) -> Change:
    if repeat is None:
        fewest = FEWEST_ROWS - design.grid.rows
        return Change(0, _most(lambda rows: growth.after(Change(0, rows)), wanted_mm, growth.row_mm, fewest, step=2))
    fewest = 1 - repeat.times
    repeats = _most(lambda more: growth.after(Change(more)), wanted_mm, growth.repeat_mm, fewest, step=1)
    if not plain_ends:
        return Change(repeats)
    plain = _most(lambda rows: growth.after(Change(repeats, rows)), wanted_mm, growth.row_mm, 0, step=2)
    return Change(repeats, plain)


def _most(length_of: Callable[[int], float], wanted_mm: float, each_mm: float, fewest: int, *, step: int) -> int:
    """Return the most rows (in pairs) or repeats with which a work is no longer than wanted."""
    fewest += fewest % step
    tried: dict[int, float] = {}
    count = 0
    for _ in range(_TRIES):
        count = max(count, fewest)
        if count in tried:
            break
        tried[count] = length_of(count)
        count += step * floor((wanted_mm - tried[count] + _HAIR_MM) / (step * each_mm))
    fitting = [count for count, length in tried.items() if length <= wanted_mm + _HAIR_MM]
    if not fitting:
        short = "do not hold one repeat" if step == 1 else "are too few for this design"
        raise BadChoiceError(
            f"{wanted_mm:.1f} mm of beadwork {short}, which needs {min(tried.values()):.1f} mm; "
            "give a larger wrist or ease, or a shorter clasp"
        )
    return max(fitting)


def _name_work(design: Design, size: Size, change: Change) -> Design:
    told = {"wrist_mm": size.wrist_mm, "repeats_added": change.repeats, "rows_added": change.plain}
    title = f"{design.title[: LONGEST_LINE // 2].rstrip()}, {size.name}"
    return replace(design, title=title, provenance=dict(design.provenance) | {"length": told})
