import io

import numpy as np
import pytest
from bundled_pictures import PICTURES, bundled
from picture_oracle import cells_of
from PIL import Image
from sklearn.cluster import KMeans
from threadpoolctl import threadpool_limits

from convert.cells.area_mean import footprint_means
from convert.colouring.quantise import few_colours
from convert.image.decode import Source
from convert.image.raster import ArrayRaster
from convert.layout.size import Box
from convert.options import Options
from convert.pattern import make_pattern
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, lab_from_codes, lab_from_linear, linear_from_srgb


def open_picture(name):
    """Open pictures that come with scikit-learn (china, flower: CC BY 2.0) and scikit-image (public domain, CC0)."""
    if name in {"china", "flower"}:
        from sklearn.datasets import load_sample_image

        return load_sample_image(f"{name}.jpg")
    import skimage.data

    return getattr(skimage.data, name)()


def png(pixels):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", compress_level=1)
    return Source("picture.png", file.getvalue())


def mean_error(cells_lab, codes):
    palette = lab_from_codes(np.unique(codes.astype(np.uint8), axis=0))
    return ciede2000(cells_lab[:, None], palette).min(axis=1).mean()


@pytest.mark.parametrize("name", ["china", "flower", "astronaut", "coffee", "chelsea"])
def test_colours_are_no_worse_than_those_of_other_libraries(name):
    """Mean CIEDE2000 against Pillow's quantisers and scikit-learn's k-means in RGB, on the same cells."""
    pixels = open_picture(name)
    for colours in (4, 8, 16):
        pattern = make_pattern(
            png(pixels), None, Options(columns=31, colours=colours, turn="0", style="photo", tidy=0), surface=False
        )
        grid = pattern.design.grid
        whole = Box(0, 0, pixels.shape[1], pixels.shape[0])
        proportion = 31 * 1.3 / ((grid.rows + 1) * 0.8)
        width = min(whole.right, whole.bottom * proportion)
        height = width / proportion
        window = Box(
            (whole.right - width) / 2,
            (whole.bottom - height) / 2,
            (whole.right + width) / 2,
            (whole.bottom + height) / 2,
        )
        linear = footprint_means(
            ArrayRaster(linear_from_srgb(pixels / 255).astype(np.float32)),
            grid,
            window=window,
            bounds=whole,
            outside=np.ones(3),
        )
        cells_lab, cells = lab_from_linear(linear), codes_from_linear(linear)
        ours = mean_error(
            cells_lab, np.array([bytes.fromhex(b.srgb[1:]) for b in pattern.design.beads]).view(np.uint8).reshape(-1, 3)
        )
        assert ours == pytest.approx(pattern.errors.mean(), abs=1e-3)
        k_means = KMeans(colours, n_init=4, random_state=0).fit(cells)
        assert ours <= mean_error(cells_lab, np.rint(k_means.cluster_centers_))
        for method in (Image.Quantize.MEDIANCUT, Image.Quantize.MAXCOVERAGE, Image.Quantize.FASTOCTREE):
            theirs = Image.fromarray(cells[None]).quantize(colours, method, dither=Image.Dither.NONE).convert("RGB")
            assert ours <= mean_error(cells_lab, np.asarray(theirs).reshape(-1, 3))


def test_mean_error_is_at_most_94_per_cent_of_plain_k_means():
    """Geometric mean over the bundled pictures; each below Pillow's quantisers too (more in bench_quantise.py)."""
    ratios = []
    for name in PICTURES:
        linear = cells_of(bundled(name).data, columns=31, max_pixels=10**9)[2]
        cells_lab, cells = lab_from_linear(linear), codes_from_linear(linear)
        ours = few_colours(cells_lab, 8).errors.mean()
        with threadpool_limits(limits=1):
            plain = KMeans(8, n_init=4, random_state=0).fit(cells_lab)
        ratios.append(ours / ciede2000(cells_lab, plain.cluster_centers_[plain.labels_]).mean())
        for method in (Image.Quantize.MEDIANCUT, Image.Quantize.MAXCOVERAGE, Image.Quantize.FASTOCTREE):
            theirs = Image.fromarray(cells[None]).quantize(8, method, dither=Image.Dither.NONE).convert("RGB")
            assert ours < mean_error(cells_lab, np.asarray(theirs).reshape(-1, 3)), (name, method)
    assert np.exp(np.mean(np.log(ratios))) <= 0.94


def test_the_8_bit_codes_around_a_centre_are_weighed():
    """Cells of two neighbouring greys, one in four of the other: 8-bit rounding must land on the commoner one."""
    codes = np.array([[181, 181, 181], [182, 182, 182], [20, 60, 90]], dtype=np.uint8)
    chosen = few_colours(lab_from_codes(codes[np.repeat([0, 1, 2], [30, 10, 20])]), 2)
    assert chosen.codes.tolist() == [[181, 181, 181], [20, 60, 90]]


def test_flat_colours_come_back_exactly_and_by_count():
    codes = np.array([[200, 30, 40], [10, 90, 130], [250, 250, 245]], dtype=np.uint8)
    labels = np.repeat([0, 1, 2], [5, 20, 10])
    chosen = few_colours(lab_from_codes(codes[labels]), 8)
    assert chosen.codes.tolist() == codes[[1, 2, 0]].tolist()
    assert np.bincount(chosen.labels).tolist() == [20, 10, 5]
    assert chosen.errors.max() < 0.02


def test_palettes_hold_no_empty_and_no_double_colour():
    rng = np.random.default_rng(8)
    nearly_equal = lab_from_codes(np.full((400, 3), 120, dtype=np.uint8)) + rng.normal(0, 0.05, (400, 3))
    chosen = few_colours(nearly_equal, 12)
    assert len(np.unique(chosen.codes, axis=0)) == len(chosen.codes)
    assert np.bincount(chosen.labels, minlength=len(chosen.codes)).min() > 0


def test_each_cell_takes_its_nearest_colour():
    cells = lab_from_codes(np.random.default_rng(9).integers(0, 256, (500, 3)).astype(np.uint8))
    chosen = few_colours(cells, 7)
    table = ciede2000(cells[:, None], lab_from_codes(chosen.codes))
    assert np.allclose(table[np.arange(500), chosen.labels], table.min(axis=1), atol=1e-3)
    assert np.allclose(chosen.errors, table.min(axis=1), atol=1e-3)
    assert (np.diff(np.bincount(chosen.labels)) <= 0).all()


def test_the_order_of_cells_does_not_matter():
    cells = lab_from_codes(np.random.default_rng(10).integers(0, 256, (600, 3)).astype(np.uint8))
    order = np.random.default_rng(11).permutation(600)
    one, other = few_colours(cells, 9), few_colours(cells[order], 9)
    assert np.array_equal(one.codes, other.codes)
    assert np.array_equal(one.labels[order], other.labels)


def test_many_cells_are_merged_at_little_cost():
    """Above 20,000 different colours near ones are merged; the mean error stays within 2 % of unmerged work."""
    rng = np.random.default_rng(12)
    middles = rng.uniform([20, -40, -40], [90, 40, 40], (9, 3))
    cells = middles[rng.integers(0, 9, 24_000)] + rng.normal(0, 6, (24_000, 3))
    merged, plain = few_colours(cells, 9), few_colours(cells[:19_000], 9)
    assert merged.errors.mean() <= plain.errors.mean() * 1.02
