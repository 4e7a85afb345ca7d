"""What is drawn keeps its shape, its place and its side up in the finished work."""

import numpy as np
import pytest
from picture_oracle import LENGTH_MM, cells_of, centres_mm, encoded

from convert.layout.choices import Crop

TILES = np.array([[[220, 30, 30], [30, 200, 30]], [[30, 30, 220], [230, 220, 40]]], dtype=np.uint8)
"""Red, green / blue, yellow: shows which way up a picture lies."""


def disc(width, height, x, y, radius):
    """A black disc on white, its rim smoothed over a pixel; lengths in pixels."""
    down, across = np.mgrid[:height, :width] + 0.5
    far = np.hypot(across - x, down - y)
    return np.rint(255 * np.clip(far - radius + 0.5, 0, 1)).astype(np.uint8)


def ellipse_of(points):
    """Centre and semi-axes of the uniform ellipse with the second moments of these points (axis² / 4)."""
    spread = np.linalg.eigvalsh(np.cov(points.T, bias=True))
    return points.mean(axis=0), 2 * np.sqrt(spread)


def corners(data, **choices):
    """The tile at each corner of the finished work (upper left, upper right, lower left, lower right)."""
    plan, grid, cells = cells_of(data, **choices)
    x, y = centres_mm(plan.columns, plan.rows, hand=grid.hand, start=grid.start).T
    names = []
    for across, down in ((0, 0), (1, 0), (0, 1), (1, 1)):
        nearest = np.argmin(np.hypot(x / x.max() - across, y / y.max() - down))
        names.append("rgby"[np.argmin(np.abs(TILES.reshape(4, 3) / 255 - cells[nearest] ** (1 / 2.2)).sum(axis=1))])
    return "".join(names)


def tiles(width=60, height=120):
    return encoded(np.repeat(np.repeat(TILES, height // 2, axis=0), width // 2, axis=1))


@pytest.mark.parametrize(
    ("picture", "choices", "centre", "radius"),
    [
        # picture: width, height, disc's x, y and radius in px; centre and radius in parts of the work's width
        ((400, 800, 200, 400, 150), {"columns": 61}, (0.5, 1.0), 0.375),
        ((400, 800, 140, 600, 120), {"columns": 61}, (0.35, 1.5), 0.3),
        ((300, 310, 150, 155, 140), {"columns": 60, "turn": "0"}, (0.5, 0.51667), 0.46667),
        ((800, 400, 300, 100, 90), {"columns": 61, "turn": "90"}, (0.75, 0.75), 0.225),
        ((800, 400, 300, 100, 90), {"columns": 81, "turn": "0"}, (0.375, 0.125), 0.1125),
        ((400, 800, 140, 600, 120), {"columns": 61, "turn": "180"}, (0.65, 0.5), 0.3),
        ((800, 400, 300, 100, 90), {"columns": 61, "turn": "270"}, (0.25, 1.25), 0.225),
        ((800, 400, 300, 100, 90), {"columns": 61, "turn": "270", "mirror": True}, (0.75, 1.25), 0.225),
        ((400, 800, 140, 600, 120), {"columns": 61, "mirror": True}, (0.65, 1.5), 0.3),
        ((900, 700, 500, 300, 80), {"columns": 51, "crop": Crop(400, 150, 200, 400)}, (0.5, 0.75), 0.4),
        (
            (900, 700, 500, 300, 80),
            {"columns": 51, "crop": Crop(400, 200, 300, 200), "turn": "90", "mirror": True},
            (0.5, 0.5),
            0.4,
        ),
        ((400, 800, 140, 600, 120), {"columns": 61, "hand": "left", "start": "bottom"}, (0.35, 1.5), 0.3),
        ((400, 800, 140, 600, 120), {"width_mm": 79.3}, (0.35, 1.5), 0.3),
        ((400, 800, 140, 600, 120), {"rows": 197}, (0.35, 1.5), 0.3),
        ((400, 800, 140, 600, 120), {"length_mm": 158.4}, (0.35, 1.5), 0.3),
    ],
)
def test_a_circle_stays_a_circle(picture, choices, centre, radius):
    """Axes of the ellipse fitted to the bead centres in the disc agree with the circle within 2.5 %."""
    plan, _, cells = cells_of(encoded(disc(*picture)), **choices)
    lattice = {key: choices[key] for key in ("hand", "start") if key in choices}
    inside = centres_mm(plan.columns, plan.rows, **lattice)[cells[:, 0] < 0.5]
    middle, axes = ellipse_of(inside)
    width_mm = plan.columns * LENGTH_MM
    assert axes == pytest.approx([radius * width_mm] * 2, rel=0.025)
    assert middle == pytest.approx(np.array(centre) * width_mm, abs=0.4)


def test_a_stretched_circle_is_no_circle():
    """The fit above can fail: stretched to twice its length the disc gives axes of 1 : 2."""
    plan, _, cells = cells_of(encoded(disc(400, 400, 200, 200, 150)), columns=61, length_mm=158.6, fit="stretch")
    _, axes = ellipse_of(centres_mm(plan.columns, plan.rows)[cells[:, 0] < 0.5])
    assert axes[1] / axes[0] == pytest.approx(2, rel=0.03)


@pytest.mark.parametrize(
    ("turn", "mirror", "seen"),
    [
        ("0", False, "rgby"),
        ("90", False, "bryg"),
        ("180", False, "ybgr"),
        ("270", False, "gyrb"),
        ("0", True, "gryb"),
        ("90", True, "rbgy"),
    ],
)
@pytest.mark.parametrize("fit", ["cover", "contain", "stretch"])
def test_turn_is_clockwise_and_mirror_comes_after_it(turn, mirror, seen, fit):
    assert corners(tiles(), columns=12, turn=turn, mirror=mirror, fit=fit) == seen


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("start", ["top", "bottom"])
def test_hand_and_start_leave_the_picture_upright(hand, start):
    assert corners(tiles(), columns=13, hand=hand, start=start) == "rgby"


def test_cover_cuts_contain_adds_ground_stretch_keeps_all():
    """A square picture with a rim, on a work twice as long as wide."""
    rimmed = np.full((100, 100, 3), 255, dtype=np.uint8)
    rimmed[:, :20], rimmed[:, -20:] = [220, 30, 30], [30, 30, 220]
    seen = {}
    for fit in ("cover", "contain", "stretch"):
        plan, _, cells = cells_of(encoded(rimmed), columns=20, rows=64, fit=fit, ground="#000000")
        x, y = centres_mm(20, 64).T
        assert (plan.columns, plan.rows) == (20, 64)
        seen[fit] = cells
    assert seen["cover"].min() > 0.99
    black = seen["contain"].max(axis=1) < 1e-6
    assert np.array_equal(black, np.abs(y - 26) > 13.5)
    assert np.allclose(seen["stretch"][x < 5], seen["stretch"][0])
    assert seen["stretch"][0, 0] > 0.6
    assert seen["stretch"][0, 2] < 0.02


def test_a_picture_of_a_strip_that_lies_on_its_side_is_turned_clockwise():
    assert corners(tiles(180, 60), columns=12) == "bryg"
    assert corners(tiles(120, 60), columns=12) == "rgby"
