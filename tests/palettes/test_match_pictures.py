"""The choice on real pictures, against the plain way: k-means, then the nearest bead to each mean."""

from functools import cache

import numpy as np
import pytest
from open_pictures import COLOUR_PICTURES, open_picture
from picture_oracle import cells_of, encoded
from skimage.color import deltaE_ciede2000
from sklearn.cluster import KMeans
from threadpoolctl import threadpool_limits

from palettes.bundled import load
from palettes.match import match_each
from palettes.match_request import CellsToMatch
from shared.beads import default_bead_sizes
from shared.colour import lab_from_linear

NUMBERS = (4, 8, 12, 16, 20, 24)
BEADS = load("coast")


@cache
def cells_lab(name):
    """Cells of a work 31 columns wide."""
    return lab_from_linear(cells_of(encoded(open_picture(name), compress_level=0), columns=31, turn="0")[2])


@cache
def ratios(name):
    """Mean CIEDE2000 (scikit-image) of the choice over that of the plain way, for each number of colours."""
    lab = cells_lab(name)
    differences = deltaE_ciede2000(lab[:, None], BEADS.lab[None])
    flat = CellsToMatch(lab, np.zeros(len(lab), dtype=np.int64))
    found = []
    for number, matched in zip(NUMBERS, match_each(flat, BEADS, default_bead_sizes(), NUMBERS), strict=True):
        assert len(matched.colours) == min(number, len(np.unique(differences.argmin(axis=1))))
        assert len(np.unique(matched.labels)) == len(matched.colours)
        places = np.array([BEADS.place_of(colour.name) for colour in matched.colours])
        ours = differences[np.arange(len(lab)), places[matched.labels]]
        assert matched.errors == pytest.approx(ours, abs=1e-3)
        with threadpool_limits(1):
            means = KMeans(number, n_init=4, random_state=0).fit(lab).cluster_centers_
        nearest = deltaE_ciede2000(means[:, None], BEADS.lab[None]).argmin(axis=1)
        found.append(ours.mean() / differences[:, np.unique(nearest)].min(axis=1).mean())
    return np.array(found)


@pytest.mark.parametrize("name", COLOUR_PICTURES)
def test_the_choice_is_never_worse_than_the_plain_way_and_has_all_the_colours_asked_for(name):
    assert ratios(name).max() <= 1 + 1e-6


def test_the_choice_is_better_by_a_fortieth_on_average():
    """At least 2.5 % lower over the colour pictures, 4 to 24 colours."""
    assert np.mean([ratios(name) for name in COLOUR_PICTURES]) <= 0.975
