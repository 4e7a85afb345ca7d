"""Few colours from the picture alone, against other libraries and against what they must be."""

from functools import cache

import numpy as np
import pytest
from bundled_pictures import PICTURES, bundled
from picture_oracle import cells_of
from PIL import Image
from review_inputs import swept
from skimage.color import deltaE_ciede2000
from sklearn.cluster import KMeans
from threadpoolctl import threadpool_limits

from convert.colouring.quantise import quantise, quantise_each
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, lab_from_codes, lab_from_linear
from shared.errors import BadChoiceError

INK = np.array([[32, 36, 42]], dtype=np.uint8)


@cache
def linear_cells(name):
    return cells_of(bundled(name).data, columns=31, max_pixels=10**9)[2]


def mean_error(cells_lab, codes):
    palette = lab_from_codes(np.unique(codes.astype(np.uint8), axis=0))
    return ciede2000(cells_lab[:, None], palette).min(axis=1).mean()


def pillow_codes(cells, colours):
    for method in (Image.Quantize.MEDIANCUT, Image.Quantize.MAXCOVERAGE, Image.Quantize.FASTOCTREE):
        image = Image.fromarray(cells[None]).quantize(colours, method, dither=Image.Dither.NONE)
        yield np.asarray(image.convert("RGB")).reshape(-1, 3)


def plain_error(cells_lab, colours):
    with threadpool_limits(limits=1):
        plain = KMeans(colours, n_init=4, random_state=0).fit(cells_lab)
    return ciede2000(cells_lab, plain.cluster_centers_[plain.labels_]).mean()


def test_mean_error_is_at_most_93_per_cent_of_plain_k_means():
    """Geometric mean over the bundled pictures; each below Pillow's quantisers too (more in bench_quantise.py)."""
    ratios = []
    for name in PICTURES:
        cells_lab, cells = lab_from_linear(linear_cells(name)), codes_from_linear(linear_cells(name))
        for colours, found in zip((4, 8, 16), quantise_each(cells_lab, (4, 8, 16)), strict=True):
            assert all(found.errors.mean() < mean_error(cells_lab, codes) for codes in pillow_codes(cells, colours))
            if colours == 8:
                ratios.append(found.errors.mean() / plain_error(cells_lab, 8))
    assert np.exp(np.mean(np.log(ratios))) <= 0.93


@pytest.mark.parametrize("name", ["china", "astronaut"])
def test_a_colour_more_always_helps_and_a_number_does_not_depend_on_the_others(name):
    cells, found = swept(name)
    assert [len(chosen.codes) for chosen in found] == list(range(2, 17))
    assert (np.diff([chosen.errors.mean() for chosen in found]) < 0).all()
    for number in (3, 8):
        assert np.array_equal(quantise(cells, number).codes, found[number - 2].codes)


@pytest.mark.parametrize("colours", [1, 2, 3])
def test_no_other_choice_of_own_colours_is_better(colours):
    """As near as the best of all choices of the cells' own colours, tried one by one, or nearer."""
    rng = np.random.default_rng(colours)
    codes = rng.integers(0, 256, (14, 3)).astype(np.uint8)
    cells = lab_from_codes(codes[rng.integers(0, 14, 60)])
    table = ciede2000(cells[:, None], lab_from_codes(codes))
    choices = np.array(np.meshgrid(*[np.arange(14)] * colours)).reshape(colours, -1).T
    assert quantise(cells, colours).errors.mean() <= min(
        table[:, list(choice)].min(axis=1).mean() for choice in choices
    )


def test_the_8_bit_codes_around_a_centre_are_weighed():
    """Cells of two neighbouring greys, one in four of the other: 8-bit rounding must land on the commoner one."""
    codes = np.array([[181, 181, 181], [182, 182, 182], [20, 60, 90]], dtype=np.uint8)
    chosen = quantise(lab_from_codes(codes[np.repeat([0, 1, 2], [30, 10, 20])]), 2)
    assert chosen.codes.tolist() == [[181, 181, 181], [20, 60, 90]]


def test_flat_colours_come_back_exactly_and_by_count():
    codes = np.array([[200, 30, 40], [10, 90, 130], [250, 250, 245]], dtype=np.uint8)
    labels = np.repeat([0, 1, 2], [5, 20, 10])
    chosen = quantise(lab_from_codes(codes[labels]), 8)
    assert chosen.codes.tolist() == codes[[1, 2, 0]].tolist()
    assert np.bincount(chosen.labels).tolist() == [20, 10, 5]
    assert chosen.errors.max() < 0.02


def test_palettes_hold_no_empty_and_no_double_colour():
    rng = np.random.default_rng(8)
    nearly_equal = lab_from_codes(np.full((400, 3), 120, dtype=np.uint8)) + rng.normal(0, 0.05, (400, 3))
    chosen = quantise(nearly_equal, 12)
    assert len(np.unique(chosen.codes, axis=0)) == len(chosen.codes)
    assert np.bincount(chosen.labels, minlength=len(chosen.codes)).min() > 0


def test_each_cell_takes_its_nearest_colour():
    cells = lab_from_codes(np.random.default_rng(9).integers(0, 256, (500, 3)).astype(np.uint8))
    chosen = quantise(cells, 7)
    table = ciede2000(cells[:, None], lab_from_codes(chosen.codes))
    assert np.allclose(table[np.arange(500), chosen.labels], table.min(axis=1), atol=1e-3)
    assert np.allclose(chosen.errors, table.min(axis=1), atol=1e-3)
    assert (np.diff(np.bincount(chosen.labels)) <= 0).all()


def test_the_order_of_cells_does_not_matter():
    cells = lab_from_codes(np.random.default_rng(10).integers(0, 256, (600, 3)).astype(np.uint8))
    order = np.random.default_rng(11).permutation(600)
    one, other = quantise(cells, 9), quantise(cells[order], 9)
    assert np.array_equal(one.codes, other.codes)
    assert np.array_equal(one.labels[order], other.labels)


def test_many_cells_are_merged_at_little_cost():
    """Of 24,000 different colours near ones are merged; each still takes its nearest, the mean stays within 2 %."""
    rng = np.random.default_rng(12)
    middles = rng.uniform([20, -40, -40], [90, 40, 40], (9, 3))
    cells = middles[rng.integers(0, 9, 24_000)] + rng.normal(0, 6, (24_000, 3))
    assert quantise(cells, 9).errors.mean() <= quantise(cells[:2_900], 9).errors.mean() * 1.02


@pytest.fixture(scope="module")
def inked():
    """Cells of seven scattered colours, and ink."""
    rng = np.random.default_rng(4)
    middles = rng.integers(20, 236, (7, 3))
    codes = np.clip(middles[rng.integers(0, 7, 900)] + rng.normal(0, 9, (900, 3)), 0, 255).astype(np.uint8)
    return lab_from_codes(np.concatenate([codes, np.repeat(INK + 3, 100, axis=0)]))


@pytest.mark.parametrize("colours", [1, 2, 5, 8])
def test_required_colours_are_in_and_the_number_is_kept(inked, colours):
    chosen = quantise(inked, colours, INK)
    assert INK[0].tolist() in chosen.codes.tolist()
    assert len(chosen.codes) == colours
    table = deltaE_ciede2000(inked[:, None], lab_from_codes(chosen.codes)[None])
    assert np.allclose(chosen.errors, table.min(axis=1), atol=1e-3)


def test_a_required_colour_costs_little_where_it_fits(inked):
    """Ink is a colour of these cells: giving it must not spoil the others."""
    assert quantise(inked, 8, INK).errors.mean() <= quantise(inked, 8).errors.mean() * 1.05 + 0.1


@pytest.mark.parametrize("colours", [4, 8, 12])
@pytest.mark.parametrize("seed", range(3))
def test_required_colours_cost_no_more_than_their_places(colours, seed):
    """Whatever is required: not worse than it next to the best palette of the places left, chosen without it."""
    rng = np.random.default_rng(seed)
    codes = rng.integers(0, 256, (12, 3))[rng.integers(0, 12, 700)] + rng.integers(-6, 7, (700, 3))
    cells = lab_from_codes(np.clip(codes, 0, 255).astype(np.uint8))
    required = rng.integers(0, 256, (2, 3), dtype=np.uint8)
    blind = np.concatenate([required, quantise(cells, colours - 2).codes])
    assert quantise(cells, colours, required).errors.mean() <= mean_error(cells, blind) + 1e-4


def test_a_required_colour_displaces_none_where_there_is_room():
    """Three flat colours in six places: a fourth one, kept, leaves each cell its own colour."""
    flat = np.array([[255, 255, 255], [200, 40, 40], [40, 60, 160]], dtype=np.uint8)
    chosen = quantise(lab_from_codes(flat.repeat(50, axis=0)), 6, np.array([[216, 199, 160]], dtype=np.uint8))
    assert chosen.errors.max() < 1e-3


def test_the_other_colour_is_the_best_next_to_a_required_one_that_stays_in_its_place():
    """A ramp of greys and a required light one: every grey is tried as the other."""
    greys = lab_from_codes(np.arange(40, 200, dtype=np.uint8)[:, None].repeat(3, axis=1))
    light = np.array([[185, 185, 185]], dtype=np.uint8)
    tried = [mean_error(greys, np.concatenate([light, np.full((1, 3), grey)])) for grey in range(256)]
    assert quantise(greys, 2, light).errors.mean() == pytest.approx(min(tried), abs=0.02)


def test_more_required_than_asked_for_is_refused(inked):
    with pytest.raises(BadChoiceError, match="--colours"):
        quantise(inked, 1, np.concatenate([INK, INK + 80]))
