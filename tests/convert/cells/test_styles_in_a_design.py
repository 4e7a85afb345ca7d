"""The main job with each style of picture, and with tidying."""

import numpy as np
import pytest
from drawings import FLAT, INK, PAPER, emblem, face, like_a_photo, parts, slanted
from picture_oracle import encoded

from convert.cells.cell_colours import WORDS, colour_beads
from convert.cli.convert import summary
from convert.colouring.pattern_stats import stray_beads
from convert.image.decode import Source
from convert.layout.choices import Crop
from convert.options import Options
from convert.pattern import make_pattern
from convert.shopping.shopping_list import shopping_list
from shared.errors import BadChoiceError


def made(pixels, **choices):
    return make_pattern(
        Source("drawing.png", encoded(pixels)), None, Options(**({"columns": 31, "turn": "0"} | choices)), surface=False
    )


def codes_of(pattern):
    return [tuple(bytes.fromhex(bead.srgb[1:])) for bead in pattern.design.beads]


def taken_for(pattern):
    return [notice for notice in pattern.notices if "taken for" in notice]


@pytest.mark.parametrize(("draw", "style"), [(emblem, "flat"), (face, "lines"), (like_a_photo, "photo")])
def test_a_guess_is_said_and_a_choice_is_not(draw, style):
    guessed = made(draw())
    assert guessed.style == style
    assert len(taken_for(guessed)) == 1
    assert f"taken for {WORDS[style]}:" in taken_for(guessed)[0]
    assert f"taken for {WORDS[style]}:" in summary(guessed, shopping_list(guessed.design, spare_percent=10))
    chosen = made(draw(), style=style)
    assert not taken_for(chosen)
    assert np.array_equal(chosen.design.cells, guessed.design.cells)


def test_a_logo_comes_in_the_colours_it_is_drawn_in_and_no_other():
    pattern = made(emblem(), colours=12)
    assert sorted(codes_of(pattern)) == sorted(FLAT)
    assert any("4 serve this picture" in notice for notice in pattern.notices)


def test_a_sketch_comes_in_paper_and_ink():
    pattern = made(face(), colours=6)
    assert len(codes_of(pattern)) == 2
    assert codes_of(pattern)[0] == PAPER
    assert np.abs(np.subtract(codes_of(pattern)[1], INK)).max() < 12


TURNS = ({"turn": "90"}, {"turn": "180"}, {"turn": "270"}, {"mirror": True}, {"turn": "90", "mirror": True})


@pytest.mark.parametrize("choices", TURNS, ids=str)
@pytest.mark.parametrize(("draw", "style"), [(emblem, "flat"), (face, "lines")])
def test_turned_by_option_or_beforehand_is_the_same(draw, style, choices):
    pixels = np.rot90(draw(), -int(choices.get("turn", "0")) // 90)
    pixels = pixels[:, ::-1] if choices.get("mirror") else pixels
    one = made(draw(), style=style, colours=4, **choices)
    other = made(np.ascontiguousarray(pixels), style=style, colours=4)
    assert codes_of(one) == codes_of(other)
    assert np.array_equal(one.design.cells, other.design.cells)


@pytest.mark.parametrize(("draw", "style"), [(emblem, "flat"), (face, "lines"), (like_a_photo, "photo")])
def test_cropped_by_option_or_beforehand_is_the_same(draw, style):
    pixels = draw()
    part = np.ascontiguousarray(pixels[100:340, 60:280])
    one = made(pixels, style=style, crop=Crop(60, 100, 220, 240))
    other = made(part, style=style)
    assert codes_of(one) == codes_of(other)
    assert np.array_equal(one.design.cells, other.design.cells)


@pytest.mark.parametrize("style", ["photo", "flat", "outlined", "lines"])
@pytest.mark.parametrize("fit", ["cover", "contain", "stretch"])
def test_every_fit_works_with_every_style(style, fit):
    pattern = made(emblem(8), style=style, fit=fit, rows=90, ground="#30a0f0", colours=8)
    place = pattern.design.grid.place_of[:, 0]
    beside = place < 8
    shows_ground = np.array([code == (0x30, 0xA0, 0xF0) for code in codes_of(pattern)])[pattern.design.cells]
    assert shows_ground[beside].all() == (fit == "contain")
    assert shows_ground.mean() < 0.6


def test_a_line_survives_the_whole_job():
    """Faint ink, thinner than a bead, few colours, default tidying."""
    for degrees in (0, 15, 45, 60):
        pixels, _ = slanted(degrees, 0.4, colour=(190, 188, 184))
        pattern = made(pixels, style="lines", colours=3)
        ink = pattern.design.cells != np.bincount(pattern.design.cells).argmax()
        assert len(parts(ink, pattern.design.grid)) == 1
        assert ink.sum() > 20


def test_tidying_is_told_and_letters_have_no_gaps():
    pixels = like_a_photo()
    plain, tidy, strong = (made(pixels, columns=21, colours=9, tidy=strength) for strength in (0, 1, 3))
    assert plain.before == plain.after == tidy.before == strong.before
    assert plain.after.strays > tidy.after.strays > strong.after.strays
    assert plain.after.runs_per_row > tidy.after.runs_per_row > strong.after.runs_per_row
    assert plain.after.mean_error < tidy.after.mean_error < strong.after.mean_error
    for pattern in (plain, tidy, strong):
        design = pattern.design
        assert [bead.kind for bead in design.beads] == list("ABCDEFGHJ")[: len(design.beads)]
        assert (np.diff(np.bincount(design.cells)) <= 0).all()
        assert np.count_nonzero(stray_beads(design.cells, design.grid)) == pattern.after.strays
        assert pattern.errors.mean() == pytest.approx(pattern.after.mean_error)
    told = summary(tidy, shopping_list(tidy.design, spare_percent=10))
    assert f"stray beads {tidy.before.strays} to {tidy.after.strays}" in told
    assert f"changes of bead per row {tidy.before.runs_per_row - 1:.1f} to {tidy.after.runs_per_row - 1:.1f}" in told
    assert f"{tidy.before.mean_error:.2f} to {tidy.after.mean_error:.2f}" in told
    assert f"{plain.after.strays} stray beads" in summary(plain, shopping_list(plain.design, spare_percent=10))


@pytest.mark.parametrize("strength", [-0.1, 3.1, float("nan")])
def test_a_strength_out_of_range_is_refused(strength):
    with pytest.raises(BadChoiceError, match="0 to 3"):
        Options(tidy=strength)


def test_cells_hold_ink_only_for_sketches():
    from drawings import on_beads

    view, grid = on_beads(face(), 30)
    assert colour_beads(view, grid, style="photo").ink is None
    assert colour_beads(view, grid, style="flat").ink is None
    assert colour_beads(view, grid, style="auto").ink is not None
