import numpy as np
import pytest
from drawings import on_beads
from hypothesis import given, settings
from hypothesis import strategies as st

import convert.cells.supersample
from convert.cells.area_mean import footprint_means
from convert.cells.footprints import bead_starts, footprints
from convert.cells.supersample import Density, density_of, sample_bands

FITS = (
    {"fit": "stretch", "rows": 14},
    {"fit": "cover", "rows": 30},
    {"fit": "contain", "rows": 30},
    {"hand": "left", "start": "bottom"},
    {"turn": "90", "mirror": True},
)


@given(st.integers(0, 2**32 - 1), st.sampled_from(FITS), st.integers(2, 7), st.sampled_from([1, 10**6]))
@settings(max_examples=40)
def test_samples_sum_up_to_the_mean_over_each_bead(seed, choices, columns, band_samples):
    """Exact area means: those of the samples of a bead are its own, in every fit, whatever the bands."""
    pixels = np.random.default_rng(seed).integers(0, 256, (37, 29, 3)).astype(np.uint8)
    view, grid = on_beads(pixels, columns, **choices)
    density, starts = Density(3, 2, 2), bead_starts(grid)
    means = np.full((grid.count, 3), np.nan)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(convert.cells.supersample, "BAND_SAMPLES", band_samples)
        for band in sample_bands(view, grid, density, margin=1):
            coarse = band._replace(density=Density(6, 4))
            prints = footprints(coarse, starts)
            assert np.isnan(means[prints.beads]).all()
            means[prints.beads] = prints.of(band.linear).mean(axis=1)
            assert np.allclose(prints.total(band.linear) / prints.samples, means[prints.beads])
            assert np.array_equal(prints.greatest(band.linear[..., 0]), prints.of(band.linear[..., 0]).max(axis=1))
            held = prints.owners < grid.count
            assert np.array_equal(np.unique(prints.of(prints.owners)), np.sort(prints.beads))
            assert (prints.spread(np.ones(len(prints.beads)))[~held] == 0).all()
    picture, window, bounds, outside = view
    assert np.allclose(means, footprint_means(picture, grid, window=window, bounds=bounds, outside=outside), atol=1e-6)


@pytest.mark.parametrize(
    ("pixels_across", "density"),
    [
        (8, Density(2, 2, 1)),
        (30, Density(6, 4, 1)),
        (90, Density(8, 5, 1)),
        (150, Density(8, 5, 1)),
        (600, Density(8, 5, 2)),
    ],
)
def test_no_more_samples_than_the_picture_has_detail(pixels_across, density):
    """Ten columns: two samples to a pixel, up to 8 x 10 for a bead, and parts of those where pixels are plenty."""
    view, grid = on_beads(np.zeros((pixels_across * 2, pixels_across, 3), dtype=np.uint8), 10)
    found = density_of(view, grid)
    assert (found.across, found.finer) == (density.across, density.finer)
    assert abs(found.down - density.down) <= 1
