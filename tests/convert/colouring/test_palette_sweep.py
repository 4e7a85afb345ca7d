import numpy as np
import pytest
import skimage.color
from review_inputs import cells_of, swept
from sklearn.cluster import KMeans

from convert.colouring.palette_sweep import free_palettes
from convert.colouring.quantise import few_colours
from shared.colour import lab_from_codes

NUMBERS = range(2, 17)


@pytest.fixture(scope="module", params=("china", "astronaut"))
def found_for(request):
    return swept(request.param)


def mean_error(cells, palette):
    """Mean CIEDE2000 of cells to their nearest colour, by scikit-image."""
    return skimage.color.deltaE_ciede2000(cells[:, None], palette[None]).min(axis=1).mean()


def test_palettes_beat_plain_k_means(found_for):
    """scikit-learn's k-means in Lab on the same cells: lower on average, and never higher by more than rounding."""
    cells, found = found_for
    ratios = []
    for k in (4, 8, 12, 16):
        plain = KMeans(k, n_init=4, random_state=0).fit(cells).cluster_centers_
        ratios.append(found[k - 2].errors.mean() / mean_error(cells, plain))
    assert np.exp(np.log(ratios).mean()) < 0.985
    assert max(ratios) < 1.005


def test_palettes_are_as_good_as_a_search_of_their_own(found_for):
    cells, found = found_for
    ratios = [found[k - 2].errors.mean() / few_colours(cells, k).errors.mean() for k in (4, 12)]
    assert np.exp(np.log(ratios).mean()) < 1.01
    assert max(ratios) < 1.05


def test_a_colour_more_always_helps(found_for):
    _, found = found_for
    means = np.array([chosen.errors.mean() for chosen in found])
    assert (np.diff(means) < 0).all()


def test_each_cell_takes_its_nearest_colour(found_for):
    cells, found = found_for
    for k, chosen in list(zip(NUMBERS, found, strict=True))[::3]:
        assert len(np.unique(chosen.codes, axis=0)) == len(chosen.codes) == k
        table = skimage.color.deltaE_ciede2000(cells[:, None], lab_from_codes(chosen.codes)[None])
        assert np.allclose(table[np.arange(len(cells)), chosen.labels], table.min(axis=1), atol=1e-3)
        assert np.allclose(chosen.errors, table.min(axis=1), atol=1e-3)
        assert (np.diff(np.bincount(chosen.labels)) <= 0).all()


def test_a_part_of_the_range_finds_the_same_palettes(found_for):
    cells, found = found_for
    for chosen, k in zip(free_palettes(cells, [3, 8]), (3, 8), strict=True):
        assert np.array_equal(chosen.codes, found[k - 2].codes)


def test_the_order_of_cells_does_not_matter():
    cells = cells_of("chelsea", columns=15)
    order = np.random.default_rng(3).permutation(len(cells))
    for one, other in zip(free_palettes(cells, NUMBERS), free_palettes(cells[order], NUMBERS), strict=True):
        assert np.array_equal(one.codes, other.codes)
        assert np.array_equal(one.labels[order], other.labels)


def test_flat_colours_come_back_exactly_and_no_more_of_them():
    codes = np.array([[200, 30, 40], [10, 90, 130], [250, 250, 245]], dtype=np.uint8)
    cells = lab_from_codes(codes[np.repeat([0, 1, 2], [5, 20, 10])])
    for chosen in free_palettes(cells, [3, 4, 9]):
        assert chosen.codes.tolist() == codes[[1, 2, 0]].tolist()
        assert chosen.errors.max() < 0.02
