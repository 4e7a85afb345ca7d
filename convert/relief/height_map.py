"""The height of each bead, from a height map laid over the picture."""

from fractions import Fraction
from math import sqrt

import numpy as np
from numpy.typing import NDArray

from convert.cells.area_mean import footprint_means, half_row_means
from convert.image.decode import Header, Source, decode, read_header
from convert.image.raster import ArrayRaster, Raster, heights_from
from convert.layout.repeat import Laid
from convert.layout.size import Box
from convert.options import Options
from shared.errors import BadChoiceError

TOLERANCE = 0.01
"""How far the proportions of picture and map may differ, beyond what rounding to whole pixels explains."""

MOST_SMOOTHED = 25_000_000
"""So many pixels are smoothed as they are: all of them are in floating point then."""


def bead_heights(
    heights: Source, picture: Source, laid: Laid, options: Options
) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    """Return the mean height over each bead's footprint, 0 flat … 1 highest, and notices.

    Parameters
    ----------
    heights, picture
        The map and the picture that it belongs to.
    laid
        Where the picture, turned and mirrored, lies on the lattice; the map is used alike.
    options
        Inversion, smoothing, and whether the map may be stretched.

    Raises
    ------
    BadFileError
        When the map cannot be read.
    BadChoiceError
        When it has other proportions than the picture.
    """
    header = read_header(heights, max_pixels=options.max_pixels)
    if not options.stretch_heights:
        _check_proportions(header, read_header(picture, max_pixels=options.max_pixels), heights.name)
    decoded = decode(heights, max_pixels=options.max_pixels, managed=False)
    seen = heights_from(decoded, turn=laid.plan.turn, mirror=options.mirror, invert=options.invert_heights)
    field: Raster = _smaller(seen) if options.blur_mm else seen
    lines, window, bounds = laid.on(field)
    if options.blur_mm:
        base = options.bead_sizes.base
        width_mm, length_mm = laid.grid.extent_mm(base.length_mm, base.diameter_mm)
        sigma = (options.blur_mm * window.height / length_mm, options.blur_mm * window.width / width_mm)
        field = _smoothed(field, sigma, None if lines is None else slice(lines.min(), lines.max() + 1))
    if lines is not None:
        field = field.of_lines(lines)
    means = footprint_means(field, laid.grid, window=window, bounds=bounds, outside=np.zeros(1))[:, 0]
    notices = (
        (f"{heights.name} has colours; the mean of red, green and blue was taken as height",) if seen.coloured else ()
    )
    return means, decoded.notices + notices


def idle_options(options: Options) -> tuple[str, ...]:
    """Return the options given that do nothing where there is no height map."""
    given = {
        "--thresholds": options.thresholds is not None,
        "--blur": options.blur_mm > 0,
        "--invert-heights": options.invert_heights,
        "--stretch-heights": options.stretch_heights,
    }
    return tuple(name for name, is_given in given.items() if is_given)


def _check_proportions(heights: Header, picture: Header, name: str) -> None:
    if _alike(heights, picture):
        return
    turned = _alike(Header(heights.height, heights.width), picture)
    hint = "turn it" if turned else "make it the same shape"
    raise BadChoiceError(
        f"is {heights.width} x {heights.height} pixels, another shape than the picture's "
        f"{picture.width} x {picture.height}; {hint}, or say --stretch-heights",
        where=[name],
    )


def _alike(one: Header, other: Header) -> bool:
    """Tell whether two sizes have the same proportions, but for rounding of either to whole pixels."""
    ratio = Fraction(one.width * other.height, one.height * other.width)
    rounding = sum(Fraction(1, 2 * side) for side in (*one, *other))
    return abs(ratio - 1) <= max(Fraction(TOLERANCE), rounding)


def _smaller(field: Raster) -> Raster:
    """Average a map of more than `MOST_SMOOTHED` pixels over equal rectangles; what blurs it hides them."""
    height, width = field.shape
    share = sqrt(MOST_SMOOTHED / (height * width))
    if share >= 1:
        return field
    all_of_it = Box(0, 0, width, height)
    smaller = half_row_means(
        field, int(width * share), int(height * share), window=all_of_it, bounds=all_of_it, outside=np.zeros(1)
    )
    return ArrayRaster(smaller.astype(np.float32))


def _smoothed(field: Raster, sigma_px: tuple[float, float], motif: slice | None) -> ArrayRaster:
    """Smooth a map; of one that comes again, the pixel rows of the motif as if they followed themselves."""
    from scipy.ndimage import gaussian_filter

    values = np.array(field.band(slice(None))[..., 0])
    if motif is None:
        return ArrayRaster(gaussian_filter(values, sigma_px, mode="nearest")[..., None])
    values[motif] = gaussian_filter(values[motif], sigma_px, mode=("wrap", "nearest"))
    return ArrayRaster(values[..., None])
