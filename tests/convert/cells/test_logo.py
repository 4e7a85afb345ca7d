import io

import numpy as np
import pytest
from drawings import FLAT, emblem, on_beads
from picture_oracle import sampled_means
from PIL import Image

import convert.cells.supersample
from convert.cells.area_mean import footprint_means
from convert.cells.logo import likeliest, logo_cells
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, lab_from_codes, lab_from_linear

DRAWN = lab_from_codes(np.array(FLAT, dtype=np.uint8))


def covers(view, grid):
    """Share of each bead that each drawn colour has, worked out from the pixels that are exactly of it."""
    masks = (view.picture.pixels().codes[:, :, None] == np.array(FLAT, dtype=np.uint8)).all(axis=-1)
    return sampled_means(masks, grid, window=view.window, samples=512)


def jpeg(pixels, quality):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality)
    return np.asarray(Image.open(file))


def off_the_drawn(linear):
    return ciede2000(lab_from_linear(linear)[:, None], DRAWN[None]).min(axis=1)


def area_means(view, grid):
    picture, window, bounds, outside = view
    return footprint_means(picture, grid, window=window, bounds=bounds, outside=outside)


@pytest.mark.parametrize("columns", [19, 24, 31])
def test_flat_areas_come_out_as_the_one_colour_they_are(columns):
    view, grid = on_beads(emblem(), columns)
    shares = covers(view, grid)
    codes = codes_from_linear(logo_cells(view, grid))
    inside = shares.max(axis=1) > 0.999
    assert inside.mean() > 0.5
    assert np.array_equal(codes[inside], np.array(FLAT, dtype=np.uint8)[shares[inside].argmax(axis=1)])


@pytest.mark.parametrize("columns", [19, 24, 31])
def test_edges_have_no_halo(columns):
    """Beads on an edge show one of the drawn colours, where the area mean shows mixtures."""
    view, grid = on_beads(emblem(), columns)
    edge = covers(view, grid).max(axis=1) < 0.97
    assert edge.sum() > 50
    ours, mixed = off_the_drawn(logo_cells(view, grid)[edge]), off_the_drawn(area_means(view, grid)[edge])
    assert ours.max() < 0.5
    assert (mixed > 2).mean() >= 0.75
    assert len(np.unique(codes_from_linear(logo_cells(view, grid)), axis=0)) <= len(FLAT) + 2
    assert len(np.unique(codes_from_linear(area_means(view, grid)), axis=0)) > 15 * len(FLAT)


@pytest.mark.parametrize("columns", [19, 24, 31])
def test_a_bead_on_an_edge_takes_the_colour_that_has_most_of_it(columns):
    view, grid = on_beads(emblem(), columns)
    shares = covers(view, grid)
    clear = (shares.max(axis=1) > 0.65) & (shares.max(axis=1) < 0.97)
    taken = ciede2000(lab_from_linear(logo_cells(view, grid))[:, None], DRAWN[None]).argmin(axis=1)
    assert (taken[clear] == shares[clear].argmax(axis=1)).mean() > 0.9


@pytest.mark.parametrize(("unit", "quality"), [(6, None), (20, 60), (12, 75)])
def test_few_pixels_and_jpeg_noise_do_little_harm(unit, quality):
    pixels = emblem(unit)
    view, grid = on_beads(pixels if quality is None else jpeg(pixels, quality), 24)
    assert (off_the_drawn(logo_cells(view, grid)) > 4).mean() <= 0.03
    assert (off_the_drawn(area_means(view, grid)) > 4).mean() >= 0.15


def test_the_likeliest_of_two_colours_counted_by_hand():
    """Sixty samples of one and twenty of another: the mean lies between, the likeliest is the first itself."""
    one, other = np.array([40.0, 10, -20]), np.array([80.0, 0, 30])
    samples = np.vstack([np.tile(one, (60, 1)), np.tile(other, (20, 1))])[None]
    weights = np.ones((1, 80))
    assert likeliest(samples, weights, samples.mean(axis=1)) == pytest.approx(one[None], abs=0.05)
    assert likeliest(samples, weights, other[None]) == pytest.approx(other[None], abs=0.05)
    assert likeliest(samples, weights, samples.mean(axis=1) + 500) == pytest.approx(samples.mean(axis=1), abs=30)


@pytest.mark.parametrize("band_samples", [1, 20_000])
def test_bands_make_no_difference(monkeypatch, band_samples):
    view, grid = on_beads(emblem(), 24)
    whole = logo_cells(view, grid)
    monkeypatch.setattr(convert.cells.supersample, "BAND_SAMPLES", band_samples)
    assert np.allclose(whole, logo_cells(view, grid), atol=1e-6)
