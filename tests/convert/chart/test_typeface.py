from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw
from strategies import SIZES, bead_of

from convert.chart.figures import DIGIT_HEIGHT, draw_figures
from convert.chart.scene import chart_scene
from convert.chart.shapes import Paint, Rectangle, Text, extent_of, union
from shared.design import Design
from shared.grid import Grid
from shared.typeface import Lettering, shorten, text_width, wrap

LONG = "A cuff of tide pools & lighthouses, Blåskjell, Σίφνος, Соловки, " * 8 + "end"


@pytest.mark.parametrize(
    "text",
    [
        "0123456789",
        "shallow water",
        "cylinder 11/0",
        "A number in a bead is its size (11 is 11/0)",
        "Blåskjell på Ærø",
        "Σίφνος",
        "Соловки",
        "MWMWmw@%",
        "WAVES AND FOAM",
    ],
)
@pytest.mark.parametrize("bold", [False, True])
def test_the_estimate_is_not_below_the_real_width(text, bold):
    real = Lettering().font(100, bold=bold).getlength(text)
    assert real <= text_width(text, 100, bold=bold) <= 1.7 * real


@given(st.text(st.characters(min_codepoint=32, max_codepoint=0x4FF), max_size=40), st.floats(1, 30))
def test_a_shortened_text_fits(text, width):
    short = shorten(text, width, 1.0)
    assert text_width(short, 1.0) <= max(width, 1.0)
    assert short == text or text.startswith(short[:-1].rstrip())


@given(st.text("ab ", max_size=60), st.floats(2, 30))
def test_wrapped_lines_keep_the_words_in_order(text, width):
    lines = wrap(text, width, 1.0, most_lines=99)
    if not any(line.endswith("…") for line in lines):
        assert " ".join(lines).split() == text.split()


@pytest.mark.parametrize("columns", [2, 30, 120])
def test_a_long_title_takes_three_lines_and_all_text_stays_on_the_page(columns):
    grid = Grid(columns, 40)
    scene = chart_scene(Design(LONG[:200].strip(), grid, SIZES, (bead_of(0, 0, LONG[:90].strip()),), [0] * grid.count))
    marks = [(group.name, mark) for group in scene.over for mark in group.marks]
    large = max(mark.size_mm for name, mark in marks if isinstance(mark, Text) and name == "heading")
    title = [mark for name, mark in marks if isinstance(mark, Text) and name == "heading" and mark.size_mm == large]
    assert 1 <= len(title) <= 3
    assert title[0].text.startswith("A cuff")
    for _, mark in marks:
        left, top, right, bottom = extent_of(mark)
        assert left >= scene.extent.left
        assert top >= scene.extent.top
        assert right <= scene.extent.right
        assert bottom <= scene.extent.bottom


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
    marks = (Text(0.0, 0.0, "row 3", SIZE, "#000000"), Rectangle(0.0, 0.0, 1.0, 1.0, 0.0, Paint("#000000")))
    assert draw_figures(marks) == marks
