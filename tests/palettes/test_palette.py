import numpy as np
import pytest

from palettes.colour import Colour, Supply, colour_from_hex, colour_from_lab
from palettes.palette import Palette
from palettes.sizes import parse_sizes, short_size
from shared.beads import default_bead_sizes
from shared.errors import BadChoiceError, BadFileError

SIZES = default_bead_sizes()
ALL = (Supply("all"),)
SLATE = colour_from_hex("wet slate", "#2F4A5A", (Supply("cylinder 11/0", grams=4.5), Supply("round 8/0")))
SAND = colour_from_hex("sand", "d8c7a0", ALL)
POOL = Palette("pool", (SLATE, SAND))


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        ("11c", ["cylinder 11/0"]),
        ("11", ["round 11/0"]),
        ("11c 11 8", ["cylinder 11/0", "round 11/0", "round 8/0"]),
        ("8/0, 6/0", ["round 8/0", "round 6/0"]),
        ("11/0C; 15", ["cylinder 11/0", "round 15/0"]),
        (" Cylinder 11/0 + ROUND 8/0 ", ["cylinder 11/0", "round 8/0"]),
        ("round 8/0 11c", ["round 8/0", "cylinder 11/0"]),
        ("8 8", ["round 8/0"]),
        ("ALL", ["all"]),
    ],
)
def test_sizes_are_read_as_people_write_them(text, sizes):
    assert list(parse_sizes(text)) == sizes
    assert parse_sizes(" ".join(short_size(size) for size in sizes)) == tuple(sizes)


@pytest.mark.parametrize(
    "text", ["", " , ", "11x", "c11", "0", "011", "118", "11c8", "8/00", "tube 8/0", "round", "allover"]
)
def test_what_is_no_size_is_refused(text):
    with pytest.raises(BadFileError, match="size"):
        parse_sizes(text)


def test_a_palette_tells_what_exists_in_which_size():
    assert POOL.exists(SIZES).tolist() == [[True, False, True, False], [True] * 4]
    assert SLATE.supply("cylinder 11/0").grams == 4.5
    assert SLATE.supply("round 6/0") is None
    assert SAND.supply("round 6/0") is SAND.supplies[0]


def test_colours_are_arrays_in_the_order_of_the_entries():
    assert POOL.codes.tolist() == [[0x2F, 0x4A, 0x5A], [0xD8, 0xC7, 0xA0]]
    assert np.array_equal(POOL.lab, [SLATE.lab, SAND.lab])
    with pytest.raises(ValueError, match="read-only"):
        POOL.lab[0, 0] = 0


def test_names_are_found_in_any_letter_case_and_near_ones_are_offered():
    assert POOL.find(" Wet  SLATE ") is SLATE
    assert POOL.place_of("sand") == 1
    with pytest.raises(BadChoiceError, match=r"pool has no colour called 'wet slat'; did you mean wet slate\?"):
        POOL.find("wet slat")
    with pytest.raises(BadChoiceError, match="it has wet slate, sand"):
        POOL.find("xxxx")


def test_a_colour_is_added_or_takes_the_place_of_its_namesake():
    ink = colour_from_hex("ink", "#20242a", ALL)
    assert POOL.with_entry(ink).entries == (SLATE, SAND, ink)
    dark = colour_from_hex("Sand", "#101010", ALL)
    assert POOL.with_entry(dark).entries == (SLATE, dark)


def test_a_colour_outside_srgb_keeps_its_lab_and_is_shown_clipped():
    """Patch 18 of the 24-patch chart lies outside sRGB: red clips to 0 (Lab for D65 from colour-science)."""
    cyan = colour_from_lab("cyan", (49.77, -33.0, -26.5), ALL)
    assert cyan.srgb.startswith("#00")
    assert cyan.lab == (49.77, -33.0, -26.5)


@pytest.mark.parametrize(
    ("make", "what"),
    [
        (Palette, ("pool", ())),
        (Palette, (" pool", (SAND,))),
        (Palette, ("pool", (SAND, colour_from_hex("SAND", "#000000", ALL)))),
        (colour_from_hex, ("", "#000000", ALL)),
        (colour_from_hex, ("two\nlines", "#000000", ALL)),
        (colour_from_hex, ("two  blanks", "#000000", ALL)),
        (colour_from_hex, ("ink", "#000000", ())),
        (colour_from_hex, ("ink", "#000000", (*ALL, Supply("all", grams=2)))),
        (Colour, ("ink", "#000001", (0.0, 0.0, 0.0), ALL)),
        (colour_from_lab, ("ink", (101, 0, 0), ALL)),
        (colour_from_lab, ("ink", (50, 300, 0), ALL)),
        (colour_from_lab, ("ink", (50, float("nan"), 0), ALL)),
        (Supply, ("11c",)),
        (Supply, ("round 8/0 round 6/0",)),
        (Supply, ("all", "", -1)),
        (Supply, ("all", "two  blanks")),
        (Supply, ("all", "", None, 0)),
        (Supply, ("all", "", None, None, float("inf"))),
    ],
)
def test_what_does_not_fit_together_is_refused(make, what):
    with pytest.raises(BadFileError):
        make(*what)
