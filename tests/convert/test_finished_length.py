"""Rows that give the finished length asked for."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from convert.image.decode import Source
from convert.options import Options
from convert.pattern import make_pattern
from convert.surface.prediction import predict

PITCH_MM = 0.8
"""Half a bead of the default flat size, by which a row more lengthens flat work."""


def source(array, name):
    file = io.BytesIO()
    Image.fromarray(array).save(file, "PNG")
    return Source(name, file.getvalue())


def stripe(width=60, height=400):
    """A picture, and a map with a ridge across the whole work, which lengthens no column more than another."""
    rows = np.arange(height)
    picture = np.stack([np.broadcast_to((rows // 20 % 2 * 200)[:, None], (height, width))] * 3, axis=-1)
    heights = np.broadcast_to((np.clip(1 - np.abs(rows % 100 - 50) / 30, 0, 1) * 255)[:, None], (height, width))
    return source(picture.astype(np.uint8), "stripe.png"), source(heights.astype(np.uint8), "stripe-heights.png")


PICTURE, HEIGHTS = stripe()


def test_a_length_asked_for_is_met_to_half_a_bead_by_the_prediction_itself():
    made = make_pattern(PICTURE, HEIGHTS, Options(columns=7, length_mm=60.0))
    design = made.design
    again = predict(design.grid, design.bead_sizes, design.levels)
    assert again.found.length_mm == pytest.approx(60.0, abs=PITCH_MM)
    assert again.found.length_mm == made.prediction.found.length_mm
    assert design.grid.columns == 7
    flat = make_pattern(PICTURE, HEIGHTS, Options(columns=7, length_mm=60.0), surface=False).design
    assert abs(predict(flat.grid, flat.bead_sizes, flat.levels).found.length_mm - 60.0) > 2 * PITCH_MM
    assert f"{design.grid.rows} rows, where flat work would take {flat.grid.rows}," in made.notices[-1]


@pytest.mark.parametrize("share", [0.8, 0.97, 1.0, 1.15])
def test_any_shrinkage_is_made_up_for(share, monkeypatch):
    def shrunk(grid, bead_sizes, levels, **_):
        flat = predict(grid, bead_sizes, np.zeros_like(levels))
        return flat._replace(found=replace(flat.found, length_mm=share * flat.found.length_mm))

    monkeypatch.setattr("convert.surface.prediction.predict", shrunk)
    made = make_pattern(PICTURE, HEIGHTS, Options(width_mm=10.0, length_mm=60.0))
    assert made.prediction.found.length_mm == pytest.approx(60.0, abs=PITCH_MM)
    assert made.design.grid.columns == 8


def test_flat_work_is_that_of_the_pipeline_and_has_no_prediction():
    options = Options(columns=9, length_mm=60.0)
    made = make_pattern(PICTURE, None, options)
    assert made.prediction is None
    assert made.design == make_pattern(PICTURE, None, options, surface=False).design


def test_without_a_length_the_design_is_that_of_the_pipeline():
    options = Options(columns=7)
    made = make_pattern(PICTURE, HEIGHTS, options)
    assert made.design == make_pattern(PICTURE, HEIGHTS, options, surface=False).design
    assert made.prediction.found.domes


def test_a_work_too_large_is_left_out_and_says_so(monkeypatch):
    monkeypatch.setattr("convert.surface.prediction.MOST_BEADS", 50)
    made = make_pattern(PICTURE, HEIGHTS, Options(columns=7, length_mm=60.0))
    assert made.prediction is None
    assert "the surface is left out" in made.notices[-1]


def test_a_shape_that_does_not_come_to_rest_gives_no_length_but_a_pattern(monkeypatch):
    monkeypatch.setattr("convert.surface.continuation.MOST_STEPS", 2)
    made = make_pattern(PICTURE, HEIGHTS, Options(columns=7))
    assert made.prediction is None
    assert "did not come to rest" in made.notices[-1]


def test_the_picture_is_turned_in_every_try_as_in_the_first():
    lying = source(np.asarray(Image.open(io.BytesIO(PICTURE.data))).transpose(1, 0, 2).copy(), "lying.png")
    heights = source(np.asarray(Image.open(io.BytesIO(HEIGHTS.data))).T.copy(), "lying-heights.png")
    made = make_pattern(lying, heights, Options(columns=7, length_mm=60.0))
    assert made.prediction.found.length_mm == pytest.approx(60.0, abs=PITCH_MM)
    assert sum("turned by 90" in notice for notice in made.notices) == 1
