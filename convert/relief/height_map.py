"""The height of each bead, from a height map laid over the picture."""

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from convert.cells.area_mean import footprint_means
from convert.image.decode import Header, Source, decode, read_header
from convert.image.raster import ALL, ArrayRaster, heights_from
from convert.layout.repeat import Laid
from convert.options import Options
from shared.errors import BadChoiceError

TOLERANCE = 0.01
"""How far the proportions of picture and map may differ, beyond what rounding to whole pixels explains."""


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
    turn, mirror, cut = laid.plan.turn, options.mirror, laid.cut(*header)
    if options.blur_mm:
        cut = cut.of_all()  # what lies beside a crop is smoothed into it
    stored, reduction = cut.turned_back(turn, mirror=mirror), laid.plan.reduction(*header)
    decoded = decode(heights, reduction=reduction, cut=stored, managed=False)
    place = cut.place if decoded.cut else ALL
    field, coloured = heights_from(decoded, turn=turn, mirror=mirror, invert=options.invert_heights, place=place)
    lines, window, bounds = laid.on(field)
    if options.blur_mm:
        base = options.bead_sizes.flat
        width_mm, length_mm = laid.grid.extent_mm(base.length_mm, base.diameter_mm)
        sigma = (options.blur_mm * window.height / length_mm, options.blur_mm * window.width / width_mm)
        field = _smoothed(field, sigma, None if lines is None else slice(lines.min(), lines.max() + 1))
    if lines is not None:
        field = field.of_lines(lines)
    means = footprint_means(field, laid.grid, window=window, bounds=bounds, outside=np.zeros(1))[:, 0]
    notices = (f"{heights.name} has colours; the mean of red, green and blue was taken as height",) if coloured else ()
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


def _smoothed(field: ArrayRaster, sigma_px: tuple[float, float], motif: slice | None) -> ArrayRaster:
    """Smooth a map; of one that comes again, the pixel rows of the motif as if they followed themselves."""
    from scipy.ndimage import gaussian_filter

    values = np.array(field.values[..., 0])
    if motif is None:
        return ArrayRaster(gaussian_filter(values, sigma_px, mode="nearest")[..., None])
    values[motif] = gaussian_filter(values[motif], sigma_px, mode=("wrap", "nearest"))
    return ArrayRaster(values[..., None])
