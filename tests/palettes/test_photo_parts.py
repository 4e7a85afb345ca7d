"""The steps of reading a photograph, each alone."""

import numpy as np
import pytest
from bead_photographs import ground, lay_swatch, light_of, photograph, science
from picture_oracle import light

from palettes.photo.copies import make_copies, mean_light
from palettes.photo.labelled import labelled_picture
from palettes.photo.lighting import balance, balance_matrix
from palettes.photo.patches import bead_colour, reading_order
from palettes.photo.read import read_beads
from shared.colour import SRGB_TO_XYZ, codes_from_hex, lab_from_linear


def test_reduction_is_the_mean_of_light():
    codes = np.random.default_rng(4).integers(0, 256, (7, 11, 3)).astype(np.uint8)
    expected = light(codes[:6, :9]).reshape(2, 3, 3, 3, 3).mean(axis=(1, 3))
    assert mean_light(codes, 3) == pytest.approx(expected, abs=1e-6)


def test_copies_stay_small_and_fit_each_other():
    copies = make_copies(np.zeros((2999, 4001, 1), np.uint8))
    assert max(copies.fine.shape) <= 1800
    assert max(copies.coarse.shape) <= 700
    assert copies.step * copies.coarse.shape[1] <= 4001


@pytest.mark.parametrize("lightness", [None, 49.5, 96.0])
def test_a_balance_makes_its_card_grey(lightness):
    seen = np.array([0.42, 0.3, 0.11])
    after = balance(seen, balance_matrix(seen, lightness=lightness))
    expected = lab_from_linear(np.full(3, seen @ SRGB_TO_XYZ[1]))[0] if lightness is None else lightness
    assert lab_from_linear(after) == pytest.approx([expected, 0, 0], abs=0.02)


def test_a_balance_agrees_with_the_reference_library():
    """Bradford in colour-science, from the card's own white to D65."""
    seen, colours = np.array([0.5, 0.42, 0.25]), np.random.default_rng(8).random((50, 3)) * 0.4 + 0.1
    white = SRGB_TO_XYZ @ np.ones(3)
    matrix = science.adaptation.matrix_chromatic_adaptation_VonKries(
        SRGB_TO_XYZ @ seen / (SRGB_TO_XYZ @ seen)[1], white, transform="Bradford"
    )
    theirs = colours @ (np.linalg.inv(SRGB_TO_XYZ) @ matrix @ SRGB_TO_XYZ).T
    assert balance(colours, balance_matrix(seen)) == pytest.approx(np.maximum(theirs, 0), abs=1e-9)


def test_an_even_swatch_is_its_mean_and_a_few_wild_pixels_do_not_count():
    rng = np.random.default_rng(6)
    swatch = np.array([0.2, 0.1, 0.05]) * (1 + 0.02 * rng.standard_normal((4000, 1)))
    assert bead_colour(swatch) == pytest.approx([0.2, 0.1, 0.05], rel=0.003)
    swatch[:200], swatch[200:400] = 1.0, 0.0
    assert bead_colour(swatch) == pytest.approx([0.2, 0.1, 0.05], rel=0.01)


@pytest.mark.parametrize("degrees", [-9, 0, 9])
def test_rows_are_read_even_askew(degrees):
    across, down = np.meshgrid(np.arange(6) * 10.0, np.arange(4) * 10.0)
    flat = np.stack([across.ravel(), down.ravel()], axis=1) + np.random.default_rng(1).uniform(-0.8, 0.8, (24, 2))
    turn = np.radians(degrees)
    askew = flat @ np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]]).T
    shuffled = np.random.default_rng(2).permutation(24)
    assert shuffled[reading_order(askew[shuffled], np.full(24, 8.0))].tolist() == list(range(24))


def test_one_patch_and_one_column_have_an_order():
    assert reading_order(np.array([[3.0, 4.0]]), np.array([2.0])).tolist() == [0]
    assert reading_order(np.array([[3.0, 9.0], [3.2, 1.0], [2.9, 5.0]]), np.full(3, 2.0)).tolist() == [1, 2, 0]


def test_boxes_names_and_pixels_say_where_and_what():
    scene = ground(300, 400)
    lay_swatch(scene, light_of("#708090"), (60, 90, 120, 80))
    (patch,) = read_beads(photograph(scene))
    assert patch.box == pytest.approx((60, 90, 120, 80), abs=2)
    assert patch.pixels == pytest.approx(120 * 80, rel=0.04)
    assert (patch.hex, patch.name) == ("#708090", "slate grey")
    assert patch.spread < 0.5


def test_the_labelled_picture_outlines_numbers_and_shows_the_colour():
    scene = ground(300, 400)
    for place in range(3):
        lay_swatch(scene, light_of("#1f8ab8"), (30 + 120 * place, 90, 90, 90))
    seen = photograph(scene)
    reading = read_beads(seen)
    picture = labelled_picture(seen, reading)
    assert picture.dtype == np.uint8
    assert picture.shape == (900, 1200, 3)
    ink = (picture == 20).all(axis=-1)
    assert ink[3 * 90 - 6 : 3 * 90 + 6, 3 * 60].any()
    assert not ink[: 3 * 80].any()
    assert (picture[3 * 135 - 60 : 3 * 135 + 60, 3 * 75] == codes_from_hex(reading.patches[0].hex)).all(axis=-1).any()
    counts = [ink[3 * 130 - 30 : 3 * 130 + 30, 3 * (75 + 120 * place) - 20 :][:, :40].sum() for place in range(3)]
    assert len(set(counts)) == 3


def test_codes_of_16_bits_give_the_same():
    scene = ground(200, 300)
    lay_swatch(scene, light_of("#708090"), (60, 60, 90, 80))
    seen = photograph(scene, noise=3)
    narrow, wide = read_beads(seen), read_beads(seen.astype(np.uint16) * 257)
    assert narrow.patches[0].hex == wide.patches[0].hex
    assert np.array_equal(narrow.labels, wide.labels)
