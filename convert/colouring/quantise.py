"""Few colours for many cells: k-means in Lab, then medians under CIEDE2000."""

from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.colouring.k_medians import exchanged, moved_to_medians, weighted_means
from convert.colouring.swaps import swapped
from shared.ciede2000 import difference_table
from shared.colour import lab_from_codes, linear_from_lab, srgb_from_linear
from shared.nearest_colour import nearest_colours, pack, unpack

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

GRAINS = (0.01, 0.5, 1.0, 2.0, 4.0)
"""Lab units within which equal or near colours are merged before the search: the first that leaves few enough."""

_COARSE_GRAINS = (1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 12.0, 16.0)

MOST_POINTS = 3000
"""So many merged colours at the most go into the search (with the coarsest grain: more)."""

MOST_CANDIDATES = 128
"""So many merged colours at the most are tried as newcomers to the palette."""

_STARTS = 4


class Chosen(NamedTuple):
    """A palette for cells."""

    codes: NDArray[np.uint8]
    """8-bit sRGB codes, most used first, all different, shape (colours, 3)."""
    labels: Ints
    """The colour of each cell, from 0, shape (cells,)."""
    errors: Floats
    """CIEDE2000 of each cell to its colour, shape (cells,)."""


def few_colours(cells_lab: Floats, colours: int, *, seed: int = 0) -> Chosen:
    """Choose at most so many colours that the mean CIEDE2000 over the cells is small.

    Plain k-means minimises squared Lab distances; its centres are then swapped, moved to medians under CIEDE2000
    and exchanged as long as that helps. Cells are assigned by CIEDE2000 to the colours as 8-bit sRGB holds them.
    The result does not depend on the order of the cells.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    colours
        How many at the most; fewer come back when the cells have fewer, or two fall together in 8 bits.
    seed
        Of the first centres.
    """
    points, weights = merged(cells_lab)
    if len(points) <= colours:
        centres = points
    else:
        start = swapped(points, weights, _k_means(points, weights, colours, seed), candidates_of(points, weights))
        centres = exchanged(points, weights, moved_to_medians(points, weights, start)).lab
    return settled(cells_lab, points, weights, centres)


def settled(cells_lab: Floats, points: Floats, weights: Floats, centres: Floats) -> Chosen:
    """Round colours to 8-bit sRGB, give each cell the nearest by CIEDE2000, and put them in falling order of count.

    Parameters
    ----------
    cells_lab
        Shape (cells, 3).
    points, weights
        The cells merged, see `merged`.
    centres
        CIELAB of the colours, shape (colours, 3); those that fall together in 8 bits or serve no cell are dropped.
    """
    codes = np.unique(rounded(points, weights, centres), axis=0)
    labels, errors = nearest_colours(cells_lab, lab_from_codes(codes))
    return by_count(codes, labels, errors)


def merged(cells_lab: Floats) -> tuple[Floats, Floats]:
    """Merge equal and, where there are many, near colours.

    Returns
    -------
    points, weights
        CIELAB, shape (points, 3), in an order that does not depend on the cells'; and how many cells each
        stands for, shape (points,).
    """
    fine, counts = np.unique(pack(np.round(cells_lab / GRAINS[0])), return_counts=True)
    points, weights = unpack(fine) * GRAINS[0], counts.astype(np.float64)
    for grain in GRAINS[1:]:
        if len(points) <= MOST_POINTS:
            break
        points, weights = _grouped(points, weights, grain)
    return points, weights


def candidates_of(points: Floats, weights: Floats) -> Floats:
    """Return colours that stand for all points, shape (candidates, 3)."""
    for grain in _COARSE_GRAINS:
        if len(points) <= MOST_CANDIDATES:
            break
        points, weights = _grouped(points, weights, grain)
    return points


def _grouped(points: Floats, weights: Floats, grain: float) -> tuple[Floats, Floats]:
    _, group = np.unique(pack(np.round(points / grain)), return_inverse=True)
    groups = int(group.max()) + 1
    return weighted_means(points, weights, group, groups), np.bincount(group, weights, groups).astype(np.float64)


def _k_means(points: Floats, weights: Floats, colours: int, seed: int) -> Floats:
    """Run k-means on one thread, so that sums are added in one order on any machine."""
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    with threadpool_limits(limits=1):
        fitted = KMeans(colours, n_init=_STARTS, random_state=seed).fit(points, sample_weight=weights)
    return np.asarray(fitted.cluster_centers_, dtype=np.float64)


def rounded(points: Floats, weights: Floats, centres: Floats) -> NDArray[np.uint8]:
    """Return the 8-bit codes around each centre that serve its points best: up or down in each channel."""
    exact = np.clip(srgb_from_linear(linear_from_lab(centres)) * 255, 0, 255)
    steps = np.array(list(product((0, 1), repeat=3)))
    corners = np.minimum(np.floor(exact)[:, None] + steps, 255).astype(np.uint8)
    labels, _ = nearest_colours(points, centres)
    chosen = [_best_corner(points[labels == c], weights[labels == c], corners[c], exact[c]) for c in range(len(exact))]
    return np.array(chosen, dtype=np.uint8)


def _best_corner(points: Floats, weights: Floats, corners: NDArray[np.uint8], exact: Floats) -> NDArray[np.uint8]:
    costs = (weights[:, None] * difference_table(points, lab_from_codes(corners))).sum(axis=0)
    off = np.abs(corners - exact).sum(axis=1)
    best = np.lexsort((off, costs.round(3)))[0]
    return np.asarray(corners[best])


def by_count(codes: NDArray[np.uint8], labels: Ints, errors: Floats) -> Chosen:
    """Drop unused colours and number the others by falling count."""
    counts = np.bincount(labels, minlength=len(codes))
    order = np.argsort(-counts, kind="stable")[: np.count_nonzero(counts)]
    rank = np.empty(len(codes), dtype=np.int64)
    rank[order] = np.arange(len(order))
    return Chosen(codes[order], rank[labels], errors)
