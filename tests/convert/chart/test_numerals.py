"""Figures drawn as strokes."""

from itertools import combinations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from convert.chart.lettering import DIGIT_HEIGHT, draw_figures
from convert.chart.shapes import Box, Paint, Text, extent_of, union

SIZE = 40.0


def painted(text):
    """The strokes of a text on a small picture, as a set of dark pixels."""
    picture = Image.new("1", (60, 40))
    pen = ImageDraw.Draw(picture)
    for path in draw_figures([Text(5.0, 35.0, text, SIZE, "#000000")]):
        pen.line([point for at in path.points for point in at], fill=1, width=3)
    return np.asarray(picture)


def test_every_figure_looks_different():
    pictures = {figure: painted(figure) for figure in "0123456789"}
    for (one, first), (other, second) in combinations(pictures.items(), 2):
        assert (first != second).sum() > 40, (one, other)


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
def test_a_number_stands_where_its_text_would(anchor):
    box = union(extent_of(mark) for mark in draw_figures([Text(100.0, 50.0, "108", SIZE, "#000000", anchor)]))
    assert (box.top, box.bottom) == pytest.approx((50 - DIGIT_HEIGHT * SIZE, 50), abs=0.08 * SIZE)
    place = {"start": box.left, "middle": (box.left + box.right) / 2, "end": box.right}[anchor]
    assert place == pytest.approx(100, abs=0.12 * SIZE)


def test_words_and_shapes_stay():
    marks = (Text(0.0, 0.0, "row 3", SIZE, "#000000"), Box(0.0, 0.0, 1.0, 1.0, 0.0, Paint("#000000")))
    assert draw_figures(marks) == marks
