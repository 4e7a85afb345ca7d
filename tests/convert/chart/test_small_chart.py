"""Small charts: which bead each pixel shows."""

import numpy as np
import pytest
from booklets import random_design
from picture_oracle import DIAMETER_MM, LENGTH_MM, centres_mm
from strategies import SIZES, bead_of

from convert.chart.small_chart import small_chart
from shared.design import Design
from shared.grid import Grid


@pytest.mark.parametrize(("hand", "start"), [("right", "top"), ("left", "bottom")])
def test_small_charts_show_each_bead_at_its_place(hand, start):
    """Centres from the written rules alone: columns a length apart, half-rows half a diameter."""
    design = random_design(18, 30, domes=True, hand=hand, start=start)
    chart = small_chart(design)
    across = chart.shape[1] / ((18 + 1) * LENGTH_MM)
    down = chart.shape[0] / ((30 + 3) * DIAMETER_MM / 2)
    centres = centres_mm(18, 30, hand=hand, start=start)
    x = ((centres[:, 0] + LENGTH_MM / 2) * across).astype(int)
    y = ((centres[:, 1] + DIAMETER_MM / 2) * down).astype(int)
    shown = ["#" + bytes(pixel).hex() for pixel in chart[y, x, :3].tolist()]
    assert shown == [design.beads[cell].srgb for cell in design.cells.tolist()]
    width, length = design.extent_mm
    assert chart.shape[1] / chart.shape[0] == pytest.approx((width + LENGTH_MM) / (length + DIAMETER_MM), rel=0.06)
    assert np.ptp(design.levels) == 2


@pytest.mark.parametrize(("columns", "rows"), [(2, 4_000), (400, 3), (60, 2_000)])
def test_no_bead_leaves_a_chart_however_small_it_is_drawn(columns, rows):
    """Tiles are stamped on a flat array: what left it at one side would come back at the other."""
    grid = Grid(columns, rows)
    chart = small_chart(Design("Weed", grid, SIZES, (bead_of(0, 3),), np.zeros(grid.count, np.int64)))
    for edge in (chart[0], chart[-1], chart[:, 0], chart[:, -1]):
        assert (edge == 255).all()
