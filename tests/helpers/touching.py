"""Beads that hang together, by the connected components of scipy."""

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components


def components(grid, chosen):
    """The groups of chosen beads that hang together by touching, each as a frozen set."""
    bead, contact = ((grid.neighbours >= 0) & chosen[:, None]).nonzero()
    other = grid.neighbours[bead, contact]
    kept = chosen[other]
    joined = coo_array((np.ones(kept.sum()), (bead[kept], other[kept])), shape=(grid.count, grid.count))
    label = connected_components(joined, directed=False)[1]
    return {frozenset(np.flatnonzero(chosen & (label == one)).tolist()) for one in set(label[chosen].tolist())}
