"""The picture of a surface: rays against a march in small steps, scales and colours against the design."""

import io
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image
from size_levels import middle, rings
from strategies import SIZES, bead_of

from convert.surface.measure import read_figures
from convert.surface.prediction import predict
from convert.surface.render.camera import camera_axes, frame_solids
from convert.surface.render.png import surface_png
from convert.surface.render.ray_cast import cast_rays
from convert.surface.render.solids import Solids, make_bead_solids, solid_of_size, turn_upright
from convert.surface.render.views import ELEVATION, make_views, margin_mm
from convert.surface.solve import solve_surface
from shared.colour import codes_from_hex, linear_from_srgb
from shared.design import Design
from shared.grid import Grid


def some_solids(count, seed):
    random = np.random.default_rng(seed)
    axes = random.normal(size=(count, 3))
    axes /= np.linalg.norm(axes, axis=1, keepdims=True)
    axes[0], axes[1] = (0, 1, 0), (1, 0, 0)
    shapes = np.array([solid_of_size(SIZES.sizes[k % 4]) for k in range(count)])
    return Solids(random.uniform(-3, 3, (count, 3)), axes, shapes, random.uniform(size=(count, 3)))


def inside(solids, points):
    """Whether points lie in each solid, shape (solids, points)."""
    offset = points[None] - solids.centres_mm[:, None]
    along = np.einsum("spc,sc->sp", offset, solids.axes)
    out = (offset**2).sum(axis=2) - along**2
    half, radius, swell, _ = solids.shapes.T[..., None]
    return (np.abs(along) <= half) & (out <= radius**2 * (1 - swell * along**2))


@pytest.mark.parametrize("towards", [(0.0, 1.0, 0.0), (0.3, 0.8, 0.5), (1.0, 0.0, 0.0)])
def test_rays_meet_what_a_march_in_small_steps_meets(towards):
    solids = some_solids(8, seed=1)
    up = np.array([0.0, 0.0, -1.0]) if towards[1] == 1 else np.array([0.0, 1.0, 0.0])
    camera = frame_solids(camera_axes(np.array(towards), up), solids, scale=4.0, margin_mm=0.5)
    seen = cast_rays(solids, camera)
    x, y = np.meshgrid(camera.across_mm(np.arange(camera.width)), camera.upward_mm(np.arange(camera.height)))
    first, near = np.full(x.shape, -1), np.full(x.shape, -np.inf)
    for depth in np.arange(7, -7, -0.025):
        points = np.stack([x, y, np.full_like(x, depth)], axis=-1).reshape(-1, 3) @ camera.axes
        met = inside(solids, points).reshape(-1, *x.shape)
        new = met.any(axis=0) & (first < 0)
        first[new], near[new] = met.argmax(axis=0)[new], depth
    # A march in steps slips past rims thinner than a step; there alone the two may differ.
    differ = (seen.solid >= 0) != (first >= 0)
    assert differ.mean() < 0.01
    both = (seen.solid >= 0) & (first >= 0)
    assert np.quantile(np.abs(seen.near_mm[both] - near[both]), 0.995) < 0.03
    assert (seen.solid == first)[both].mean() > 0.99


def domed(columns=9, rows=20, kind=(0.5, 1.5, 2.5)):
    grid = Grid(columns, rows)
    levels = rings(grid, middle(grid), radii=kind)
    beads = tuple(bead_of(colour, level) for level, colour in enumerate((4, 9, 14, 19)))
    return Design("Limpet", grid, SIZES, beads, levels)


@pytest.fixture(scope="module")
def made():
    design = domed()
    prediction = predict(design.grid, design.bead_sizes, design.levels)
    return design, prediction, make_views(prediction.surface, design, prediction.found)


def test_axes_of_the_picture_are_right_handed_and_nothing_is_mirrored(made):
    design, prediction, _ = made
    x, _, z = np.eye(3)
    np.testing.assert_array_equal(np.cross(*turn_upright(np.stack([x, z]))), -turn_upright(np.cross(x, z)[None])[0])
    solids = make_bead_solids(prediction.surface, design)
    camera = frame_solids(camera_axes(np.array([0.0, 1, 0]), np.array([0.0, 0, -1])), solids, scale=4.0, margin_mm=1)
    column, row, _ = camera.project(solids.centres_mm)
    flat = design.levels == 0
    for seen, numbered in ((column, design.grid.column_of), (row, design.grid.row_of)):
        assert np.corrcoef(seen[flat], numbered[flat])[0, 1] > 0.99


def test_the_height_scale_stands_upright_and_has_the_length_of_its_millimetres(made):
    design, prediction, looks = made
    height = prediction.found.domes[0].height_mm
    top = int(np.ceil(height))
    solids = make_bead_solids(prediction.surface, design)
    for one, share in ((looks[0], np.cos(np.radians(ELEVATION))), (looks[-1], 1.0)):
        pole, *ticks = one.marks
        assert pole.start[0] == pytest.approx(pole.end[0])
        assert len(ticks) == top + 1
        assert ticks[-1].text == f"{top} mm"
        assert ticks[-1].start[0] > 55  # the words end there, and need as much when there are three figures
        scale = (pole.start[1] - pole.end[1]) / share / top
        if share == 1:
            long = np.ptp(solids.centres_mm[:, 2]) + SIZES.flat.diameter_mm
            assert one.pixels.shape[1] / scale == pytest.approx(long + 2 * margin_mm(scale), rel=0.03)


def test_domes_show_in_the_colours_of_the_design_and_throw_shadows(made):
    design, prediction, looks = made
    above = next(one for one in looks if "above" in one.caption)
    (label,) = [mark for mark in above.marks if mark.text == f"{prediction.found.domes[0].height_mm:.1f}"]
    x, y = map(round, label.start)
    seen = linear_from_srgb(above.pixels[y - 2 : y + 3, x - 2 : x + 3].reshape(-1, 3).mean(axis=0) / 255)
    own = linear_from_srgb(codes_from_hex(design.beads[design.cells[design.levels.argmax()]].srgb) / 255)
    assert np.corrcoef(seen - seen.mean(), own - own.mean())[0, 1] > 0.9
    paper = above.pixels[2, 2].astype(int)
    assert (above.pixels.astype(int).sum(axis=2) < paper.sum() - 60).mean() > 0.3


@pytest.fixture
def seen_small(monkeypatch):
    """Few pixels, as a long work has them to a millimetre."""
    monkeypatch.setattr("convert.surface.render.views.FINEST", 4.0)


@pytest.mark.usefixtures("seen_small")
def test_a_work_seen_small_tells_which_dome_its_figures_are_of_and_no_words_collide():
    grid = Grid(17, 120)
    levels = np.maximum(rings(grid, (31, 9), radii=(0.5, 1.5, 2.5)), rings(grid, (91, 9), radii=(0.5, 1.5)))
    beads = tuple(bead_of(colour, level) for level, colour in enumerate((4, 9, 14, 19)))
    design = Design("Limpets", grid, SIZES, beads, levels)
    prediction = predict(grid, SIZES, levels)
    heights = [dome.height_mm for dome in prediction.found.domes]
    oblique, close, above, _ = make_views(prediction.surface, design, prediction.found)
    assert len(heights) == 2
    assert [mark.text for mark in oblique.marks if mark.text] == [f"{np.ceil(max(heights)):.0f} mm"]
    assert close.caption == f"closer: rows 27 to 35, columns 7 to 11, {max(heights):.1f} mm high"
    assert above.caption == "from above; the height of the highest dome in mm"
    assert [mark.text for mark in above.marks if mark.text != "10 mm"][1:] == [f"{max(heights):.1f}"]


@pytest.mark.usefixtures("seen_small")
def test_the_picture_is_a_png_of_its_looks_and_the_same_each_time(made):
    design, prediction, _ = made
    looks = make_views(prediction.surface, design, prediction.found)
    paint = [surface_png(prediction.surface, design, prediction.found, summary="1 dome") for _ in range(2)]
    assert paint[0] == paint[1]
    with Image.open(io.BytesIO(paint[0])) as picture:
        picture.load()
        assert picture.mode == "RGB"
        assert picture.height > sum(one.pixels.shape[0] for one in looks)
        assert picture.width >= max(one.pixels.shape[1] for one in looks)


def test_a_mirrored_design_is_seen_mirrored_from_above_but_for_its_light():
    """Ray hits alone, so that the one lamp does not matter."""
    design = domed(kind=(1.5, 2.5, 3.5))
    surface = solve_surface(design.grid, design.bead_sizes, design.levels)
    solids = make_bead_solids(surface, design)
    camera = frame_solids(camera_axes(np.array([0.0, 1, 0]), np.array([0.0, 0, -1])), solids, scale=8.0, margin_mm=1)
    centred = replace(camera, left_mm=9 * 1.3 / 2 - 10, width=160)
    hit = cast_rays(solids, centred).solid >= 0
    assert hit.mean() > 0.3
    assert (hit == hit[:, ::-1]).mean() > 0.999


@pytest.mark.usefixtures("seen_small")
@pytest.mark.parametrize(("columns", "rows"), [(2, 9), (5, 2)])
def test_small_and_flat_works_have_a_picture_too(columns, rows):
    grid = Grid(columns, rows)
    design = Design("Sliver", grid, SIZES, (bead_of(0, 0),), np.zeros(grid.count, dtype=int))
    surface = solve_surface(grid, SIZES, design.levels, wrist_mm=90.0 if columns == 5 else None)
    with Image.open(io.BytesIO(surface_png(surface, design, read_figures(surface), summary="no domes"))) as picture:
        assert min(picture.size) > 100
