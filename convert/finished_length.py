"""The main job with the predicted surface: its finished length, and rows that give the length asked for."""

from dataclasses import replace
from math import floor
from typing import TYPE_CHECKING, NamedTuple, cast

from convert.image.decode import Source, read_header
from convert.layout.size import plan_work
from convert.options import Options, Turn
from convert.pipeline import Pattern, convert
from convert.progress import Progress, silent
from convert.surface.quick import quickly_predicted

if TYPE_CHECKING:
    from convert.surface.predict import Prediction

MOST_TRIES = 8
"""So often rows are changed to meet a length."""


class Finished(NamedTuple):
    """A pattern, and how it will come out."""

    pattern: Pattern
    """The design, with notices on its length added."""
    prediction: "Prediction | None"
    """None where all lies flat, where the work is too large, and where the shape did not come to rest."""


def convert_finished(
    picture: Source, heights: Source | None, options: Options, *, progress: Progress = silent
) -> Finished:
    """Make a design as `convert.pipeline.convert` does, and predict its surface if it has domes.

    A length asked for is then the finished length: rows are changed until the prediction meets it to half a
    bead. Columns and turn stay those of the first try. A motif that comes again does so in as many whole rounds as
    the length holds then.

    Raises
    ------
    HummockError
        For every input that cannot be used, saying what is wrong and how to mend it.
    """
    first = _finished(convert(picture, heights, options, progress=progress), options, progress)
    if options.length_mm is None or first.prediction is None:
        return first
    if options.repeat is not None:
        return _whole_rounds(picture, heights, options, first, progress)
    header = read_header(picture, max_pixels=options.max_pixels)
    plan = plan_work(header.width, header.height, options)
    held = replace(options, columns=plan.columns, width_mm=None, length_mm=None, turn=cast("Turn", str(plan.turn)))
    tries = {plan.rows: first}
    while len(tries) < MOST_TRIES:
        rows = _better_rows(tries, options)
        if rows in tries:
            break
        pattern = convert(picture, heights, replace(held, rows=rows), progress=progress)
        notices = dict.fromkeys(plan.notices + pattern.notices)
        tries[rows] = _finished(pattern._replace(notices=tuple(notices)), options, progress)
    return _told(tries[_nearest(tries, options)], plan.rows, options)


def _whole_rounds(
    picture: Source, heights: Source | None, options: Options, first: Finished, progress: Progress
) -> Finished:
    """Try other numbers of rounds, for the greatest whose prediction is not over the length by more than half a bead.

    Columns and turn of a motif do not depend on the rows.
    """
    pitch = options.bead_sizes.flat.diameter_mm / 2
    last, tries = first, {first.pattern.design.grid.rows: first}
    while len(tries) < MOST_TRIES and last.prediction is not None:
        room = last.pattern.design.grid.rows + floor((pitch - _miss_mm(last, options)) / pitch)
        pattern = convert(picture, heights, replace(options, length_mm=None, rows=max(room, 2)), progress=progress)
        last = _finished(pattern, options, progress)
        rows = last.pattern.design.grid.rows
        if rows in tries:
            break
        tries[rows] = last
    held = [rows for rows, one in tries.items() if _miss_mm(one, options) <= pitch]
    return _told_of_rounds(tries[max(held) if held else min(tries)], first, options)


def _told_of_rounds(one: Finished, first: Finished, options: Options) -> Finished:
    rows, flat_rows = (each.pattern.design.grid.rows for each in (one, first))
    because = f"{rows} rows" if rows == flat_rows else f"{rows} rows, where flat work would take {flat_rows},"
    miss = _miss_mm(one, options)
    side = "over" if miss > 0 else "under"
    out = f"whole rounds in {because} come out {abs(miss):.1f} mm {side} it (predicted)"
    return one._replace(pattern=_noted(one.pattern, f"--length is the finished length with its domes; {out}"))


def _finished(pattern: Pattern, options: Options, progress: Progress) -> Finished:
    known = quickly_predicted(pattern.design, progress=progress)
    if not known.why:
        return Finished(pattern, known.prediction)
    flat = "" if options.length_mm is None else "; --length is that of flat work"
    return Finished(_noted(pattern, f"{known.why}{flat}"), None)


def _better_rows(tries: dict[int, Finished], options: Options) -> int:
    """Return the rows that would meet the length if every row more added its own height; if tried, others near by.

    A row more may move a step of a zone, so that lengths do not rise evenly.
    """
    rows = _nearest(tries, options)
    pitch = options.bead_sizes.flat.diameter_mm / 2
    miss = _miss_mm(tries[rows], options)
    if abs(miss) <= pitch / 2:
        return rows
    likely = (rows - round(miss / pitch), rows - 1, rows + 1, rows - 2, rows + 2)
    return next((max(2, each) for each in likely if max(2, each) not in tries), rows)


def _nearest(tries: dict[int, Finished], options: Options) -> int:
    return min(tries, key=lambda rows: (abs(_miss_mm(tries[rows], options)), rows))


def _miss_mm(one: Finished, options: Options) -> float:
    """Return how much longer than asked for a work comes out; without end where it is not known."""
    if one.prediction is None or options.length_mm is None:
        return float("inf")
    return one.prediction.found.length_mm - options.length_mm


def _told(one: Finished, flat_rows: int, options: Options) -> Finished:
    miss, pitch = _miss_mm(one, options), options.bead_sizes.flat.diameter_mm / 2
    rows = one.pattern.design.grid.rows
    because = f"{rows} rows" if rows == flat_rows else f"{rows} rows, where flat work would take {flat_rows},"
    near = f"to {abs(miss):.1f} mm" if abs(miss) <= pitch else f"but for {abs(miss):.1f} mm: no count of rows is nearer"
    note = f"--length is the finished length with its domes; {because} meet it {near} (predicted)"
    return one._replace(pattern=_noted(one.pattern, note))


def _noted(pattern: Pattern, note: str) -> Pattern:
    return pattern._replace(notices=(*pattern.notices, note))
