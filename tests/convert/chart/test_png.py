from dataclasses import replace
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from strategies import SIZES, bead_of, designs

from convert.chart.png import chart_png, picture_scale
from convert.chart.scene import Group, chart_scene
from convert.chart.shapes import Extent, Path, Rectangle, Text
from convert.chart.svg import chart_svg
from shared.design import Design
from shared.grid import Grid


def opened(data):
    with Image.open(BytesIO(data)) as picture:
        picture.load()
        return picture


def codes(srgb):
    return tuple(bytes.fromhex(srgb[1:]))


def flat(grid, kinds=5):
    cells = np.random.default_rng(4).integers(0, kinds, grid.count)
    return Design("Tide pool", grid, SIZES, tuple(bead_of(colour, 0) for colour in range(kinds)), cells)


def pixel_of(scene, scale, x, y):
    left, top = np.floor(scene.extent.left * scale), np.floor(scene.extent.top * scale)
    return int(np.floor(x * scale) - left), int(np.floor(y * scale) - top)


@pytest.mark.parametrize("scale", [20.0, 13.7, 6.1])
@pytest.mark.parametrize(
    "grid", [Grid(2, 9), Grid(12, 31, "left"), Grid(17, 24, "right", "bottom")], ids=["narrow", "even", "odd"]
)
def test_each_cylinder_has_its_exact_colour_at_its_centre(grid, scale, placed):
    design = flat(grid)
    scene = chart_scene(design)
    picture = opened(chart_png(scene, px_per_mm=scale))
    for (x, y), cell in placed(design).items():
        assert picture.getpixel(pixel_of(scene, scale, x, y)) == codes(design.beads[cell].srgb)


def test_half_slots_beyond_the_ends_of_the_columns_are_paper(placed):
    design = flat(Grid(6, 10))
    scene = chart_scene(design)
    picture = opened(chart_png(scene))
    assert (0.65, 0.8) not in placed(design)
    assert picture.getpixel(pixel_of(scene, 20, 0.65, 0.3)) == (255, 255, 255)


def lone(level):
    """One blue raised bead at (4.55, 6.4) mm in the midst of pale cylinders; its kind is the second."""
    grid = Grid(7, 15)
    beads = (replace(bead_of(0, 0), srgb="#f0e0d0"), replace(bead_of(1, level), srgb="#3070d0"))
    cells = np.zeros(grid.count, dtype=int)
    cells[int(grid.bead_at(np.array(8), np.array(4)))] = 1
    return Design("Lone", grid, SIZES, beads, cells)


@pytest.mark.parametrize("level", [1, 2, 3])
def test_a_raised_bead_bulges_over_its_slot_and_bears_its_number(level):
    scene = chart_scene(lone(level))
    picture = opened(chart_png(scene, px_per_mm=40))
    x, y = 3.5 * 1.3, 8 * 0.8
    above = picture.getpixel(pixel_of(scene, 40, x, y - 0.8 - 0.02))
    assert above[0] < 0x40
    sides = [picture.getpixel(pixel_of(scene, 40, x, y + side * 1.3)) for side in (-1, 1)]
    assert sides == [codes("#f0e0d0")] * 2
    left, top = pixel_of(scene, 40, x - 0.45, y - 0.4)
    right, bottom = pixel_of(scene, 40, x + 0.45, y + 0.4)
    found = np.array(picture.crop((left, top, right, bottom))).reshape(-1, 3)
    assert (found == codes("#3070d0")).all(axis=1).any()
    assert (found == 255).all(axis=1).sum() > 40


def test_raised_beads_grow_with_the_level():
    blue = []
    for level in (1, 2, 3):
        scene = chart_scene(lone(level))
        corners = (*pixel_of(scene, 20, 3.2, 4.8), *pixel_of(scene, 20, 5.9, 8))
        near = np.array(opened(chart_png(scene)).crop(corners))
        blue.append(int((near[..., 0] < 0x40).sum() + (near == 255).all(axis=-1).sum()))
    assert blue == sorted(set(blue))


def test_the_print_has_the_size_of_the_svg():
    scene = chart_scene(flat(Grid(9, 12)))
    picture = opened(chart_png(scene))
    wide_mm = picture.width / picture.info["dpi"][0] * 25.4
    assert wide_mm == pytest.approx(scene.extent.width * 3, abs=0.5)
    # 20 pixels to the mm of work, drawn three times its size.
    assert picture.info["dpi"] == pytest.approx((20 / 3 * 25.4, 20 / 3 * 25.4), abs=0.01)
    assert picture.mode == "RGB"


def test_same_scene_same_bytes():
    assert chart_png(chart_scene(lone(2))) == chart_png(chart_scene(lone(2)))


@pytest.mark.parametrize(
    ("width", "height", "most_pixels", "least_per_bead"),
    [(100.0, 200.0, 40e6, 26.0), (1350.0, 1700.0, 40e6, 4.0), (3000.0, 2800.0, 100e6, 4.0), (40.0, 6.4e6, 100e6, 0.0)],
)
def test_the_scale_falls_with_the_size_but_keeps_beads_countable(width, height, most_pixels, least_per_bead):
    scene = replace(chart_scene(flat(Grid(3, 3))), extent=Extent(0, 0, width, height))
    scale = picture_scale(scene)
    assert width * height * scale**2 <= most_pixels * 1.0001
    assert 1.3 * scale >= least_per_bead * 0.9999
    assert max(width, height) * scale <= 65_535


def test_letters_too_low_to_read_and_lines_too_fine_to_see_are_left_out():
    scene = chart_scene(flat(Grid(24, 60)))

    def fine(mark):
        line = isinstance(mark, Path) and mark.paint.fill is None
        return line or isinstance(mark, Text) or (isinstance(mark, Rectangle) and min(mark.width, mark.height) < 0.4)

    def without(group):
        return Group(group.name, tuple(mark for mark in group.marks if not fine(mark)))

    bare = replace(scene, between=tuple(map(without, scene.between)), over=tuple(map(without, scene.over)))
    assert chart_png(scene, px_per_mm=0.3) == chart_png(bare, px_per_mm=0.3)
    assert chart_png(scene, px_per_mm=4.0) != chart_png(bare, px_per_mm=4.0)


@settings(max_examples=30)
@given(design=designs(most_columns=9, most_rows=12), ink=st.sampled_from(["colour", "black"]))
def test_both_painters_take_any_design(design, ink):
    scene = chart_scene(design, ink=ink)
    assert chart_svg(scene).count("<use ") == design.grid.count
    picture = opened(chart_png(scene, px_per_mm=6))
    assert abs(picture.width - scene.extent.width * 6) < 2
    assert abs(picture.height - scene.extent.height * 6) < 2


def test_letters_that_the_face_lacks_do_no_harm():
    plain = replace(flat(Grid(8, 8)), title="x")
    for title in ("Blåskjell, Σίφνος, Соловки", "潮だまり 🐚 مد"):
        assert chart_png(chart_scene(replace(plain, title=title))) != chart_png(chart_scene(plain))


@pytest.mark.parametrize("scale", [20.0, 7.3, 6.1, 4.4])
def test_a_bead_lies_where_it_belongs_to_a_fraction_of_a_pixel(scale):
    design = lone(0)
    elsewhere = np.zeros_like(design.cells)
    elsewhere[int(design.grid.bead_at(np.array(8), np.array(2)))] = 1
    scenes = chart_scene(design), chart_scene(replace(design, cells=elsewhere))
    assert scenes[0].extent == scenes[1].extent
    one, none = (np.array(opened(chart_png(scene, px_per_mm=scale)), dtype=float) for scene in scenes)
    left, top = (np.floor(corner * scale) for corner in (scenes[0].extent.left, scenes[0].extent.top))
    rows, columns = np.indices(one.shape[:2]) + 0.5
    weights = np.abs(one - none).sum(axis=2)
    x, y = 4.55 * scale - left, 6.4 * scale - top
    weights[(abs(columns - x) > 1.5 * scale) | (abs(rows - y) > 1.5 * scale)] = 0
    centre = [(weights * places).sum() / weights.sum() for places in (columns, rows)]
    assert centre == pytest.approx([x, y], abs=0.2)
