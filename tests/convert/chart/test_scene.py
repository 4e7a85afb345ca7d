import numpy as np
import pytest
from hypothesis import given, settings
from repeat_oracle import repeated
from strategies import SIZES, bead_of, designs

from convert.chart.scene import chart_scene
from convert.chart.shapes import extent_of, union
from shared.design import Design
from shared.grid import Grid


def legend_and_work(columns, rows, kinds=4):
    grid = Grid(columns, rows)
    beads = tuple(bead_of(colour, 0) for colour in range(kinds))
    design = Design("Layout", grid, SIZES, beads, np.arange(grid.count) % kinds)
    scene = chart_scene(design)
    legend = union(extent_of(mark) for group in scene.over if group.name == "legend" for mark in group.marks)
    return legend, design.extent_mm, scene


def test_the_legend_stands_next_to_a_tall_strip_and_below_a_wide_panel():
    legend, (width, _), _ = legend_and_work(25, 150)
    assert legend.left > width
    legend, (_, length), _ = legend_and_work(180, 60)
    assert legend.top > length


@pytest.mark.parametrize(("columns", "rows"), [(25, 150), (61, 400), (2, 2), (180, 60), (40, 40)])
def test_forty_kinds_flow_into_columns_that_stay_on_the_page(columns, rows):
    legend, (width, length), scene = legend_and_work(columns, rows, kinds=40)
    assert legend.left > width or legend.top > length
    assert legend.left >= scene.extent.left
    assert legend.right <= scene.extent.right
    assert legend.bottom <= scene.extent.bottom


@settings(max_examples=50)
@given(design=designs())
def test_the_painting_order_goes_up_the_sizes_and_down_the_page(design):
    scene = chart_scene(design)
    levels = [SIZES.level_of[design.beads[kind].size] for kind in scene.kind_of.tolist()]
    order = [(level, y, x) for level, (x, y) in zip(levels, scene.centres_mm.tolist(), strict=True)]
    assert order == sorted(order)
    assert not scene.kind_of.flags.writeable
    assert not scene.centres_mm.flags.writeable


def test_a_notice_about_raised_beads_only_where_there_are_some():
    words = [" ".join(str(mark) for group in chart_scene(d).over for mark in group.marks) for d in flat_and_raised()]
    assert ["number in a bead" in text for text in words] == [False, True]


def flat_and_raised():
    grid = Grid(6, 6)
    for level in (0, 2):
        beads = (bead_of(0, 0), bead_of(1, level))
        yield Design("Notice", grid, SIZES, beads, np.arange(grid.count) % 2)


@pytest.mark.parametrize("start", ["top", "bottom"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_the_first_repeat_is_marked(hand, start):
    """Its bracket reaches from the first row of the repeat to the last, next to the edge away from the tail."""
    design = repeated(Grid(9, 55, hand, start), first_rows=3, period=16, seed=5)
    (marks,) = (group.marks for group in chart_scene(design).over if group.name == "repeat")
    bracket, *words = marks
    flat, (width, _) = SIZES.flat, design.extent_mm
    xs, ys = zip(*bracket.points, strict=True)
    rows = [row if start == "top" else 56 - row for row in (4, 19)]
    middles = sorted(row * flat.diameter_mm / 2 for row in rows)
    assert (min(ys), max(ys)) == pytest.approx((middles[0] - flat.diameter_mm / 2, middles[1] + flat.diameter_mm / 2))
    assert min(xs) > width if hand == "right" else max(xs) < 0
    assert [word.text for word in words] == ["repeat", "rows 4 to 19,", "3 times", "and 4 rows of it"]


def test_where_nothing_comes_again_nothing_is_marked():
    design = repeated(Grid(9, 24), first_rows=24, period=2, seed=5)
    assert [group.marks for group in chart_scene(design).over if group.name == "repeat"] == [()]
