import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import LADDER, bead_of

from convert.chart.lettering import Lettering, shorten, wrap
from convert.chart.scene import chart_scene
from convert.chart.shapes import Text, extent_of, text_width
from shared.design import Design
from shared.grid import Grid

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


@pytest.mark.parametrize("columns", [1, 30, 120])
def test_a_long_title_takes_three_lines_and_all_text_stays_on_the_page(columns):
    grid = Grid(columns, 40)
    scene = chart_scene(Design(LONG[:200].strip(), grid, LADDER, (bead_of(0, 0, LONG[:90].strip()),), [0] * grid.count))
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
