"""A maker's gauge: the prediction meets the sample, and measures that were hidden are found again."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from size_levels import middle, rings
from strategies import SIZES

from convert.surface.calibrate import NEAR, SampleMeasures, fit_to_sample
from convert.surface.prediction import predict
from shared.beads import BeadSize, BeadSizes, bead_sizes_toml, parse_bead_sizes
from shared.calibration import Gauge
from shared.errors import BadChoiceError, BadFileError
from shared.grid import Grid

GRID = Grid(9, 20)
LEVELS = rings(GRID, middle(GRID), radii=(0.5, 1.5, 2.5))


def height_of(prediction):
    return max(dome.height_mm for dome in prediction.found.domes)


def scaled(across, along):
    return BeadSizes(
        tuple(
            replace(size, length_mm=size.length_mm * across, diameter_mm=size.diameter_mm * along)
            for size in SIZES.sizes
        )
    )


def test_hidden_measures_are_found_from_length_and_width():
    hidden = scaled(across=0.94, along=1.05)
    sample = predict(GRID, hidden, LEVELS).found
    found = fit_to_sample(GRID, SIZES, LEVELS, SampleMeasures(sample.length_mm, sample.width_mm), sample="cuff")
    for size, real in zip(found.bead_sizes.sizes, hidden.sizes, strict=True):
        assert size.length_mm == pytest.approx(real.length_mm, rel=0.01)
        assert size.diameter_mm == pytest.approx(real.diameter_mm, rel=0.01)
    assert found.bead_sizes.gauge.sample == "cuff"
    assert found.bead_sizes.gauge.measured == ("length", "width")
    # What an earlier sample told stays known as far as the dome of a later one does not change it.
    later = fit_to_sample(
        GRID, found.bead_sizes, LEVELS, SampleMeasures(dome_mm=height_of(found.prediction) * 0.97), sample="belt"
    )
    now = later.prediction.found
    told = {"length": now.length_mm / sample.length_mm, "width": now.width_mm / sample.width_mm}
    near = [figure for figure, share in told.items() if abs(share - 1) < 0.004]
    far = [figure for figure, share in told.items() if abs(share - 1) > 0.006]
    assert "dome" in later.bead_sizes.gauge.measured
    assert set(near) <= set(later.bead_sizes.gauge.measured)
    assert not set(far) & set(later.bead_sizes.gauge.measured)
    assert near or far


@pytest.mark.parametrize("share", [0.95, 1.0])  # the first is met by growth, the second by bending
def test_length_width_and_dome_are_met_together(share):
    plain = predict(GRID, SIZES, LEVELS)
    wanted = SampleMeasures(plain.found.length_mm * 1.03, plain.found.width_mm * 0.97, height_of(plain) * share)
    found = fit_to_sample(GRID, SIZES, LEVELS, wanted, sample="cuff")
    again = predict(GRID, found.bead_sizes, LEVELS)
    assert again.found.length_mm == pytest.approx(wanted.length_mm, rel=NEAR)
    assert again.found.width_mm == pytest.approx(wanted.width_mm, rel=NEAR)
    assert height_of(again) == pytest.approx(wanted.dome_mm, rel=NEAR)
    thick = [size.diameter_mm for size in found.bead_sizes.sizes]
    assert thick == sorted(thick)


def test_flat_work_gives_the_scale_of_the_beads_themselves():
    flat = np.zeros(GRID.count, dtype=int)
    found = fit_to_sample(GRID, SIZES, flat, SampleMeasures(length_mm=21 * 0.85), sample="strip")
    assert found.bead_sizes.flat.diameter_mm == pytest.approx(1.7)
    assert found.bead_sizes.flat.length_mm == 1.3


@pytest.mark.parametrize(
    ("measured", "levels", "named"),
    [
        (SampleMeasures(), LEVELS, "--measured-length, --measured-width or --measured-dome"),
        (SampleMeasures(length_mm=250.0), LEVELS, "length of 250 mm"),
        (SampleMeasures(width_mm=1.4), LEVELS, "width of 1.4 mm"),
        (SampleMeasures(dome_mm=50.0), LEVELS, "dome of 50 mm"),
        (SampleMeasures(dome_mm=5.0), LEVELS * 0, "--measured-dome"),
    ],
)
def test_slips_are_told(measured, levels, named):
    with pytest.raises(BadChoiceError, match=named):
        fit_to_sample(GRID, SIZES, levels, measured, sample="cuff")


@settings(max_examples=50)
@given(
    st.lists(st.floats(0.5, 9.0), min_size=1, max_size=5, unique=True).map(sorted),
    st.floats(1e-4, 1.0),
    st.text(st.characters(min_codepoint=32, exclude_categories=["C", "Zl", "Zp", "Zs"]), min_size=1, max_size=20),
)
def test_a_file_of_bead_sizes_is_read_back_as_it_was_written(diameters, bending, sample):
    sizes = tuple(BeadSize(f"round {place}/0", 0.8 * d, d, d / 3, 20) for place, d in enumerate(diameters, start=1))
    for bead_sizes in (BeadSizes(sizes), BeadSizes(sizes, Gauge(sample, bending))):
        assert parse_bead_sizes(bead_sizes_toml(bead_sizes)) == bead_sizes


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('[gauge]\nsample = "cuff"\nbending = 0.01\n', "needs exactly sample, bending and measured"),
        ('[gauge]\nsample = 3\nbending = 0.01\nmeasured = ["dome"]\n', "must be text"),
        ('[gauge]\nsample = "cuff"\nbending = "soft"\nmeasured = ["dome"]\n', "must be a number"),
        ('[gauge]\nsample = "cuff"\nbending = 0\nmeasured = ["dome"]\n', "above zero"),
        ('[gauge]\nsample = ""\nbending = 0.01\nmeasured = ["dome"]\n', "name its sample"),
        ('[gauge]\nsample = "cuff"\nbending = 0.01\nmeasured = "dome"\n', "must be a list of words"),
        ('[gauge]\nsample = "cuff"\nbending = 0.01\nmeasured = []\n', "say once and in this order"),
        ('[gauge]\nsample = "cuff"\nbending = 0.01\nmeasured = ["dome", "length"]\n', "say once and in this order"),
        ('[gauge]\nsample = "cuff"\nbending = 0.01\nmeasured = ["weight"]\n', "say once and in this order"),
    ],
)
def test_a_bad_gauge_is_told_with_its_file(text, sentence):
    with pytest.raises(BadFileError, match=f"mine.toml.*{sentence}"):
        parse_bead_sizes(bead_sizes_toml(SIZES) + text, source="mine.toml")
