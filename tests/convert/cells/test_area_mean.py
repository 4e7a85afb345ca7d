from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_oracle import LENGTH_MM, cells_of, centres_mm, code, encoded, light, picture_of, sampled_means
from strategies import grids

from convert.cells import area_mean
from convert.cells.area_mean import footprint_means, half_row_means
from convert.image.raster import ArrayRaster
from convert.layout.size import Box
from shared.grid import Grid

LATTICES = list(product(["right", "left"], ["top", "bottom"]))


def raster(values):
    return ArrayRaster(np.asarray(values, dtype=np.float32))


def whole(values):
    return Box(0, 0, values.shape[1], values.shape[0])


def chequered(height, width, square=1):
    down, across = np.arange(height) // square, np.arange(width) // square
    return np.where((down[:, None] + across) % 2, 255, 0).astype(np.uint8)


@st.composite
def boxes(draw, width, height, *, beyond):
    """A box on a picture, or reaching beyond it by as much as its side."""
    west, east = sorted(draw(st.tuples(*[st.floats(-beyond * width, (1 + beyond) * width)] * 2)))
    north, south = sorted(draw(st.tuples(*[st.floats(-beyond * height, (1 + beyond) * height)] * 2)))
    least = 0.05 * min(width, height)
    return Box(west, north, max(east, west + least), max(south, north + least))


@st.composite
def cases(draw):
    height, width = draw(st.integers(1, 40)), draw(st.integers(1, 40))
    values = np.random.default_rng(draw(st.integers(0, 2**32 - 1))).random((height, width, 2))
    window = draw(boxes(width, height, beyond=1))
    return values, draw(grids(most_columns=8, most_rows=8)), window, draw(boxes(width, height, beyond=0))


@given(cases())
@settings(max_examples=80)
def test_means_agree_with_brute_force(case):
    """4096 x 4096 samples in each footprint; where a window or a footprint leaves the bounds, ``outside`` counts."""
    values, grid, window, bounds = case
    outside = np.array([0.25, 0.75])
    ours = footprint_means(raster(values), grid, window=window, bounds=bounds, outside=outside)
    theirs = sampled_means(values, grid, window=window, bounds=bounds, outside=outside)
    assert ours.shape == (grid.count, 2)
    assert np.abs(ours - theirs).max() <= 1e-3


@pytest.mark.parametrize(("hand", "start"), LATTICES)
def test_a_picture_of_many_pixels_agrees_with_brute_force(hand, start):
    values = np.random.default_rng(3).random((531, 299, 3))
    grid = Grid(17, 22, hand, start)
    window = Box(10.3, -4.7, 290.1, 541.9)
    ours = footprint_means(raster(values), grid, window=window, bounds=whole(values), outside=np.ones(3))
    assert np.abs(ours - sampled_means(values, grid, window=window, outside=1.0, samples=16384)).max() <= 2e-4


@pytest.mark.parametrize(("hand", "start"), LATTICES)
def test_a_linear_ramp_gives_its_value_at_each_centre(hand, start):
    """The mean of a + bx + cy over a rectangle is its value in the middle."""
    grid = Grid(10, 15, hand, start)
    down, across = (np.arange(1600) + 0.5) / 1600, (np.arange(1000) + 0.5) / 1000
    values = (0.2 + 0.5 * down[:, None] + 0.3 * across)[..., None]
    ours = footprint_means(raster(values), grid, window=whole(values), bounds=whole(values), outside=np.zeros(1))
    x, y = centres_mm(10, 15, hand=hand, start=start).T
    assert ours[:, 0] == pytest.approx(0.2 + 0.5 * y / (16 * 0.8) + 0.3 * x / (10 * LENGTH_MM), abs=1e-5)


def square_wave_integral(x, square):
    """Integral from 0 of a wave that is +1 on the even squares and -1 on the odd ones."""
    return square - np.abs(np.mod(x, 2 * square) - square)


@pytest.mark.parametrize(("hand", "start"), LATTICES)
def test_a_checkerboard_gives_its_analytic_value(hand, start):
    """A checkerboard is 1/2 - 1/2 of a square wave across times one down, so its integral has a closed form."""
    square, window = 11, Box(3.3, 5.9, 160.2, 203.4)
    grid = Grid(9, 13, hand, start)
    values = chequered(210, 175, square)[..., None] / 255
    ours = footprint_means(raster(values), grid, window=window, bounds=whole(values), outside=np.zeros(1))
    column, half_row = window.width / 9, window.height / 14
    x, y = centres_mm(9, 13, hand=hand, start=start).T
    left, top = window.left + (x / LENGTH_MM - 0.5) * column, window.top + (y / 0.8 - 1) * half_row
    across = (square_wave_integral(left + column, square) - square_wave_integral(left, square)) / column
    down = (square_wave_integral(top + 2 * half_row, square) - square_wave_integral(top, square)) / (2 * half_row)
    assert np.ptp(across * down) > 0.1
    assert ours[:, 0] == pytest.approx((1 - across * down) / 2, abs=1e-5)


@pytest.mark.parametrize(("hand", "start"), LATTICES)
def test_half_black_half_white_is_188_and_not_128(hand, start):
    """IEC 61966-2-1: half the light of white is sRGB 187.5 of 255."""
    plan, grid, cells = cells_of(encoded(chequered(520, 260)), columns=13, hand=hand, start=start)
    assert len(cells) == grid.count
    assert (plan.window.width / 13) % 2 == 0
    assert np.abs(np.rint(code(cells)) - 188).max() <= 1


def test_dark_and_bright_in_one_footprint_are_mixed_as_light():
    """A picture's band holds linear light: code 55 and code 200 side by side, one column of each per bead."""
    codes = np.tile(np.array([55, 200], dtype=np.uint8), (32, 10))
    picture = picture_of(codes)
    means = footprint_means(picture, Grid(5, 7), window=whole(codes), bounds=whole(codes), outside=np.ones(3))
    assert means == pytest.approx(np.full_like(means, light(np.array([55, 200], dtype=np.uint8)).mean()), abs=1e-6)


@pytest.mark.parametrize("pixels", [1, 3])
def test_fewer_pixels_than_beads(pixels):
    values = np.random.default_rng(4).random((pixels, pixels, 1))
    grid = Grid(20, 31)
    ours = footprint_means(raster(values), grid, window=whole(values), bounds=whole(values), outside=np.zeros(1))
    assert np.abs(ours - sampled_means(values, grid)).max() <= 1e-3
    assert ours.min() >= values.min() - 1e-6
    assert ours.max() <= values.max() + 1e-6


@given(cases())
def test_nothing_is_lost_or_counted_twice(case):
    """The mean of all half-row cells is the mean over the window."""
    values, grid, window, bounds = case
    halves = half_row_means(
        raster(values), grid.columns, grid.rows + 1, window=window, bounds=bounds, outside=np.zeros(2)
    )
    one = half_row_means(raster(values), 1, 1, window=window, bounds=bounds, outside=np.zeros(2))
    assert halves.shape == (grid.rows + 1, grid.columns, 2)
    assert halves.mean(axis=(0, 1)) == pytest.approx(one[0, 0], abs=1e-5)


def test_means_do_not_depend_on_how_many_rows_are_read_at_a_time(monkeypatch):
    """To the last bit: beads of one colour stay alike."""
    values = np.random.default_rng(6).random((97, 40, 3))
    found = []
    for pixels in (1, 1000, 10**6):
        monkeypatch.setattr(area_mean, "_PIXELS_AT_ONCE", pixels)
        window = Box(1.3, -2.2, 38.4, 90.9)
        found.append(half_row_means(raster(values), 7, 40, window=window, bounds=whole(values), outside=np.ones(3)))
    assert np.array_equal(found[0], found[1])
    assert np.array_equal(found[0], found[2])


def test_the_input_is_left_alone():
    values = np.random.default_rng(5).random((30, 20, 3)).astype(np.float32)
    before = values.copy()
    values.flags.writeable = False
    footprint_means(ArrayRaster(values), Grid(4, 9), window=whole(values), bounds=whole(values), outside=np.zeros(3))
    assert np.array_equal(values, before)


class Counted(ArrayRaster):
    """A raster that counts how often it is asked, and for how many pixels."""

    asked, pixels = 0, 0

    def band(self, rows, columns):
        found = super().band(rows, columns)
        Counted.asked, Counted.pixels = Counted.asked + 1, Counted.pixels + found[..., 0].size
        return found


@pytest.mark.parametrize(("columns", "half_rows"), [(1, 50_000), (8, 6_250), (224, 224), (50_000, 1)])
def test_as_many_cells_of_any_shape_cost_alike(columns, half_rows):
    """Pixels outside the work are not looked at, nor is the picture read anew for each half-row."""
    Counted.asked = Counted.pixels = 0
    picture = Counted(np.random.default_rng(1).random((300, 400, 1), dtype=np.float32))
    half_row_means(
        picture, columns, half_rows, window=Box(150, 0, 153, 300), bounds=whole(picture.values), outside=np.zeros(1)
    )
    assert Counted.asked <= 300
    assert Counted.pixels <= 3 * (300 + 2 * half_rows)
