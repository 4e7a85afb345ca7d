"""Which samples of a picture each bead covers."""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.cells.supersample import Band, Density, in_cells
from shared.arrays import Floats, Ints
from shared.grid import Grid


def bead_starts(grid: Grid) -> Ints:
    """Return the bead that begins in each cell, shape (half-rows, columns); -1 where one ends, or there is none."""
    starts = np.full((grid.rows + 1, grid.columns), -1)
    starts[grid.place_of[:, 0], grid.place_of[:, 1]] = np.arange(grid.count)
    return starts


class Footprints(NamedTuple):
    """Which samples of a band its own beads cover."""

    beads: Ints
    """The beads, shape (beads,)."""
    down: Ints
    """The half-row of the band in which each begins, shape (beads,)."""
    right: Ints
    """The column of each from the left, from 0, shape (beads,)."""
    owners: Ints
    """The bead on each sample, shape (samples down, samples across); beads of the margin too, the count of all beads
    where there is none."""
    density: Density

    @property
    def samples(self) -> int:
        """How many samples a bead covers."""
        return 2 * self.density.across * self.density.down

    def of(self, field: NDArray[Any]) -> NDArray[Any]:
        """Return the samples of each bead, shape (beads, samples, …)."""
        cells = in_cells(field, self.density)
        both = np.stack([cells[self.down, self.right], cells[self.down + 1, self.right]], axis=1)
        return both.reshape(len(self.beads), self.samples, *field.shape[2:])

    def total(self, field: NDArray[Any]) -> Floats:
        """Return the sum over each bead, shape (beads, …)."""
        cells = self._gathered(np.add, field.astype(np.float64))
        return np.asarray(cells[self.down, self.right] + cells[self.down + 1, self.right])

    def greatest(self, field: Floats) -> Floats:
        """Return the greatest sample of each bead, shape (beads,)."""
        cells = self._gathered(np.maximum, field)
        return np.asarray(np.maximum(cells[self.down, self.right], cells[self.down + 1, self.right]))

    def _gathered(self, gather: np.ufunc, field: Floats) -> Floats:
        """Bring each cell to one value, first down, then across: so most of it runs along memory."""
        height, width, *rest = field.shape
        rows = gather.reduce(field.reshape(height // self.density.down, self.density.down, width, *rest), axis=1)
        return np.asarray(gather.reduce(rows.reshape(len(rows), -1, self.density.across, *rest), axis=2))

    def spread(self, values: Floats) -> Floats:
        """Return the value of each bead on all its samples, shape (samples down, samples across); 0 elsewhere."""
        cells = np.zeros((len(self.owners) // self.density.down, self.owners.shape[1] // self.density.across))
        cells[self.down, self.right] = cells[self.down + 1, self.right] = values
        return on_samples(cells, self.density)


def footprints(band: Band, starts: Ints) -> Footprints:
    """Return what the own beads of a band cover; ``starts`` comes from `bead_starts`."""
    half_rows = len(band.linear) // (band.density.down * band.density.finer)
    padded = np.vstack([np.full((1, starts.shape[1]), -1), starts])
    begun, ended = (padded[band.first + step : band.first + step + half_rows] for step in (1, 0))
    cells = np.maximum(begun, ended)
    owners = on_samples(np.where(cells < 0, starts.max() + 1, cells), band.density)
    down, right = np.nonzero(starts[band.own.start : band.own.stop] >= 0)
    beads = starts[band.own.start + down, right]
    return Footprints(beads, down + band.own.start - band.first, right, owners, band.density)


def on_samples(cells: NDArray[Any], density: Density) -> NDArray[Any]:
    """Return a field of cells on all their samples."""
    return np.repeat(np.repeat(cells, density.down, axis=0), density.across, axis=1)
