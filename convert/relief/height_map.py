"""The stage that raises beads: heights of a map, and shapes in words, become the size of each bead."""

from fractions import Fraction
from math import sqrt
from typing import NamedTuple

import numpy as np

from convert.cells.area_mean import footprint_means, half_row_means
from convert.image.decode import Decoded, Header, Source
from convert.image.raster import ArrayRaster, Raster, heights_from
from convert.layout.repeat import Layout
from convert.layout.size import Box
from convert.relief.choices import ReliefChoices
from convert.relief.domes import dome_levels
from convert.relief.levels import cut_levels, equal_thresholds, keep_repeats_alike
from shared.arrays import Floats, Ints
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError
from shared.size_steps import keep_size_step_rule

TOLERANCE = 0.01
"""How far the proportions of picture and map may differ, beyond what rounding to whole pixels explains."""


MOST_SMOOTHED, SMOOTHED = 25_000_000, 4_000_000
"""A map of more pixels than the first is brought to about the second before it is smoothed: all are floats then."""


class Relief(NamedTuple):
    """The value of the stage: which size each bead has."""

    levels: Ints
    """Of each bead of the work, 0 for the flat size, shape (beads,)."""
    moved: Ints
    """How far the size-step rule moved each: kept less wanted, shape (beads,)."""
    worked: Ints
    """Levels of the beads that are worked out, shape (worked beads,)."""
    notices: tuple[str, ...]
    """What a person should know."""


def raise_beads(
    choices: ReliefChoices, source: Source | None, heights: Decoded | None, layout: Layout, bead_sizes: BeadSizes
) -> Relief:
    """Find the size of each bead.

    Parameters
    ----------
    choices
        Shapes, thresholds, slopes, and how the map is read.
    source, heights
        The height map and its pixels; None for none.
    layout
        Where the picture, turned and mirrored, lies on the lattice; the map is used alike.
    bead_sizes
        Their number is that of the levels.

    Raises
    ------
    BadChoiceError
        When the map has other proportions than the picture, or a shape lies outside the work.
    """
    motif = None if layout.seen is None else layout.seen.motif
    wanted = dome_levels(choices.domes, layout.seen_grid, bead_sizes, motif=motif)
    notices: tuple[str, ...]
    if source is None or heights is None:
        idle = idle_choices(choices)
        notices = (f"{', '.join(idle)} had no effect, for no height map was given (--heights)",) if idle else ()
    else:
        means, notices = measure_heights(choices, source, heights, layout, bead_sizes.flat)
        wanted = np.maximum(cut_levels(means, choices.thresholds or equal_thresholds(len(bead_sizes.sizes))), wanted)
    if layout.seen is None:
        levels = keep_size_step_rule(wanted, layout.grid, slopes=choices.slopes)
        return Relief(levels, levels - wanted, levels, notices)
    wanted, seen = layout.motif_of(wanted), layout.motif_bead >= 0
    levels = keep_repeats_alike(wanted, layout.motif_bead, layout.grid, slopes=choices.slopes)
    of_motif = np.zeros_like(wanted)
    of_motif[layout.motif_bead[seen]] = levels[seen]
    return Relief(levels, levels - np.where(seen, wanted[layout.motif_bead], 0), layout.tile(of_motif), notices)


def measure_heights(
    choices: ReliefChoices, source: Source, heights: Decoded, layout: Layout, flat: BeadSize
) -> tuple[Floats, tuple[str, ...]]:
    """Return the mean height over each bead's footprint, 0 flat … 1 highest, shape (seen beads,), and notices.

    Errors as in `raise_beads`.
    """
    plan = layout.plan
    if not choices.stretch_heights:
        size = (plan.seen_width, plan.seen_height) if plan.turn % 180 == 0 else (plan.seen_height, plan.seen_width)
        _check_proportions(heights.header, Header(*size), source.name)
    seen = heights_from(heights, turn=plan.turn, mirror=layout.mirror, invert=choices.invert_heights)
    field: Raster = _reduce(seen) if choices.blur_mm else seen
    lines, window, bounds = layout.on(field)
    if choices.blur_mm:
        width_mm, length_mm = layout.seen_grid.extent_mm(flat.length_mm, flat.diameter_mm)
        sigma = (choices.blur_mm * window.height / length_mm, choices.blur_mm * window.width / width_mm)
        field = _smooth(field, sigma, None if lines is None else slice(lines.min(), lines.max() + 1))
    if lines is not None:
        field = field.of_lines(lines)
    means = footprint_means(field, layout.seen_grid, window=window, bounds=bounds, outside=np.zeros(1))[:, 0]
    told = f"{source.name} has colours; the mean of red, green and blue was taken as height"
    return means, heights.notices + ((told,) if seen.coloured else ())


def idle_choices(choices: ReliefChoices) -> tuple[str, ...]:
    """Return the options given that do nothing where there is no height map."""
    given = {
        "--thresholds": choices.thresholds is not None,
        "--blur": choices.blur_mm > 0,
        "--invert-heights": choices.invert_heights,
        "--stretch-heights": choices.stretch_heights,
    }
    return tuple(name for name, is_given in given.items() if is_given)


def _check_proportions(heights: Header, picture: Header, name: str) -> None:
    if _have_one_shape(heights, picture):
        return
    hint = "turn it" if _have_one_shape(Header(*heights[::-1]), picture) else "make it the same shape"
    raise BadChoiceError(
        f"is {heights.width} x {heights.height} pixels, another shape than the picture's "
        f"{picture.width} x {picture.height}; {hint}, or say --stretch-heights",
        where=[name],
    )


def _have_one_shape(one: Header, other: Header) -> bool:
    """Return whether two sizes have the same proportions, but for rounding of either to whole pixels."""
    ratio = Fraction(one.width * other.height, one.height * other.width)
    rounding = sum(Fraction(1, 2 * side) for side in (*one, *other))
    return abs(ratio - 1) <= max(Fraction(TOLERANCE), rounding)


def _reduce(field: Raster) -> Raster:
    """Average a map of more than `MOST_SMOOTHED` pixels over equal rectangles; what blurs it hides them."""
    height, width = field.shape
    if height * width <= MOST_SMOOTHED:
        return field
    share = sqrt(SMOOTHED / (height * width))
    all_of_it = Box(0, 0, width, height)
    smaller = half_row_means(
        field, int(width * share), int(height * share), window=all_of_it, bounds=all_of_it, outside=np.zeros(1)
    )
    return ArrayRaster(smaller.astype(np.float32))


def _smooth(field: Raster, sigma_px: tuple[float, float], motif: slice | None) -> ArrayRaster:
    """Smooth a map; of one that comes again, the pixel rows of the motif as if they followed themselves."""
    from scipy.ndimage import gaussian_filter

    values = np.array(field.band(slice(None))[..., 0])
    if motif is None:
        return ArrayRaster(gaussian_filter(values, sigma_px, mode="nearest")[..., None])
    values[motif] = gaussian_filter(values[motif], sigma_px, mode=("wrap", "nearest"))
    return ArrayRaster(values[..., None])
