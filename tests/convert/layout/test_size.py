import numpy as np
import pytest
from flows import plan_of
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from picture_oracle import DIAMETER_MM, LENGTH_MM

from convert.cli.parameters import parse_crop
from convert.layout.choices import DEFAULT_COLUMNS, Crop
from convert.options import Options
from shared.beads import BeadSize, BeadSizes
from shared.errors import BadChoiceError

FITS = st.sampled_from(["cover", "contain", "stretch"])
TURNS = st.sampled_from(["auto", "0", "90", "180", "270"])
SIDES = st.integers(2, 4000)


def test_own_bead_measures_set_the_proportions():
    """A square picture in beads of 2 mm x 4 mm: 20 columns are 40 mm, 19 rows are (19 + 1) x 2 mm."""
    bead_sizes = BeadSizes((BeadSize("round 8/0", length_mm=2, diameter_mm=4, hole_mm=1, per_gram=36),))
    plan = plan_of(500, 500, Options(columns=20, bead_sizes=bead_sizes))
    assert (plan.columns, plan.rows) == (20, 19)


@given(SIDES, SIDES, st.tuples(st.integers(2, 80), st.integers(2, 200)), FITS, TURNS)
def test_window_covers_or_is_covered_by_the_bounds(width, height, work, fit, turn):
    columns, rows = work
    plan = plan_of(width, height, Options(columns=columns, rows=rows, fit=fit, turn=turn))
    bounds, window = np.array(plan.bounds), np.array(plan.window)
    slack = 1e-9 * max(width, height)
    inwards = (window - bounds) * [1, 1, -1, -1]
    assert (plan.seen_width, plan.seen_height) == ((width, height) if plan.turn % 180 == 0 else (height, width))
    assert bounds.tolist() == [0, 0, plan.seen_width, plan.seen_height]
    if fit == "stretch":
        assert (window == bounds).all()
        return
    in_mm = columns * LENGTH_MM / ((rows + 1) * DIAMETER_MM / 2)
    assert plan.window.width / plan.window.height == pytest.approx(in_mm, rel=1e-9)
    assert (window[:2] + window[2:]) == pytest.approx(bounds[:2] + bounds[2:], rel=1e-9)
    assert (inwards >= -slack).all() if fit == "cover" else (inwards <= slack).all()
    assert np.abs(inwards).reshape(2, 2).min(axis=1).min() <= slack


@given(SIDES, SIDES, st.data())
def test_the_crop_is_the_bounds_wherever_it_is_turned(width, height, data):
    """Bounds of a crop box: each side of it keeps its distance from the side of the picture that it faces."""
    left, top = data.draw(st.integers(0, width - 1)), data.draw(st.integers(0, height - 1))
    right, bottom = data.draw(st.integers(left + 1, width)), data.draw(st.integers(top + 1, height))
    quarter, mirror = data.draw(st.integers(0, 3)), data.draw(st.booleans())
    crop = Crop(left, top, right - left, bottom - top)
    assume(max(crop.width, crop.height) <= 200 * min(crop.width, crop.height))
    plan = plan_of(width, height, Options(columns=9, crop=crop, turn=str(90 * quarter), mirror=mirror))
    gaps = [left, top, width - right, height - bottom]  # left, top, right, bottom; clockwise turns move them on
    west, north, east, south = gaps[-quarter:] + gaps[:-quarter]
    west, east = (east, west) if mirror else (west, east)
    assert plan.bounds == (west, north, plan.seen_width - east, plan.seen_height - south)


@pytest.mark.parametrize(("width_mm", "columns"), [(26.0, 20), (26.9, 20), (27.4, 22), (5.0, 4)])
def test_two_drop_is_as_wide_as_whole_pairs_come_near(width_mm, columns):
    """A pair of 1.3 mm beads is 2.6 mm."""
    assert plan_of(400, 800, Options(width_mm=width_mm, drop=2)).columns == columns
    assert plan_of(400, 800, Options(drop=2)).columns == 26
    assert plan_of(400, 800, Options(rows=100, drop=2)).columns % 2 == 0


@pytest.mark.parametrize(
    ("width", "height", "choices", "turn", "told"),
    [
        # Upright, square, or told what to do: no word of it.
        (400, 800, {"columns": 20}, 0, ""),
        (400, 400, {"columns": 20}, 0, ""),
        (800, 400, {"columns": 20, "turn": "0"}, 0, ""),
        (800, 400, {"columns": 20, "crop": Crop(0, 0, 200, 300)}, 0, ""),
        # A work that is asked for wider than long shows it as it lies.
        (800, 400, {"columns": 60, "rows": 40}, 0, ""),
        (2000, 400, {"width_mm": 100, "length_mm": 60}, 0, ""),
        # Wider than high, and no strip: it stays, and how to turn it is told.
        (800, 400, {"columns": 20}, 0, "--turn 90"),
        (876, 400, {"columns": 20}, 0, "--turn 90"),
        (800, 400, {"width_mm": 30, "length_mm": 59}, 0, "--turn 90"),
        (400, 800, {"columns": 20, "crop": Crop(0, 0, 300, 200)}, 0, "--turn 90"),
        # A strip: at least 2.2 times as wide as high, or a length of twice the width.
        (884, 400, {"columns": 20}, 90, "--turn 0"),
        (800, 400, {"width_mm": 30, "length_mm": 61}, 90, "--turn 0"),
        (410, 400, {"columns": 20, "rows": 100}, 90, "--turn 0"),
    ],
)
def test_a_picture_is_turned_only_for_a_strip(width, height, choices, turn, told):
    plan = plan_of(width, height, Options(**choices))
    assert plan.turn == turn
    assert [told in notice for notice in plan.notices] == ([True] if told else [])


def test_crop_in_per_cent_is_crop_in_pixels():
    percent = Options(columns=20, crop=Crop(10, 25, 50, 60, percent=True))
    assert plan_of(400, 800, percent) == plan_of(400, 800, Options(columns=20, crop=Crop(40, 200, 200, 480)))
    assert parse_crop("10%, 25%,50%,60%") == Crop(10, 25, 50, 60, percent=True)
    assert parse_crop("10,20.5,300,800") == Crop(10, 20.5, 300, 800)


def test_a_crop_that_hangs_over_keeps_what_is_on_the_picture():
    plan = plan_of(400, 800, Options(columns=20, crop=Crop(-50, 500, 250, 900)))
    assert plan.bounds == (0, 500, 200, 800)


@pytest.mark.parametrize(
    "crop",
    [
        Crop(400, 0, 50, 50),
        Crop(-60, 0, 50, 50),
        Crop(0, 800, 50, 50),
        Crop(0, 0, 0, 50),
        Crop(50, 50, -20, 20),
        Crop(10, 10, 0.5, 700),
        Crop(100, 0, 20, 20, percent=True),
    ],
)
def test_a_crop_outside_the_picture_is_refused(crop):
    with pytest.raises(BadChoiceError, match="no pixel of a picture of 400 x 800"):
        plan_of(400, 800, Options(columns=20, crop=crop))


@pytest.mark.parametrize("words", ["", "1,2,3", "1,2,3,4,5", "a,b,c,d", "10%,20,30,40", "0,0,inf,5", "nan,0,5,5"])
def test_words_that_are_no_box_are_refused(words):
    with pytest.raises(BadChoiceError, match=r"write|give"):
        parse_crop(words)


@given(st.floats(2.6, 500), st.floats(2.4, 2000))
def test_sizes_in_mm_round_to_whole_beads(width_mm, length_mm):
    plan = plan_of(100, 300, Options(width_mm=width_mm, length_mm=length_mm))
    assert abs(plan.columns * LENGTH_MM - width_mm) <= LENGTH_MM / 2 + 1e-9
    assert abs((plan.rows + 1) * DIAMETER_MM / 2 - length_mm) <= DIAMETER_MM / 4 + 1e-9


def test_sizes_worked_out_by_hand():
    """32 mm / 1.3 mm = 24.6; 165 mm / 0.8 mm - 1 = 205.25."""
    plan = plan_of(100, 300, Options(width_mm=32, length_mm=165))
    assert (plan.columns, plan.rows) == (25, 205)


@given(st.integers(20, 2000), st.integers(20, 2000), st.integers(2, 60))
@settings(max_examples=200)
def test_rows_that_follow_are_the_nearest(width, height, columns):
    assume(height < 40 * width)
    plan = plan_of(width, height, Options(columns=columns, turn="0"))
    wanted_mm = columns * LENGTH_MM * height / width
    assert plan.rows == 2 or abs((plan.rows + 1) * 0.8 - wanted_mm) <= 0.4 + 1e-9
    assert plan.rows > 2 or wanted_mm <= 2.8 + 1e-9


@given(st.integers(20, 2000), st.integers(20, 2000), st.integers(2, 200))
def test_columns_that_follow_are_the_nearest(width, height, rows):
    assume(width < 40 * height)
    plan = plan_of(width, height, Options(rows=rows, turn="0"))
    wanted_mm = (rows + 1) * 0.8 * width / height
    assert plan.columns == 2 or abs(plan.columns * LENGTH_MM - wanted_mm) <= 0.65 + 1e-9
    assert plan.columns > 2 or wanted_mm <= 3.25 + 1e-9


def test_without_a_size_the_default_is_taken_and_said():
    plan = plan_of(100, 300, Options())
    assert plan.columns == DEFAULT_COLUMNS
    assert ["no size was given" in notice for notice in plan.notices] == [True]


@pytest.mark.parametrize(
    "choices",
    [
        {"columns": 20, "width_mm": 26},
        {"rows": 20, "length_mm": 26},
        {"columns": 1},
        {"columns": 3, "drop": 2},
        {"columns": -3, "rows": 20},
        {"rows": 1},
        {"rows": -1},
        {"columns": 20, "rows": 0},
        {"width_mm": 1.9},
        {"length_mm": 1.9},
        {"length_mm": -40},
        {"width_mm": float("nan")},
        {"width_mm": float("inf")},
    ],
)
@pytest.mark.parametrize("fit", ["cover", "contain", "stretch"])
def test_sizes_that_contradict_each_other_or_make_no_work_are_refused(choices, fit):
    with pytest.raises(BadChoiceError, match="give"):
        plan_of(100, 300, Options(fit=fit, **choices))
