"""Small charts: which bead each pixel shows."""

import numpy as np
import pytest
from booklets import random_design
from picture_oracle import DIAMETER_MM, LENGTH_MM, centres_mm

from convert.chart.small_chart import small_chart


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
