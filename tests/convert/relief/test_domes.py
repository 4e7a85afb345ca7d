"""Domes in words become levels: counted out by hand, symmetric, and the same by way of a map."""

import io
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from convert.image.decode import Source, decode
from convert.options import Options
from convert.pattern import make_pattern
from convert.relief.dome_syntax import SHAPES, parse_dome
from convert.relief.domes import dome_levels
from convert.relief.draw_height_map import grey16_png, guess_map, heights_of_levels
from convert.relief.levels import cut_levels, equal_thresholds
from shared.beads import default_bead_sizes
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.size_steps import keep_size_step_rule

SIZES = default_bead_sizes()


def levels_of(words, grid):
    return dome_levels((parse_dome(words),), grid, SIZES)


def at(levels, grid, row, column):
    bead = int(grid.bead_at(np.array(row), np.array(column)))
    assert bead >= 0
    return int(levels[bead])


def steps_from(grid, start):
    """Steps from bead to touching bead, by a walk over the contacts."""
    away = np.full(grid.count, -1)
    away[start] = 0
    edge = [start]
    while edge:
        found = {int(n) for bead in edge for n in grid.neighbours[bead] if n >= 0 and away[n] < 0}
        for bead in found:
            away[bead] = away[edge[0]] + 1
        edge = sorted(found)
    return away


def test_a_diamond_has_its_bands_where_a_count_of_beads_has_them():
    """Common practice, no source: a diamond graded 11 cyl - 11/0 - 8/0 - 6/0 and back."""
    grid = Grid(17, 40)
    start = int(grid.bead_at(np.array(13), np.array(9)))
    away = steps_from(grid, start)
    levels = levels_of("diamond 13,9 r6", grid)
    wanted = np.select([away <= 2, away <= 4, away <= 6], [3, 2, 1], 0)
    # 6 rings in 3 even bands: the rim is ring 6, so rings 6-5, 4-3, 2-1 and the middle.
    np.testing.assert_array_equal(levels, wanted)
    assert (keep_size_step_rule(levels, grid, slopes="trim") == levels).all()


@pytest.mark.parametrize(("row", "column"), [(14, 9), (15, 10), (13, 1), (14, 8), (20, 5)])
def test_in_two_drop_too_a_diamond_counts_steps_from_bead_to_touching_bead(row, column):
    grid = Grid(18, 40, drop=2)
    start = int(grid.bead_at(np.array(row), np.array(column)))
    start = start if start >= 0 else int(grid.bead_at(np.array(row + 1), np.array(column)))
    away = steps_from(grid, start)
    levels = levels_of(f"diamond {grid.row_of[start]},{column} r6", grid)
    np.testing.assert_array_equal(levels, np.select([away <= 2, away <= 4, away <= 6], [3, 2, 1], 0))


@pytest.mark.parametrize("columns", [12, 14])
def test_in_two_drop_the_middle_is_the_axis_of_symmetry(columns):
    grid = Grid(columns, 30, drop=2)
    for words in ("diamond 15,middle r5", "disc 15,middle r7mm", "ring 15,middle r4", "ridge 8-20,middle r3"):
        levels = levels_of(words, grid)
        mirrored = grid.bead_at(grid.row_of, columns + 1 - grid.column_of)
        if columns == 12:  # six pairs: the mirror image of a pair lies in the row beside
            mirrored = grid.bead_at(grid.row_of + 1, columns + 1 - grid.column_of)
            moved = levels_of(words.replace("15", "16").replace("8-20", "9-21"), grid)
            np.testing.assert_array_equal(levels[mirrored >= 0], moved[mirrored[mirrored >= 0]])
        else:
            np.testing.assert_array_equal(levels, levels[mirrored])


def test_a_disc_is_round_in_millimetres_and_a_ring_hollow():
    grid = Grid(31, 80)
    x, y = grid.centres_mm(1.3, 1.6).T
    middle = int(grid.bead_at(np.array(40), np.array(16)))
    away = np.hypot(x - x[middle], y - y[middle])
    raised = levels_of("disc 40,16 r9mm", grid) > 0
    np.testing.assert_array_equal(raised, away <= 9 + 1e-9)
    ring = levels_of("ring 40,16 r9mm w4mm", grid) > 0
    np.testing.assert_array_equal(ring, (away >= 7 - 1e-9) & (away <= 11 + 1e-9))


def test_a_ridge_runs_along_the_work_and_a_half_diamond_stands_on_its_edge():
    grid = Grid(17, 60)
    ridge = levels_of("ridge 10-50,9 r2 h1", grid)
    inner = (grid.row_of >= 10) & (grid.row_of <= 50)
    np.testing.assert_array_equal((ridge > 0)[inner], np.abs(grid.column_of - 9)[inner] <= 2)
    half = levels_of("half-diamond 30,left r4", grid)
    whole = levels_of("diamond 30,1 r4", grid)
    np.testing.assert_array_equal(half, whole)
    assert at(half, grid, 31, 1) == 3
    other = dome_levels((parse_dome("half-diamond 30,left r4"),), Grid(17, 60, hand="left"), SIZES)
    np.testing.assert_array_equal(other, levels_of("diamond 30,17 r4", grid))


@settings(max_examples=40)
@given(
    st.sampled_from(["diamond {row},middle r{r}", "disc {row},middle r{r}", "ring {row},middle r{r} w3"]),
    st.integers(1, 40),
    st.integers(1, 7),
    st.integers(1, 10),
)
def test_about_the_centre_column_all_is_symmetric_to_the_bead(words, row, radius, half):
    grid = Grid(2 * half + 1, 40)
    levels = levels_of(words.format(row=row, r=radius), grid)
    mirror = grid.bead_at(grid.row_of, grid.columns + 1 - grid.column_of)
    np.testing.assert_array_equal(levels, levels[mirror])


@settings(max_examples=15)
@given(st.integers(1, 40), st.integers(1, 15), st.integers(1, 6), st.sampled_from(["diamond", "disc"]))
def test_both_edges_are_mirror_images_and_repeats_are_alike(row, column, radius, shape):
    grid = Grid(15, 120)
    both = levels_of(f"{shape} {row},{column} r{radius} both edges", grid)
    mirror = grid.bead_at(grid.row_of, grid.columns + 1 - grid.column_of)
    np.testing.assert_array_equal(both, both[mirror])
    assert (both >= levels_of(f"{shape} {row},{column} r{radius}", grid)).all()
    again = levels_of(f"{shape} {row},{column} r{radius} every 40", grid)
    later = grid.bead_at(grid.row_of + 40, grid.column_of)
    shifted = (grid.row_of > 14) & (grid.row_of < 66)
    np.testing.assert_array_equal(again[shifted], again[later[shifted]])
    assert again.any()


def test_beads_and_millimetres_say_the_same():
    grid = Grid(17, 60)
    np.testing.assert_array_equal(levels_of("diamond 20,9 r4", grid), levels_of("diamond 16mm,11.05mm r5.2mm", grid))
    np.testing.assert_array_equal(
        levels_of("diamond 20,9 r4 every 20", grid), levels_of("diamond 20,9 r4 every 16mm", grid)
    )


def test_the_highest_of_several_domes_counts_and_h_says_how_high():
    grid = Grid(17, 60)
    low, high = parse_dome("disc 30,9 r7 h1"), parse_dome("diamond 30,9 r3")
    both = dome_levels((low, high), grid, SIZES)
    np.testing.assert_array_equal(both, np.maximum(dome_levels((low,), grid, SIZES), dome_levels((high,), grid, SIZES)))
    assert levels_of("disc 30,9 r7 h1", grid).max() == 1


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ("hill 12,9 r5", "is no dome"),
        ("diamond", "is no dome"),
        ("diamond 12,9", "is no dome"),
        ("diamond 12,9 r5 often", "is no dome"),
        ("diamond 12,nine r5", "'nine' in"),
        ("diamond 12,9 r0", "'0' in"),
        ("diamond 12,9 r5 h0", "has no height"),
        ("diamond 12-30,9 r5", "a ridge runs from row to row"),
        ("ridge 12,9 r5", "a ridge runs from row to row"),
        ("diamond 12,9 r5 w2", "only a ring has a width"),
        ("half-diamond 12,9 r5", "say left or right"),
        ("diamond 12,left r5", "'left' in"),
        ("diamond 12,9 r5 h4", "is higher than 3"),
        ("diamond 99,9 r5", "beyond rows 1 to 60"),
        ("diamond 12,19 r5", "beyond columns 1 to 17"),
        ("diamond 12,9 r5 every 0.5", "within a row"),
        ("ridge 40-20,9 r5", "runs back; give the lower row first"),
        ("ridge 40-70,9 r5", "beyond rows"),
        ("diamond 12,9 r5 r6", "gives the radius twice"),
        ("diamond 12,9 r5 every 20 every 30", "gives the distance twice"),
        ("diamond 12,9 r5h2", "'5h2' in"),
    ],
)
def test_what_is_no_dome_is_told(words, sentence):
    with pytest.raises(BadChoiceError, match=sentence):
        levels_of(words, Grid(17, 60))


@given(st.permutations(["r6", "w4", "h2", "every 20", "both edges"]))
def test_the_parts_of_a_dome_come_in_any_order(parts):
    told = parse_dome(f"ring 40,9 {' '.join(parts)}")
    assert replace(told, words="") == replace(parse_dome("ring 40,9 r6 w4 h2 every 20 both edges"), words="")


def test_every_shape_is_read():
    for shape in SHAPES:
        place = {"ridge": "10-20,9", "half-diamond": "10,right"}.get(shape, "10,9")
        dome = parse_dome(f"  {shape.upper()}   {place}  r5  every 20 both edges ")
        assert (dome.shape, dome.both, dome.every.value) == (shape, True, 20)


def test_heights_of_levels_are_cut_back_to_the_levels():
    for levels in range(2, 7):
        thresholds = equal_thresholds(levels)
        for shift in (-0.05, 0, 0.05):
            heights = np.clip(heights_of_levels(thresholds) + shift, 0, 1)
            np.testing.assert_array_equal(cut_levels(heights, thresholds), np.arange(levels))


def test_grey_of_16_bits_is_read_by_pillow_to_the_code():
    heights = np.linspace(0, 1, 35).reshape(5, 7)
    with Image.open(io.BytesIO(grey16_png(heights))) as image:
        assert image.mode.startswith("I")
        np.testing.assert_array_equal(np.asarray(image), np.rint(heights * 65535))


def png(array):
    file = io.BytesIO()
    Image.fromarray(array).save(file, "PNG")
    return Source("drawn.png", file.getvalue())


def test_domes_are_raised_next_to_a_height_map_and_kept_with_the_design():
    picture = png(np.full((400, 100, 3), 90, np.uint8))
    heights = png(np.where(np.arange(400)[:, None] < 60, np.uint8(255), np.uint8(0)) * np.ones((1, 100), np.uint8))
    dome = parse_dome("diamond 50,middle r3")
    alone = make_pattern(picture, heights, Options(columns=17), surface=False).design
    both = make_pattern(picture, heights, Options(columns=17, domes=(dome,)), surface=False).design
    raised = keep_size_step_rule(dome_levels((dome,), both.grid, SIZES), both.grid, slopes="trim")
    np.testing.assert_array_equal(both.levels, np.maximum(alone.levels, raised))
    assert both.provenance["options"]["domes"] == ["diamond 50,middle r3"]


def test_a_guess_raises_what_stands_out_or_what_is_light():
    picture = np.full((200, 100, 3), 60, np.uint8)
    picture[30:80, 20:70] = (200, 60, 50)
    picture[120:170, 20:70] = (250, 250, 250)
    decoded = decode(png(picture), max_pixels=10**8)
    for guess, box in (("saliency", (140, 40)), ("luminance", (140, 40))):
        heights = guess_map(decoded, guess, ground=np.ones(3), softness=0.05)
        assert heights.shape == (200, 100)
        assert (heights.min(), heights.max()) == (0, 1)
        assert heights[box] > 0.9
        assert heights[100, 90] < 0.1
    assert guess_map(decoded, "saliency", ground=np.ones(3), softness=0.05)[55, 45] > 0.5
    flat = guess_map(
        decode(png(np.full((50, 40, 3), 90, np.uint8)), max_pixels=10**8), "saliency", ground=np.ones(3), softness=0.1
    )
    assert not flat.any()
