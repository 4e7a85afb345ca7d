"""Rows that give the finished length asked for: the flow is entered again at the layout, and only sizes are tried."""

from collections.abc import Callable
from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING, NamedTuple, cast

from convert.layout.choices import Turn
from convert.memo import Flow
from convert.options import Options

if TYPE_CHECKING:
    from convert.surface.prediction import Known

MOST_TRIES = 8
"""At most n layouts are tried to meet a length, the first one counted."""

FlowOf = Callable[[Options], Flow]
"""Gives the flow of some options, for the files at hand."""


class Fitted(NamedTuple):
    """Options under which a work comes out as long as asked for."""

    options: Options
    """With a number of rows in place of a length, unless the first try was right."""
    shape: "Known"
    """How the work lies then."""
    rows: int
    """Rows of the work."""
    notices: tuple[str, ...] = ()
    """What a person should know of it."""


def fit_rows(flow_of: FlowOf, options: Options) -> Fitted:
    """Find rows whose predicted length is the one asked for, to half a bead.

    Columns and turn stay those of the first try. A motif that comes again does so in as many whole repeats as the
    length holds then. Nothing changes where no length is asked for, all lies flat, or the shape is not known.
    """
    first = _try(flow_of, options)
    if first.shape.why:
        flat = "" if options.length_mm is None else "; --length is that of flat work"
        return first._replace(notices=(f"{first.shape.why}{flat}",))
    if options.length_mm is None or first.shape.prediction is None:
        return first
    if options.repeat is not None:
        return _fit_whole_repeats(flow_of, options, first)
    plan = flow_of(options)["layout"].plan
    held = replace(options, columns=plan.columns, width_mm=None, length_mm=None, turn=cast("Turn", str(plan.turn)))
    tries = {first.rows: first}
    while len(tries) < MOST_TRIES:
        rows = _better_rows(tries, options)
        if rows in tries:
            break
        tries[rows] = _try(flow_of, replace(held, rows=rows))
    return _tell(tries[_nearest(tries, options)], first.rows, options)


def _try(flow_of: FlowOf, options: Options) -> Fitted:
    flow = flow_of(options)
    return Fitted(options, flow["shape"], flow["layout"].grid.rows)


def _fit_whole_repeats(flow_of: FlowOf, options: Options, first: Fitted) -> Fitted:
    """Try other numbers of repeats, for the greatest whose prediction is not over the length by more than half a bead.

    Columns and turn of a motif do not depend on the rows.
    """
    pitch = options.bead_sizes.flat.diameter_mm / 2
    last, tries = first, {first.rows: first}
    while len(tries) < MOST_TRIES and last.shape.prediction is not None:
        room = last.rows + floor((pitch - _miss_mm(last, options)) / pitch)
        last = _try(flow_of, replace(options, length_mm=None, rows=max(room, 2)))
        if last.rows in tries:
            break
        tries[last.rows] = last
    held = [rows for rows, one in tries.items() if _miss_mm(one, options) <= pitch]
    found = tries[max(held) if held else min(tries)]
    miss = _miss_mm(found, options)
    out = f"whole repeats in {_rows_in_words(found, first.rows)} come out {abs(miss):.1f} mm "
    out += f"{'over' if miss > 0 else 'under'} it (predicted)"
    return found._replace(notices=(f"--length is the finished length with its domes; {out}",))


def _better_rows(tries: dict[int, Fitted], options: Options) -> int:
    """Return the rows that would meet the length if every row more added its own height; if tried, others near by.

    A row more may move a step of a dome, so that lengths do not rise evenly.
    """
    rows = _nearest(tries, options)
    pitch = options.bead_sizes.flat.diameter_mm / 2
    miss = _miss_mm(tries[rows], options)
    if abs(miss) <= pitch / 2:
        return rows
    likely = (rows - round(miss / pitch), rows - 1, rows + 1, rows - 2, rows + 2)
    return next((max(2, each) for each in likely if max(2, each) not in tries), rows)


def _nearest(tries: dict[int, Fitted], options: Options) -> int:
    return min(tries, key=lambda rows: (abs(_miss_mm(tries[rows], options)), rows))


def _miss_mm(one: Fitted, options: Options) -> float:
    """Return how much longer than asked for a work comes out; without end where it is not known."""
    if one.shape.prediction is None or options.length_mm is None:
        return float("inf")
    return one.shape.prediction.found.length_mm - options.length_mm


def _tell(one: Fitted, flat_rows: int, options: Options) -> Fitted:
    miss, pitch = _miss_mm(one, options), options.bead_sizes.flat.diameter_mm / 2
    near = f"to {abs(miss):.1f} mm" if abs(miss) <= pitch else f"but for {abs(miss):.1f} mm: no count of rows is nearer"
    met = f"{_rows_in_words(one, flat_rows)} meet it {near} (predicted)"
    return one._replace(notices=(f"--length is the finished length with its domes; {met}",))


def _rows_in_words(one: Fitted, flat_rows: int) -> str:
    return f"{one.rows} rows" if one.rows == flat_rows else f"{one.rows} rows, where flat work would take {flat_rows},"
