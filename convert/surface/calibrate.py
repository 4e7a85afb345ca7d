"""One maker's gauge: bead measures and bending under which the prediction meets a stitched sample.

Length and width of the sample scale the diameters and the lengths of all sizes. The height of its highest dome
sets how stiffly the cloth bends; where that is not enough, how much larger the raised sizes are than the flat one.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from convert.progress import Progress, silent
from convert.surface.continuation import BENDING
from convert.surface.prediction import Prediction, bending_of, predict
from shared.arrays import Ints
from shared.beads import BeadSize, BeadSizes
from shared.calibration import FIGURES, Figure, Gauge
from shared.errors import BadChoiceError
from shared.grid import Grid

FAR = 1.4
"""A figure measured by a greater factor larger or smaller than predicted is a slip, not a gauge."""

SOFTEST, STIFFEST = BENDING / 10, BENDING * 3
"""Between these a dome rises with stiffness; beyond, it no longer does."""
LEAST_GROWTH, MOST_GROWTH = 0.4, 1.8
"""Powers of the raised sizes over the flat one, beyond which no dome is looked for."""

NEAR = 0.003
"""A figure is met when it is off by this share."""

CLOSE = 0.005
"""A figure off by more is not met at all."""

ROUNDS = 5
"""Bending a dome otherwise changes the length a little, and the other way round: both are met in turn."""

_TRIES = 8
_DIGITS = 4


class SampleMeasures(NamedTuple):
    """What was measured on a stitched sample lying on a table, in mm; None for what was not."""

    length_mm: float | None = None
    width_mm: float | None = None
    dome_mm: float | None = None
    """Of the highest dome, from the middle of flat beads to the middle of its highest bead."""

    @property
    def given(self) -> dict[Figure, float]:
        """Those that were measured, in the order of `FIGURES`."""
        figures = {figure: getattr(self, f"{figure}_mm") for figure in FIGURES}
        return {figure: mm for figure, mm in figures.items() if mm is not None}


class SampleFit(NamedTuple):
    """Bead sizes that fit a maker."""

    bead_sizes: BeadSizes
    """With its gauge set."""
    prediction: Prediction
    """Of the sample, with it."""


@dataclass(frozen=True, slots=True)
class _Change:
    """How bead sizes are changed: lengths and diameters times a factor, raised sizes to a power, and the bending."""

    across: float
    along: float
    growth: float
    bending: float


def fit_to_sample(
    grid: Grid,
    bead_sizes: BeadSizes,
    levels: Ints,
    measured: SampleMeasures,
    *,
    sample: str,
    progress: Progress = silent,
) -> SampleFit:
    """Fit bead sizes to a stitched sample.

    Parameters
    ----------
    grid, bead_sizes, levels
        Of the sample as it was designed.
    measured
        At least one figure.
    sample
        What it is called.
    progress
        Told what is being done.

    Raises
    ------
    BadChoiceError
        When nothing was measured, a figure is far from what was predicted, or the sample has no dome to measure.
    """
    given = measured.given
    if not given:
        raise BadChoiceError("nothing was measured; give --measured-length, --measured-width or --measured-dome")

    def predict_changed(change: _Change) -> Prediction:
        gauge = Gauge(sample, float(f"{change.bending:.4g}"), tuple(given))
        return predict(grid, _apply(bead_sizes, change, gauge), levels, progress=progress)

    change = _Change(1.0, 1.0, 1.0, bending_of(bead_sizes))
    first = found = predict_changed(change)
    if "dome" in given and not found.found.domes:
        raise BadChoiceError("this design has no domes, so none can have been measured; leave --measured-dome out")
    _refuse_far(_figures_mm(found), given)
    for _ in range(ROUNDS):
        if _are_met(_figures_mm(found), given):
            break
        change = _scale(change, _figures_mm(found), given)
        if "dome" in given:
            change = _raise_dome(change, given["dome"], lambda one: _figures_mm(predict_changed(one))["dome"])
        found = predict_changed(change)
    if not _are_met(_figures_mm(found), given, within=CLOSE):
        raise BadChoiceError(
            "no bead measures near these give all that was measured together; measure again, the length and width "
            "where the work is flattest, and give fewer figures if it stays so"
        )
    return _keep_known(found, first, bead_sizes)


def _figures_mm(found: Prediction) -> dict[Figure, float]:
    """Return what a ruler would show; the dome is the highest, 0 where there is none."""
    height = max((dome.height_mm for dome in found.found.domes), default=0.0)
    return {"length": found.found.length_mm, "width": found.found.width_mm, "dome": height}


def _keep_known(found: Prediction, first: Prediction, bead_sizes: BeadSizes) -> SampleFit:
    """Keep what an earlier sample told, as far as this one has not changed it."""
    before, now, fitted = _figures_mm(first), _figures_mm(found), found.surface.bead_sizes
    known = tuple(
        figure
        for figure in FIGURES
        if fitted.is_measured(figure)
        or (bead_sizes.is_measured(figure) and abs(now[figure] - before[figure]) <= CLOSE * (before[figure] or 1.0))
    )
    if fitted.gauge is not None:
        fitted = replace(fitted, gauge=replace(fitted.gauge, measured=known))
    return SampleFit(fitted, found._replace(surface=replace(found.surface, bead_sizes=fitted)))


def _refuse_far(predicted_mm: dict[Figure, float], given: dict[Figure, float]) -> None:
    for figure, mm in given.items():
        near = predicted_mm[figure]
        if not near / FAR <= mm <= near * FAR:
            raise BadChoiceError(
                f"a measured {figure} of {mm:g} mm is far from the {near:.1f} mm predicted; "
                "check the figure, its unit, and that the sample is of this design"
            )


def _are_met(predicted_mm: dict[Figure, float], given: dict[Figure, float], *, within: float = NEAR) -> bool:
    return all(abs(predicted_mm[figure] / mm - 1) <= within for figure, mm in given.items())


def _scale(change: _Change, predicted_mm: dict[Figure, float], given: dict[Figure, float]) -> _Change:
    """Scale lengths and diameters of all sizes by what the sample is wider and longer; heights hardly depend on it."""
    across, along = (given[side] / predicted_mm[side] if side in given else 1.0 for side in ("width", "length"))
    return replace(change, across=change.across * across, along=change.along * along)


def _raise_dome(change: _Change, height_mm: float, height_of: Callable[[_Change], float]) -> _Change:
    """Meet the height of the highest dome by bending, and where that is not enough by growth."""
    soft, stiff = replace(change, growth=1.0, bending=SOFTEST), replace(change, growth=1.0, bending=STIFFEST)
    heights = height_of(soft), height_of(stiff)
    if min(heights) <= height_mm <= max(heights):
        return _between(soft, stiff, heights, height_mm, height_of)
    nearer = replace(change, growth=1.0, bending=BENDING)
    small, large = replace(nearer, growth=LEAST_GROWTH), replace(nearer, growth=MOST_GROWTH)
    heights = height_of(small), height_of(large)
    if not min(heights) <= height_mm <= max(heights):
        raise BadChoiceError(
            f"no bead measures near these give a dome of {height_mm:g} mm; check the figure, "
            "and that the bead sizes are those you stitched with"
        )
    return _between(small, large, heights, height_mm, height_of)


def _between(
    one: _Change, other: _Change, heights: tuple[float, float], height_mm: float, height_of: Callable[[_Change], float]
) -> _Change:
    """Find the fit between two that gives a height: false position, halved where one end stays (Illinois)."""
    low, high = 0.0, 1.0
    miss_low, miss_high = heights[0] - height_mm, heights[1] - height_mm
    best = one if abs(miss_low) < abs(miss_high) else other
    for _ in range(_TRIES):
        if min(abs(miss_low), abs(miss_high)) <= NEAR / 2 * height_mm:
            break
        share = low - miss_low * (high - low) / (miss_high - miss_low)
        best = _mix(one, other, share)
        miss = height_of(best) - height_mm
        if abs(miss) <= NEAR / 2 * height_mm:
            break
        if (miss < 0) == (miss_low < 0):
            low, miss_low, miss_high = share, miss, miss_high / 2
        else:
            high, miss_high, miss_low = share, miss, miss_low / 2
    return best


def _mix(one: _Change, other: _Change, share: float) -> _Change:
    """Go some way from one change to another; bending goes in steps of its logarithm."""
    bending = one.bending * (other.bending / one.bending) ** share
    return replace(one, growth=one.growth + share * (other.growth - one.growth), bending=bending)


def _apply(bead_sizes: BeadSizes, change: _Change, gauge: Gauge) -> BeadSizes:
    sizes = tuple(_apply_to_size(size, bead_sizes.flat, change) for size in bead_sizes.sizes)
    return BeadSizes(sizes, gauge)


def _apply_to_size(size: BeadSize, flat: BeadSize, change: _Change) -> BeadSize:
    length = change.across * flat.length_mm * (size.length_mm / flat.length_mm) ** change.growth
    diameter = change.along * flat.diameter_mm * (size.diameter_mm / flat.diameter_mm) ** change.growth
    hole = size.hole_mm * min(1.0, diameter / size.diameter_mm)
    return replace(
        size,
        length_mm=round(length, _DIGITS),
        diameter_mm=round(diameter, _DIGITS),
        hole_mm=round(hole, _DIGITS),
    )
