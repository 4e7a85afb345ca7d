import math

import numpy as np
import pytest
from picture_oracle import DIAMETER_MM, LENGTH_MM, centres_mm, encoded, sampled_means
from PIL import Image

from convert.image.decode import Source
from convert.layout.choices import Crop
from convert.options import Options
from convert.pattern import make_pattern, stage_flow
from convert.relief import height_map
from convert.relief.height_map import measure_heights
from shared.errors import BadChoiceError, BadFileError
from shared.grid import Grid

PICTURE = np.random.default_rng(11).integers(0, 256, (160, 80, 3)).astype(np.uint8)
SLOPE = np.linspace(0, 255, 160).round().astype(np.uint8)[:, None].repeat(80, axis=1)


def heights_of(map_data, *, picture=PICTURE, **choices):
    """Lay a map over a picture; return grid, plan, heights and notices."""
    options = Options(**({"columns": 16} | choices))
    source = Source("picture.png", encoded(picture))
    flow = stage_flow(source, Source("hills.png", map_data), options)
    layout = flow["layout"]
    means, notices = measure_heights(options, flow["heights_file"], flow["heights"], layout, options.bead_sizes.flat)
    return layout.grid, layout.plan, means, notices


def dome(width=80, height=160, x=0.3, y=0.6, radius=0.3):
    down, across = (np.mgrid[:height, :width] + 0.5) / width
    return np.clip(1 - np.hypot(across - x, down - 2 * y) / radius, 0, 1)


def test_codes_are_heights_as_they_are():
    """Code 128 of 255 is height 0.502, not the 0.216 of its light; means agree with brute force to 1e-3."""
    codes = np.rint(dome() * 255).astype(np.uint8)
    grid, plan, means, notices = heights_of(encoded(codes))
    assert notices == ()
    assert np.abs(means - sampled_means(codes / 255, grid, window=plan.window)).max() <= 1e-3
    _, _, flat, _ = heights_of(encoded(np.full((160, 80), 128, dtype=np.uint8)))
    assert flat == pytest.approx(np.full_like(flat, 128 / 255), abs=1e-6)


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
def test_sixteen_bits_keep_their_depth(kind):
    """A slope within two 8-bit steps."""
    deep = np.rint(40_000 + 500 * dome()).astype(np.uint16)
    grid, plan, means, _ = heights_of(encoded(deep, kind))
    wanted = sampled_means(deep / 65_535, grid, window=plan.window)
    assert np.ptp(wanted) > 0.005
    assert np.abs(means - wanted).max() <= 1e-5


def test_the_map_may_have_fewer_or_more_pixels():
    codes = [np.rint(dome(width, 2 * width) * 255).astype(np.uint8) for width in (40, 80, 400)]
    few, same, many = (heights_of(encoded(c))[2] for c in codes)
    assert np.abs(few - same).max() < 0.02
    assert np.abs(many - same).max() < 0.01


@pytest.mark.parametrize(
    "choices",
    [
        {"turn": "180"},
        {"mirror": True},
        {"turn": "90", "mirror": True, "fit": "contain"},
        {"crop": Crop(10, 50, 50, 90)},
        {"crop": Crop(25, 30, 50, 60, percent=True), "turn": "270"},
        {"rows": 20, "fit": "stretch"},
        {"hand": "left", "start": "bottom"},
    ],
)
def test_the_map_follows_the_picture(choices):
    """The same drawing as picture and as map, half as large: high where the picture is bright."""
    drawing = np.rint(dome() * 255).astype(np.uint8)
    small = np.rint(dome(40, 80) * 255).astype(np.uint8)
    _, _, means, _ = heights_of(encoded(small), picture=drawing, **choices)
    _, _, same, _ = heights_of(encoded(drawing), picture=drawing, **choices)
    plain = {"columns": 16, "colours": 256, "ground": "#000000", "style": "photo", "tidy": 0}
    pattern = make_pattern(Source("a.png", encoded(drawing)), None, Options(**(plain | choices)), surface=False)
    shade = np.array([int(bead.srgb[1:3], 16) / 255 for bead in pattern.design.beads])[pattern.design.cells]
    assert np.abs(means - same).max() < 0.03
    assert np.abs(means - shade)[shade > 0.4].max() < 0.06
    # Flat beads within CIEDE2000 5 of the ground are given the ground, so a little of the slope is black.
    assert means[shade < 0.01].max() < 0.09


def test_next_to_a_contained_picture_it_is_flat_even_when_inverted():
    high = encoded(np.zeros((160, 80), dtype=np.uint8))
    grid, _, means, _ = heights_of(high, rows=80, fit="contain", invert_heights=True)
    y = centres_mm(grid.columns, grid.rows)[:, 1]
    from_middle = np.abs(y - y.mean())
    length_mm = 16 * LENGTH_MM * 2
    assert means[from_middle < length_mm / 2 - 1].min() > 0.999
    assert means[from_middle > length_mm / 2 + 1].max() < 1e-6


def test_inverted_heights_are_one_less_the_height():
    codes = encoded(np.rint(dome() * 255).astype(np.uint8))
    assert heights_of(codes, invert_heights=True)[2] == pytest.approx(1 - heights_of(codes)[2], abs=1e-6)


@pytest.mark.parametrize("shape", [(80, 80), (160, 100), (165, 80), (80, 160), (156, 80)])
def test_a_map_of_another_shape_is_refused_unless_stretched(shape):
    other = encoded(np.full(shape, 200, dtype=np.uint8))
    with pytest.raises(BadChoiceError, match=r"^hills\.png: .*another shape.*80 x 160.*--stretch-heights") as refused:
        heights_of(other)
    assert ("turn it" in str(refused.value)) == (shape == (80, 160))
    _, _, means, _ = heights_of(other, stretch_heights=True)
    assert means == pytest.approx(np.full_like(means, 200 / 255), abs=1e-6)


@pytest.mark.parametrize("shape", [(80, 40), (53, 27), (3, 2), (1601, 800)])
def test_rounding_to_whole_pixels_is_no_other_shape(shape):
    assert heights_of(encoded(np.full(shape, 200, dtype=np.uint8)))[2].size


def test_a_stretched_map_fills_the_picture():
    _, plan, means, _ = heights_of(encoded(SLOPE[:, :30]), stretch_heights=True)
    grid = Grid(plan.columns, plan.rows)
    assert np.abs(means - sampled_means(SLOPE / 255, grid, window=plan.window)).max() < 1e-3


@pytest.mark.parametrize("sigma_mm", [0.8, 2.0])
@pytest.mark.parametrize("stretch", [1, 3])
def test_blur_is_a_gaussian_in_mm_of_the_work(sigma_mm, stretch):
    """A step across the work becomes the normal distribution's integral; on a stretched work mm are still mm."""
    step = np.where(np.arange(800) < 400, 0, 255).astype(np.uint8)[:, None].repeat(400, axis=1)
    rows = 51 * stretch + stretch - 1
    grid, _, means, _ = heights_of(encoded(step), rows=rows, fit="stretch", blur_mm=sigma_mm)
    y = centres_mm(grid.columns, grid.rows)[:, 1] - (rows + 1) * DIAMETER_MM / 4
    parts = (np.arange(400) + 0.5) / 400 * DIAMETER_MM - DIAMETER_MM / 2
    wanted = [np.mean([0.5 + 0.5 * math.erf((at + part) / sigma_mm / math.sqrt(2)) for part in parts]) for at in y]
    assert means == pytest.approx(np.array(wanted), abs=0.01)


def test_blur_across_is_in_mm_too():
    step = np.where(np.arange(80) < 40, 0, 255).astype(np.uint8)[None].repeat(160, axis=0)
    grid, _, means, _ = heights_of(encoded(step), blur_mm=1.5)
    x = centres_mm(grid.columns, grid.rows)[:, 0] - 8 * LENGTH_MM
    parts = (np.arange(400) + 0.5) / 400 * LENGTH_MM - LENGTH_MM / 2
    wanted = [np.mean([0.5 + 0.5 * math.erf((at + part) / 1.5 / math.sqrt(2)) for part in parts]) for at in x]
    assert means == pytest.approx(np.array(wanted), abs=0.01)


@pytest.mark.parametrize("choices", [{}, {"turn": "90"}, {"repeat": 2}])
def test_a_large_map_is_smoothed_smaller(choices, monkeypatch):
    """Half as many pixels a side, under a blur of two beads: no height is off by a code of 8 bits."""
    codes = encoded(np.rint(dome(400, 800) * 255).astype(np.uint8))
    whole = heights_of(codes, blur_mm=2.6, **choices)[2]
    monkeypatch.setattr(height_map, "MOST_SMOOTHED", 10**5)
    monkeypatch.setattr(height_map, "SMOOTHED", 8 * 10**4)
    smaller = heights_of(codes, blur_mm=2.6, **choices)[2]
    assert np.ptp(whole) > 0.15
    assert 0 < np.abs(smaller - whole).max() < 1 / 255


def test_blur_keeps_the_mean():
    codes = encoded(np.rint(dome(x=0.5, y=0.5, radius=0.25) * 255).astype(np.uint8))
    sharp, smooth = heights_of(codes)[2], heights_of(codes, blur_mm=1.0)[2]
    assert smooth.mean() == pytest.approx(sharp.mean(), rel=2e-3)
    assert smooth.max() < sharp.max() - 0.05


def test_a_coloured_map_gives_a_notice_and_the_mean_of_its_channels():
    _, _, means, (notice,) = heights_of(encoded(np.full((160, 80, 3), (30, 60, 210), dtype=np.uint8)))
    assert notice.startswith("hills.png has colours")
    assert means == pytest.approx(np.full_like(means, 100 / 255), abs=1e-6)


@pytest.mark.parametrize("mode", ["L", "RGB", "LA", "P"])
def test_a_grey_map_gives_none_in_any_mode(mode):
    grey = Image.fromarray(SLOPE).convert(mode)
    _, _, means, notices = heights_of(encoded(grey))
    assert notices == ()
    assert np.abs(means - heights_of(encoded(SLOPE))[2]).max() < 1e-6


def test_transparent_parts_are_flat():
    image = Image.new("LA", (80, 160), (255, 255))
    image.paste((255, 0), (0, 0, 80, 80))
    grid, _, means, _ = heights_of(encoded(image))
    y = centres_mm(grid.columns, grid.rows)[:, 1]
    assert means[y < y.mean() - 2].max() < 1e-6
    assert means[y > y.mean() + 2].min() > 1 - 1e-6


def test_a_map_that_is_no_picture_is_named():
    with pytest.raises(BadFileError, match=r"^hills\.png: "):
        heights_of(b"hills")


@pytest.mark.parametrize(
    ("thresholds", "flat_until"),
    [(None, (0.25, 0.5, 0.75)), ((0.4, 0.6, 0.9), (0.4, 0.6, 0.9)), ((0.5,), (0.5,)), ((0.1, 1.0), (0.1,))],
)
def test_own_cuts_decide_where_the_next_size_begins(thresholds, flat_until):
    """A slope from flat to high down a long work, so gentle that the size-step rule changes nothing."""
    options = Options(columns=6, rows=120, fit="stretch", thresholds=thresholds, colours=2)
    pattern = make_pattern(
        Source("a.png", encoded(PICTURE)), Source("hills.png", encoded(SLOPE)), options, surface=False
    )
    assert not pattern.moved.any()
    share = centres_mm(6, 120)[:, 1] / (121 * DIAMETER_MM / 2)
    sure = np.abs(share[:, None] - flat_until).min(axis=1) > 0.006
    wanted = (share[:, None] > flat_until).sum(axis=1)
    assert np.array_equal(pattern.design.levels[sure], wanted[sure])
    assert sure.mean() > 0.9


@pytest.mark.parametrize(
    "thresholds", [(), (0.5, 0.5), (0.6, 0.4), (0.0, 0.5), (0.5, 1.1), (0.2, 0.4, 0.6, 0.8), (-0.1,), (float("nan"),)]
)
def test_cuts_that_make_no_levels_are_refused(thresholds):
    with pytest.raises(BadChoiceError, match="thresholds"):
        Options(thresholds=thresholds)


@pytest.mark.parametrize("blur_mm", [-1.0, float("nan"), float("inf")])
def test_a_blur_that_cannot_be_is_refused(blur_mm):
    with pytest.raises(BadChoiceError, match="blur"):
        Options(blur_mm=blur_mm)


def test_the_job_keeps_the_size_step_rule_and_says_what_it_cost():
    """A plateau next to flat: trim cuts slopes out of it, widen adds them around it; what moved is told."""
    plateau = np.where(dome() > 0.1, 255, 0).astype(np.uint8)
    picture, hills = Source("a.png", encoded(PICTURE)), Source("hills.png", encoded(plateau))
    trimmed, widened = (
        make_pattern(picture, hills, Options(columns=20, slopes=slopes), surface=False) for slopes in ("trim", "widen")
    )
    assert (trimmed.moved <= 0).all()
    assert (widened.moved >= 0).all()
    assert np.array_equal(trimmed.design.levels - trimmed.moved, widened.design.levels - widened.moved)
    assert trimmed.design.levels.sum() < widened.design.levels.sum()
    assert trimmed.design.levels.max() == 3
