"""Where a picture is ink: darker than what is about it, and narrower than a line may be."""

import numpy as np
from numpy.typing import NDArray

from convert.cells.supersample import Band, Density, in_cells
from shared.colour import lightness_from_linear

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

WIDEST_LINE = 2
"""What is narrower than so many beads is a line; what is broader is an area."""

LEAST_CONTRAST = 12.0
"""Lab lightness by which ink must be darker than the ground about it …"""

SHARE_OF_CONTRAST = 0.4
"""… and as a share of what the darkest within a bead of it is: the rim of a line or an area shows a mixture."""

REACH = 6
"""Half-rows away from which a sample can still matter: the element of the closing twice, and a bead."""


def parted(band: Band, *, dark_ground: bool) -> tuple[Floats, Floats]:
    """Return the mean of each sample, and the darkest of its parts: a line finer than a sample shows there.

    On a dark ground the lightest part. Both have the shape (samples down, samples across, 3), linear light.
    """
    finer = band.density.finer
    cut = in_cells(band.linear, Density(finer, finer))
    parts = cut.reshape(*cut.shape[:2], finer**2, 3)
    if finer == 1:
        return parts[:, :, 0], parts[:, :, 0]
    lightness = lightness_from_linear(parts)
    most = lightness.argmax(axis=2) if dark_ground else lightness.argmin(axis=2)
    return parts.mean(axis=2), np.take_along_axis(parts, most[..., None, None], axis=2)[:, :, 0]


def find_ink(linear: Floats, density: Density, *, dark_ground: bool) -> tuple[Bools, Floats]:
    """Return which samples are ink, and by how much each is darker than the ground about it, in Lab lightness.

    The difference is the black-hat transform: a closing fills all that is darker than what is about it and narrower
    than its element (J. Serra, "Image Analysis and Mathematical Morphology", 1982).
    """
    from scipy.ndimage import grey_closing, minimum_filter

    lightness = lightness_from_linear(linear) * (-1 if dark_ground else 1)
    element = (2 * WIDEST_LINE * density.down + 1, WIDEST_LINE * density.across + 1)
    ground = grey_closing(lightness, size=element, mode="nearest")
    darkest = minimum_filter(lightness, size=(4 * density.down + 1, 2 * density.across + 1), mode="nearest")
    contrast = ground - lightness
    return contrast > np.maximum(LEAST_CONTRAST, SHARE_OF_CONTRAST * (ground - darkest)), np.asarray(contrast)
