import numpy as np
import pytest

from palettes.colour_names import describe
from shared.colour import codes_from_hex


def codes(*colours):
    return np.stack([codes_from_hex(colour) for colour in colours])


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#708090", "slate grey"),
        ("#2f4f4f", "dark slate grey"),
        ("#fafad2", "light goldenrod yellow"),
        ("#fff5ee", "seashell"),
        ("#6495ed", "cornflower blue"),
        ("#daa520", "goldenrod"),
        ("#000000", "black"),
    ],
)
def test_a_css_colour_has_its_own_word(colour, name):
    """W3C CSS Color Module Level 3, section 4.3: the table of extended colour keywords."""
    assert describe(codes(colour)) == (name,)


def test_near_colours_take_the_word_and_are_numbered():
    assert describe(codes("#708090", "#ff7f50", "#6f8191", "#708192")) == (
        "slate grey",
        "coral",
        "slate grey 2",
        "slate grey 3",
    )


def test_names_are_unique_for_any_colours():
    rng = np.random.default_rng(3)
    names = describe(rng.integers(0, 256, (500, 3)).astype(np.uint8))
    assert len(set(names)) == 500
