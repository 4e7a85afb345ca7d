"""A colour chart with published values, photographed in light of many sorts: how far off it is read, and what is said.

The 24 patches have the values after November 2014 (source in tests/reference).
"""

import numpy as np
import pytest
from bead_photographs import (
    CARD_BOX,
    PATCHES,
    chart_lab,
    chart_scene,
    ground,
    lay_swatch,
    light_of_a_lamp,
    light_of_colour_temperature,
    photograph,
    science,
)

from palettes.photo_beads import read_spots
from palettes.photo_light import CARD, PAPER, Region, balance_matrix, find_light, region_around
from shared.ciede2000 import ciede2000
from shared.colour import D65_XYZ, SRGB_TO_XYZ, lab_from_linear
from shared.errors import BadChoiceError

INSIDE = Region(CARD_BOX[0] + 20, CARD_BOX[1] + 20, CARD_BOX[2] - 40, CARD_BOX[3] - 40)
REFLECTANCES = {PAPER: 0.876, CARD: 0.18}
BROWN, PALE, BLUE = "#9a6a40", "#b4b4b4", "#a8b8d8"


def read(seen, *reference):
    spots, cautions = read_spots(seen, PATCHES, find_light(seen, *(reference or [None])))
    median = float(np.median(ciede2000(np.array([spot.lab for spot in spots]), chart_lab())))
    return median, {caution.kind: caution.off for caution in cautions}


def lit(scene, kelvin=None, *, lamp=False, **how):
    scene = scene if kelvin is None else light_of_colour_temperature(scene, kelvin)
    return photograph(light_of_a_lamp(scene) if lamp else scene, noise=3, blur=1, **how)


@pytest.mark.parametrize(
    ("lightness", "background", "how", "said"),
    [
        (PAPER, PALE, {}, set()),
        (CARD, BLUE, {"gains": (0.9,) * 3, "fall_off": 0.2}, set()),
        (PAPER, BROWN, {"gains": (0.5,) * 3}, {"dark"}),
        (CARD, PALE, {"gains": (0.25,) * 3}, {"dark"}),
        (CARD, BROWN, {"gains": (0.9, 0.8, 0.45)}, {"tinted"}),
        (PAPER, PALE, {"kelvin": 3200, "gains": (0.58,) * 3}, {"tinted"}),
        (CARD, BROWN, {"fall_off": 0.4}, {"uneven"}),
        (PAPER, PALE, {"lamp": True, "kelvin": 4000, "gains": (0.7,) * 3}, {"uneven", "dark", "tinted"}),
    ],
)
def test_a_reference_sets_the_colours_right(lightness, background, how, said):
    """Casts by CAT02 (CIE 159:2004), not by the transform that undoes them; what is said is no less than the truth."""
    median, cautions = read(lit(chart_scene(background, REFLECTANCES[lightness]), **how), INSIDE, lightness)
    assert median <= 1.5
    assert cautions.keys() == said
    assert all(median < off < median + 4 for off in cautions.values())


@pytest.mark.parametrize(("exposure", "off"), [(1, 0), (0.5, 13), (0.25, 22)])
def test_without_a_reference_a_warning_tells_how_far_off_colours_are(exposure, off):
    median, cautions = read(lit(chart_scene(PALE, REFLECTANCES[PAPER]), gains=(exposure,) * 3))
    assert median == pytest.approx(off, abs=1)
    assert cautions.keys() == {"unreferenced", "dark"} - ({"dark"} if exposure == 1 else set())
    assert cautions.get("dark", off) == pytest.approx(median, abs=4)


def test_a_lamp_without_a_reference_is_told():
    median, cautions = read(lit(chart_scene(BROWN, REFLECTANCES[PAPER]), lamp=True))
    assert cautions["uneven"] > 0.9 * median > 10


def test_a_balance_agrees_with_the_reference_library():
    """Bradford in colour-science, from the paper's own white to D65."""
    seen, colours = np.array([0.5, 0.42, 0.25]), np.random.default_rng(8).random((50, 3)) * 0.4 + 0.1
    white = D65_XYZ
    matrix = science.adaptation.matrix_chromatic_adaptation_VonKries(SRGB_TO_XYZ @ seen, white, transform="Bradford")
    theirs = colours @ (np.linalg.inv(SRGB_TO_XYZ) @ matrix @ SRGB_TO_XYZ).T
    assert colours @ balance_matrix(seen, 100.0).T == pytest.approx(theirs, abs=1e-6)
    assert lab_from_linear(balance_matrix(seen, CARD) @ seen) == pytest.approx([CARD, 0, 0], abs=0.02)


@pytest.mark.parametrize(
    ("region", "lightness", "why"),
    [
        ((460, 100, 40, 40), CARD, "does not lie in"),
        ((-1, 100, 40, 40), CARD, "does not lie in"),
        ((10, 290, 20, 20), PAPER, "does not lie in"),
        ((10, 200, 0, 20), CARD, "does not lie in"),
        ((15, 15, 30, 30), PAPER, "over-exposed"),
        ((435, 15, 30, 30), CARD, "nearly black"),
        ((75, 20, 30, 20), PAPER, "not one even colour"),
        ((200, 200, 30, 30), CARD, "white rather than grey"),
    ],
)
def test_a_reference_that_is_none(region, lightness, why):
    scene = ground(300, 480)
    lay_swatch(scene, np.ones(3), (10, 10, 40, 40))
    lay_swatch(scene, np.full(3, 0.002), (430, 10, 40, 40))
    lay_swatch(scene, np.array([0.5, 0.1, 0.1]), (50, 10, 40, 40))
    with pytest.raises(BadChoiceError, match=why) as error:
        find_light(photograph(scene), Region(*region), lightness)
    assert "; " in error.value.message


@pytest.mark.parametrize("point", [(-1, 5), (480, 5), (5, 300), (10**9, 5)])
def test_a_point_off_the_photograph_is_refused(point):
    with pytest.raises(BadChoiceError, match=f"^the point {point[0]},{point[1]} does not lie"):
        region_around(photograph(ground(300, 480)), point, 4)


def test_codes_of_one_channel_and_of_16_bits_give_the_same():
    seen = photograph(ground(60, 90), fall_off=0.3)[..., :1]
    expected = find_light(np.repeat(seen, 3, axis=-1), Region(10, 10, 20, 20))
    for same in (seen, seen.astype(np.uint16) * 257):
        found = find_light(same, Region(10, 10, 20, 20))
        assert found.matrix == pytest.approx(expected.matrix)
        assert found.slope == pytest.approx(expected.slope)
