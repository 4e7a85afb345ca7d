"""Large works on a coarser lattice: fewer and larger beads that stretch, bend and lie as the many do.

A coarse bead stands for a patch of the work: its length and diameter are the mean ones there, times as many beads as
lie across and along the patch. So the way along a line of beads stays as long as it was, and work of one size keeps
its size. The energy of a smooth shape stays what it was, but for a factor, when bending weighs less by the number of
beads in a patch; springs to the ground keep their weight in 1/mm².
"""

from dataclasses import dataclass, replace
from math import sqrt

import numpy as np

from convert.cells.area_mean import footprint_means
from convert.image.raster import ArrayRaster
from convert.layout.size import Box
from convert.surface.continuation import Cloth
from convert.surface.spring_net import make_net, rest_lengths_mm
from shared.arrays import Floats
from shared.beads import BeadSize, BeadSizes
from shared.grid import Grid

LEAST_SIDE = 8
"""Narrower works are not coarsened: hardly a patch would lie across them."""

MOST_BEADS = 10_000
"""A coarse lattice has about so many beads at most."""

_PAD = 12
"""A rim so wide goes on straight around a lattice: what a spline does at its ends does not reach the beads."""

_NEAR, _FAR = ((0, 1), (1, 0)), ((1, 2), (2, 1))


@dataclass(frozen=True, eq=False, slots=True)
class CoarseWork:
    """A work on a coarser lattice.

    Parameters
    ----------
    grid
        The lattice of the work itself.
    coarse
        The coarser one, over the same area.
    """

    grid: Grid
    coarse: Grid

    @classmethod
    def of(cls, grid: Grid) -> "CoarseWork":
        """Return the finest lattice of patches two beads wide and high or larger that has about `MOST_BEADS`."""
        patch = max(2.0, sqrt(grid.count / MOST_BEADS))
        columns, rows = (_count_patches(number, patch) for number in (grid.columns, grid.rows))
        return cls(grid, Grid(columns, rows, grid.hand, grid.start))

    @property
    def across(self) -> float:
        """Beads of the work across a patch."""
        return self.grid.columns / self.coarse.columns

    @property
    def along(self) -> float:
        """Beads of the work along a patch."""
        return (self.grid.rows + 1) / (self.coarse.rows + 1)

    def means(self, values: Floats) -> Floats:
        """Return the mean over each patch of one value for each bead of the work, shape (coarse beads,).

        The beads' values are a picture of one channel, and a coarse bead averages over its footprint as in a picture.
        """
        return footprint_means(
            ArrayRaster(self._half_rows(values).astype(np.float32)[..., None]),
            self.coarse,
            window=Box(0, 0, self.grid.columns, self.grid.rows + 1),
            bounds=Box(0, 0, self.grid.columns, self.grid.rows + 1),
            outside=np.zeros(1),
        )[:, 0]

    def cloth(self, cloth: Cloth, measures_mm: Floats, base: BeadSize) -> Cloth:
        """Return the coarse net that is to take its shape, from the cloth of the work itself.

        ``measures_mm`` are length and diameter of each bead of the work, shape (2, beads); flat work is of the size
        ``base``.
        """
        flat = make_net(self.coarse, BeadSizes((base,)), np.zeros(self.coarse.count, dtype=np.int64))
        wide, high = self.across * base.length_mm, self.along * base.diameter_mm
        even = np.ones(self.coarse.count)

        def rests(length: Floats, diameter: Floats) -> Floats:
            return rest_lengths_mm(flat.contacts, flat.in_column, length, diameter)

        length, diameter = (self.means(measure) for measure in measures_mm)
        return replace(
            cloth,
            net=flat.with_rest(rests(self.across * length, self.along * diameter)),
            start_mm=cloth.ground.lay(self.coarse.centres_mm(wide, high).T),
            flat_rest_mm=rests(wide * even, high * even),
            hold=self.means(cloth.hold),
            rise=self.means(cloth.rise),
            patch=sqrt(self.across * self.along),
        )

    def spread(self, values: Floats) -> Floats:
        """Return what lies between some values of the coarse beads at each bead of the work, shape (…, beads).

        Cubic splines on the lattice of rows and columns; past its outermost beads they go on straight.
        """
        from scipy.ndimage import map_coordinates

        down, right = self.grid.place_of.T
        at = np.stack([(down + 1) / self.along - 1, (right + 0.5) / self.across - 0.5]) + _PAD
        return np.stack([map_coordinates(self._fill_lattice(axis), at, order=3, mode="nearest") for axis in values])

    def _half_rows(self, values: Floats) -> Floats:
        """Lay values out on half-rows and columns, shape (rows + 1, columns); each bead covers two half-rows."""
        down, right = self.grid.place_of.T
        laid = np.full((self.grid.rows + 1, self.grid.columns), np.nan)
        laid[down, right] = laid[down + 1, right] = values
        for edge, inner in ((0, 1), (-1, -2)):  # the half slots at both ends
            laid[edge] = np.where(np.isnan(laid[edge]), laid[inner], laid[edge])
        return laid

    def _fill_lattice(self, values: Floats) -> Floats:
        """Lay values out on all rows and columns, those between the beads from the beads around, with a rim."""
        down, right = self.coarse.place_of.T
        laid = np.full((self.coarse.rows, self.coarse.columns), np.nan)
        laid[down, right] = values
        missing, inner = np.isnan(laid), (slice(_PAD, -_PAD),) * 2
        padded = np.pad(_bridge(laid), _PAD, mode="reflect", reflect_type="odd")
        # Exact for every cubic surface; the four around alone would leave ripples on every dome.
        between = (10 * _sum_around(padded, _NEAR) - _sum_around(padded, _FAR)) / 32
        padded[inner] = np.where(missing, between[inner], padded[inner])
        return padded


def _count_patches(number: int, patch: float) -> int:
    """Return how many patches lie along a side: odd for an odd number, so that what is symmetric stays so."""
    odd = number % 2
    return max(2 + odd, 2 * round((number / patch - odd) / 2) + odd)


def _bridge(laid: Floats) -> Floats:
    """Fill every second place, chequered, from the two or four beads on both sides of it, and straight in corners."""
    rim = np.pad(laid, 1, constant_values=np.nan)
    down = (rim[:-2, 1:-1] + rim[2:, 1:-1]) / 2
    across = (rim[1:-1, :-2] + rim[1:-1, 2:]) / 2
    both = np.where(np.isnan(down), across, np.where(np.isnan(across), down, (down + across) / 2))
    filled = np.where(np.isnan(laid), both, laid)
    for row, next_row in ((0, 1), (-1, -2)):
        for column, next_column in ((0, 1), (-1, -2)):
            if np.isnan(filled[row, column]):
                straight = filled[next_row, column] + filled[row, next_column] - filled[next_row, next_column]
                filled[row, column] = straight
    return filled


def _sum_around(values: Floats, steps: tuple[tuple[int, int], ...]) -> Floats:
    """Add up what lies some steps down and across away, either way."""
    total = np.zeros_like(values)
    for down, across in steps:
        for sign_down in {1, -1} if down else {1}:
            for sign_across in {1, -1} if across else {1}:
                total += np.roll(values, (sign_down * down, sign_across * across), axis=(0, 1))
    return total
