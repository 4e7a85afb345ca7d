"""How long a design is, and how much longer each change makes it."""

from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from convert.progress import Progress, silent
from convert.rows.find_repeat import Repeat
from convert.shopping.resize_design import Change, plain_bead, resize
from convert.surface.prediction import MOST_BEADS, predict_if_small
from shared.design import Design
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.surface.prediction import Prediction

TELLING_REPEATS = 3
"""The second and the third repeat tell what each one more adds; work of fewer repeats is predicted with three."""

MOST_SOLVED = 6000
"""Works of more beads are not predicted anew for each number of repeats: each adds what one far from the ends does."""

SOLVED_ROWS = 8
"""At most this number of plain rows at the ends are predicted; each one more adds what it does in flat work."""

FLAT_ENDS = 8
"""Where this number of rows at both ends lie flat, rows put on there are as flat."""


class LengthModel(NamedTuple):
    """The length of a design under any change."""

    length_mm: float
    repeat_mm: float
    """What one repeat more adds, far from the ends; 0 without a repeat."""
    row_mm: float
    """What one plain row more adds to flat work."""
    repeats_mm: Callable[[int], float]
    """What a number of repeats more add; ends matter, for a dome that they cut stands otherwise."""
    ends_mm: Callable[[int], float]
    """What a number of plain rows at the ends add, or take away when cut off."""
    predicted: bool
    """Whether a surface was predicted; else this is the geometry of flat work."""
    note: str = ""

    def after(self, change: Change) -> float:
        """Return the length after a change, in mm."""
        return self.length_mm + self.repeats_mm(change.repeats) + self.ends_mm(change.plain)

    def steady(self) -> "LengthModel":
        """Return the same, each repeat adding what one far from the ends adds: near enough for whole millimetres."""
        return self._replace(repeats_mm=lambda repeats: repeats * self.repeat_mm)


def model_length(
    design: Design, repeat: Repeat | None, *, known: "Prediction | None" = None, progress: Progress = silent
) -> LengthModel:
    """Work out how long a design is under any change.

    Work of one size is flat, and its length exact under the bead measures. With raised areas the surface is
    predicted: of the design, anew for each number of repeats that is asked for, and for rows cut off or put on where
    it ends in a dome. Larger works grow by what a repeat far from the ends adds. Where no shape is found, the
    geometry of flat work is taken, and the note says so. ``known`` is the prediction of the design itself, if there
    is one; it saves making it again.
    """
    if (design.levels == design.levels[0]).all():
        return _model_flat(design, repeat)
    try:
        return _model_predicted(design, repeat, known, progress)
    except BadChoiceError as error:
        return _model_flat(design, repeat)._replace(note=f"lengths are those of flat work, for {error}")


def _model_flat(design: Design, repeat: Repeat | None) -> LengthModel:
    size = design.bead_sizes.sizes[design.bead_sizes.level_of[plain_bead(design).size]]
    row_mm = size.diameter_mm / 2
    length = design.grid.extent_mm(size.length_mm, size.diameter_mm)[1]
    repeat_mm = 0.0 if repeat is None else repeat.period * row_mm
    return LengthModel(
        length, repeat_mm, row_mm, lambda repeats: repeats * repeat_mm, lambda plain: plain * row_mm, predicted=False
    )


def _model_predicted(
    design: Design, repeat: Repeat | None, known: "Prediction | None", progress: Progress
) -> LengthModel:
    repeats = 0 if repeat is None or repeat.times >= TELLING_REPEATS else TELLING_REPEATS - repeat.times
    if repeats == 0 and design.grid.count > MOST_BEADS and repeat is not None:
        repeats = TELLING_REPEATS - repeat.times
    part = resize(design, repeat, Change(repeats))
    found = known if known is not None and not repeats else _predict_surface(part, progress)
    repeat_mm = 0.0 if repeat is None else _predict_repeat_mm(part, repeat, found)
    length = _length_of(design, known, progress) if repeats else found.found.length_mm
    if length is None:
        length = found.found.length_mm - repeats * repeat_mm
    row_mm = _model_flat(design, None).row_mm
    more = _repeats_model(design, repeat, length, repeat_mm, progress)
    return LengthModel(length, repeat_mm, row_mm, more, _ends_model(design, length, progress), predicted=True)


def _predict_surface(design: Design, progress: Progress) -> "Prediction":
    found, why = predict_if_small(design.grid, design.bead_sizes, design.levels, progress=progress)
    if found is None:
        raise BadChoiceError(why or "all of it lies flat")
    return found


def _length_of(design: Design, known: "Prediction | None", progress: Progress) -> float | None:
    """Return the predicted length of a design; None where there is none."""
    found = known or predict_if_small(design.grid, design.bead_sizes, design.levels, progress=progress).prediction
    return None if found is None else found.found.length_mm


def _repeats_model(
    design: Design, repeat: Repeat | None, length_mm: float, repeat_mm: float, progress: Progress
) -> Callable[[int], float]:
    @cache
    def repeats_mm(repeats: int) -> float:
        if not repeats:
            return 0.0
        work = resize(design, repeat, Change(repeats))
        one = None if work.grid.count > MOST_SOLVED else _length_of(work, None, progress)
        return repeats * repeat_mm if one is None else one - length_mm

    return repeats_mm


def _predict_repeat_mm(part: Design, repeat: Repeat, found: "Prediction") -> float:
    """Return how far beads of the second repeat lie from those of the third, on average."""
    from convert.surface.measure import lying_mm

    grid, along = part.grid, lying_mm(found.surface)[1]
    row = grid.row_of - repeat.first_rows
    second = ((row > repeat.period) & (row <= 2 * repeat.period)).nonzero()[0]
    third = grid.bead_at(grid.row_of[second] + repeat.period, grid.column_of[second])
    return float(np.abs((along[third] - along[second]).mean()))


def _ends_model(part: Design, part_mm: float, progress: Progress) -> Callable[[int], float]:
    row_mm = _model_flat(part, None).row_mm
    rows = part.grid.row_of
    ends_flat = not part.levels[(rows <= FLAT_ENDS) | (rows > part.grid.rows - FLAT_ENDS)].any()

    @cache
    def solve(plain: int) -> float:
        from convert.surface.prediction import predict

        one = resize(part, None, Change(0, plain))
        return predict(one.grid, one.bead_sizes, one.levels, progress=progress).found.length_mm - part_mm

    def ends_mm(plain: int) -> float:
        if not plain:
            return 0.0
        if plain > 0 and ends_flat:
            return plain * row_mm
        near = min(plain, SOLVED_ROWS)
        try:
            return solve(near) + (plain - near) * row_mm
        except BadChoiceError:  # this one shape did not come to rest
            return plain * row_mm

    return ends_mm
