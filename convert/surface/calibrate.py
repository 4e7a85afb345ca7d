"""One maker's gauge: bead measures and bending under which the prediction meets a stitched sample.

Length and width of the sample scale the diameters and the lengths of all sizes. The height of its highest dome
sets how stiffly the cloth bends; where that is not enough, how much larger the raised sizes are than the base.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from convert.progress import Progress, silent
from convert.surface.continuation import BENDING
from convert.surface.predict import Prediction, bending_of, predict
from shared.arrays import Ints
from shared.beads import BeadSize, BeadSizes
from shared.calibration import FIGURES, Figure, Gauge
from shared.errors import BadChoiceError
from shared.grid import Grid

FAR = 1.4
"""A figure measured so many times larger or smaller than predicted is a slip, not a gauge."""

SOFTEST, STIFFEST = BENDING / 10, BENDING * 3
"""Between these a dome rises with stiffness; beyond, it no longer does."""
LEAST_GROWTH, MOST_GROWTH = 0.4, 1.8
"""Powers of the raised sizes over the base, beyond which no dome is looked for."""

NEAR = 0.003
"""A figure is met when it is off by this share."""

CLOSE = 0.005
"""A figure off by more is not met at all."""

ROUNDS = 5
_TRIES = 8
_DIGITS = 4


class Measured(NamedTuple):
    """What was measured on a stitched sample lying on a table, in mm; None for what was not."""

    length_mm: float | None = None
    width_mm: float | None = None
    dome_mm: float | None = None
    """Of the highest dome, from the middle of flat beads to the middle of its highest bead."""

    def has(self, figure: Figure) -> bool:
        """Tell whether a figure was measured."""
        return getattr(self, f"{figure}_mm") is not None


class Gauged(NamedTuple):
    """A ladder that fits a maker."""

    bead_sizes: BeadSizes
    """With its gauge set."""
    prediction: Prediction
    """Of the sample, with it."""


@dataclass(frozen=True, slots=True)
class _Fit:
    """How bead sizes is changed: lengths and diameters times a factor, raised sizes to a power, and the bending."""

    across: float
    along: float
    growth: float
    bending: float


def gauged(
    grid: Grid, bead_sizes: BeadSizes, levels: Ints, measured: Measured, *, sample: str, progress: Progress = silent
) -> Gauged:
    """Fit bead sizes to a stitched sample.

    Parameters
    ----------
    grid, ladder, levels
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
    if not any(measured):
        raise BadChoiceError("nothing was measured; give --measured-length, --measured-width or --measured-dome")

    asked = tuple(figure for figure in FIGURES if measured.has(figure))

    def predicted(fit: _Fit) -> Prediction:
        gauge = Gauge(sample, float(f"{fit.bending:.4g}"), asked)
        return predict(grid, _changed(bead_sizes, fit, gauge), levels, progress=progress)

    fit = _Fit(1.0, 1.0, 1.0, bending_of(bead_sizes))
    first = found = predicted(fit)
    _refuse_far(found, measured)
    for _ in range(ROUNDS):
        if _met(found, measured):
            break
        fit = _scaled(fit, found, measured)
        if measured.dome_mm is not None:
            fit = _domed(fit, measured.dome_mm, lambda one: _height(predicted(one)))
        found = predicted(fit)
    if not _met(found, measured, within=CLOSE):
        raise BadChoiceError(
            "no bead measures near these give all that was measured together; measure again, the length and width "
            "where the work is flattest, and give fewer figures if it stays so"
        )
    return _with_known(found, first, bead_sizes)


def _with_known(found: Prediction, first: Prediction, bead_sizes: BeadSizes) -> Gauged:
    """Keep what an earlier sample told, as far as this one has not changed it."""
    kept = {
        "length": abs(found.found.length_mm / first.found.length_mm - 1),
        "width": abs(found.found.width_mm / first.found.width_mm - 1),
        "dome": abs(_height(found) - _height(first)) / (_height(first) or 1.0),
    }
    fitted = found.surface.bead_sizes
    known = tuple(
        figure
        for figure in FIGURES
        if fitted.is_measured(figure) or (bead_sizes.is_measured(figure) and kept[figure] <= CLOSE)
    )
    if fitted.gauge is not None:
        fitted = replace(fitted, gauge=replace(fitted.gauge, measured=known))
    return Gauged(fitted, found._replace(surface=replace(found.surface, bead_sizes=fitted)))


def _refuse_far(found: Prediction, measured: Measured) -> None:
    pairs = [
        ("length", measured.length_mm, found.found.length_mm),
        ("width", measured.width_mm, found.found.width_mm),
    ]
    if measured.dome_mm is not None:
        if not found.found.domes:
            raise BadChoiceError("this design has no domes, so none can have been measured; leave --measured-dome out")
        pairs.append(("dome", measured.dome_mm, _height(found)))
    for what, have, want in pairs:
        if have is not None and not want / FAR <= have <= want * FAR:
            raise BadChoiceError(
                f"a measured {what} of {have:g} mm is far from the {want:.1f} mm predicted; "
                "check the figure, its unit, and that the sample is of this design"
            )


def _met(found: Prediction, measured: Measured, *, within: float = NEAR) -> bool:
    have = found.found
    pairs = [(measured.length_mm, have.length_mm), (measured.width_mm, have.width_mm)]
    if measured.dome_mm is not None:
        pairs.append((measured.dome_mm, _height(found)))
    return all(want is None or abs(is_ / want - 1) <= within for want, is_ in pairs)


def _scaled(fit: _Fit, found: Prediction, measured: Measured) -> _Fit:
    have = found.found
    across = 1.0 if measured.width_mm is None else measured.width_mm / have.width_mm
    along = 1.0 if measured.length_mm is None else measured.length_mm / have.length_mm
    return replace(fit, across=fit.across * across, along=fit.along * along)


def _domed(fit: _Fit, height_mm: float, height_of: Callable[[_Fit], float]) -> _Fit:
    """Meet the height of the highest dome by bending, and where that is not enough by growth."""
    soft, stiff = replace(fit, growth=1.0, bending=SOFTEST), replace(fit, growth=1.0, bending=STIFFEST)
    heights = height_of(soft), height_of(stiff)
    if min(heights) <= height_mm <= max(heights):
        return _between(soft, stiff, heights, height_mm, height_of)
    nearer = replace(fit, growth=1.0, bending=BENDING)
    small, large = replace(nearer, growth=LEAST_GROWTH), replace(nearer, growth=MOST_GROWTH)
    heights = height_of(small), height_of(large)
    if not min(heights) <= height_mm <= max(heights):
        raise BadChoiceError(
            f"no bead measures near these give a dome of {height_mm:g} mm; check the figure, "
            "and that the ladder has the sizes you stitched with"
        )
    return _between(small, large, heights, height_mm, height_of)


def _between(
    one: _Fit, other: _Fit, heights: tuple[float, float], height_mm: float, height_of: Callable[[_Fit], float]
) -> _Fit:
    """Find the fit between two that gives a height: false position, halved where one end stays (Illinois)."""
    low, high = 0.0, 1.0
    miss_low, miss_high = heights[0] - height_mm, heights[1] - height_mm
    best = one if abs(miss_low) < abs(miss_high) else other
    for _ in range(_TRIES):
        if min(abs(miss_low), abs(miss_high)) <= NEAR / 2 * height_mm:
            break
        share = low - miss_low * (high - low) / (miss_high - miss_low)
        best = _mixed(one, other, share)
        miss = height_of(best) - height_mm
        if abs(miss) <= NEAR / 2 * height_mm:
            break
        if (miss < 0) == (miss_low < 0):
            low, miss_low, miss_high = share, miss, miss_high / 2
        else:
            high, miss_high, miss_low = share, miss, miss_low / 2
    return best


def _mixed(one: _Fit, other: _Fit, share: float) -> _Fit:
    """Go some way from one fit to another; bending goes in steps of its logarithm."""
    bending = one.bending * (other.bending / one.bending) ** share
    return replace(one, growth=one.growth + share * (other.growth - one.growth), bending=bending)


def _changed(bead_sizes: BeadSizes, fit: _Fit, gauge: Gauge) -> BeadSizes:
    sizes = tuple(_changed_size(size, bead_sizes.flat, fit) for size in bead_sizes.sizes)
    return BeadSizes(sizes, gauge)


def _changed_size(size: BeadSize, base: BeadSize, fit: _Fit) -> BeadSize:
    length = fit.across * base.length_mm * (size.length_mm / base.length_mm) ** fit.growth
    diameter = fit.along * base.diameter_mm * (size.diameter_mm / base.diameter_mm) ** fit.growth
    hole = size.hole_mm * min(1.0, diameter / size.diameter_mm)
    return replace(
        size,
        length_mm=round(length, _DIGITS),
        diameter_mm=round(diameter, _DIGITS),
        hole_mm=round(hole, _DIGITS),
    )


def _height(found: Prediction) -> float:
    return max((dome.height_mm for dome in found.found.domes), default=0.0)
