import io

import numpy as np
import pytest
from picture_oracle import DIAMETER_MM, LENGTH_MM, centres_mm
from PIL import Image
from review_inputs import domed_review

from convert.colouring.colour_count import Spread
from convert.documents.colour_review.bead_colours import colour_of_beads
from convert.documents.colour_review.curve import curve_of
from convert.documents.colour_review.painted import painted_chart, plan_chart
from convert.documents.colour_review.picture import review_picture


@pytest.fixture(scope="module", params=[("right", "top"), ("left", "bottom")], ids="-".join)
def domed(request):
    hand, start = request.param
    return domed_review(range(2, 7), hand=hand, start=start)


def test_small_charts_show_each_bead_at_its_place(domed):
    """Centres from the written rules alone: columns a length apart, half-rows half a diameter."""
    design, grid = domed.suggested.design, domed.suggested.design.grid
    plan = plan_chart(design)
    colours = [colour.seen["full"] for colour in domed.suggested.colours]
    chart = painted_chart(plan, colour_of_beads(design, domed.suggested.colours), colours, "#ffffff")
    across = chart.shape[1] / ((grid.columns + 2) * LENGTH_MM)
    down = chart.shape[0] / ((grid.rows + 3) * DIAMETER_MM / 2)
    centres = centres_mm(grid.columns, grid.rows, hand=grid.hand, start=grid.start)
    x = ((centres[:, 0] + LENGTH_MM) * across).astype(int)
    y = ((centres[:, 1] + DIAMETER_MM / 2) * down).astype(int)
    shown = ["#" + bytes(pixel).hex() for pixel in chart[y, x, :3].tolist()]
    assert shown == [design.beads[cell].srgb for cell in design.cells.tolist()]


def test_small_charts_keep_the_proportion_of_the_work(domed):
    plan, (width, length) = plan_chart(domed.suggested.design), domed.suggested.design.extent_mm
    assert plan.width / plan.height == pytest.approx((width + 2 * LENGTH_MM) / (length + DIAMETER_MM), rel=0.06)


def test_the_picture_holds_every_chart_in_its_colours(domed):
    image = Image.open(io.BytesIO(review_picture(domed)))
    assert (image.format, image.mode) == ("PNG", "RGB")
    assert image.width * image.height < 16_000_000
    seen = {"#{:02x}{:02x}{:02x}".format(*colour) for _, colour in image.getcolors(2**24)}
    for choice in domed.choices:
        assert {colour.seen["full"] for colour in choice.colours} <= seen
    for colour in domed.suggested.colours:
        assert set(colour.seen.values()) <= seen


def test_the_picture_is_the_same_each_time(domed):
    assert review_picture(domed) == review_picture(domed)


def test_the_curve_lies_where_its_axes_say():
    spreads = [Spread(2, 12.0, 30.0), Spread(3, 6.0, 15.0), Spread(4, 3.0, 7.5)]
    curve = curve_of(spreads, 3, width=200.0, height=60.0)
    zero, top = curve.up[0], curve.up[-1]
    assert (zero.text, zero.at) == ("0", 60.0)
    per_unit = (zero.at - top.at) / int(top.text)
    heights = [(zero.at - y) / per_unit for _, y in curve.mean + curve.p95]
    assert heights == pytest.approx([12.0, 6.0, 3.0, 30.0, 15.0, 7.5])
    assert [x for x, _ in curve.mean] == [0.0, 100.0, 200.0] == [tick.at for tick in curve.across]
    assert curve.knee == 1


def test_one_number_alone_makes_a_curve():
    curve = curve_of([Spread(5, 0.0, 0.0)], 5, width=200.0, height=60.0)
    assert np.isfinite(curve.mean).all()
    assert [tick.text for tick in curve.across] == ["5"]
