"""A colour chart with published values, photographed under casts, blur and noise."""

import numpy as np
import pytest
from bead_photographs import CARD, chart_lab, chart_scene, light_of_colour_temperature, photograph

from palettes.photo.copies import Region
from palettes.photo.lighting import Card
from palettes.photo.read import read_beads
from shared.ciede2000 import ciede2000

GREYS = {"light": "#e0e0e0", "middle": "#b4b4b4", "dark": "#464646"}
INSIDE_CARD = Region(CARD[0] + 20, CARD[1] + 20, CARD[2] - 40, CARD[3] - 40)
EIGHTEEN_PERCENT = 49.5
"""L* of a reflectance of 0.18 (CIE 015:2018, 8.2.1)."""
CYAN = 17
"""Place of the patch that lies outside sRGB: red is cut off in the photograph already."""


def differences(reading):
    assert len(reading.patches) == 24
    return ciede2000(np.array([patch.lab for patch in reading]), chart_lab())


def warm(gains, **how):
    return {"gains": gains, "noise": 4, "blur": 1.2, **how}


@pytest.mark.parametrize(
    ("grey", "how"),
    [
        ("light", {}),
        ("light", warm((1.2, 1.0, 0.8))),
        ("light", {"noise": 10, "blur": 3}),
        ("middle", warm((1.1, 1.0, 0.45))),
        ("dark", warm((0.85, 1.0, 1.15))),
        ("dark", {"noise": 10, "blur": 3}),
    ],
)
def test_the_ground_balances_a_cast(grey, how):
    """24-patch chart, values after November 2014 (source in tests/reference); channel gains, known."""
    found = differences(read_beads(photograph(chart_scene(GREYS[grey]), **how)))
    assert np.median(found) <= 2
    assert np.quantile(found, 0.9) <= 4.5


@pytest.mark.parametrize("kelvin", [3200, 7500])
def test_a_grey_card_of_known_reflectance_sets_light_and_exposure_right(kelvin):
    """The light is changed by CAT02 (CIE 159:2004), not by the transform that undoes it; exposure is 0.7 stops low."""
    scene = light_of_colour_temperature(chart_scene(GREYS["middle"], card=0.18), kelvin)
    seen = photograph(scene, gains=(0.6, 0.6, 0.6), noise=5, blur=2, fall_off=0.2)
    found = differences(read_beads(seen, card=Card(INSIDE_CARD, EIGHTEEN_PERCENT)))
    assert np.median(found) <= 2
    assert np.quantile(found, 0.9) <= 5


def test_without_balance_these_casts_would_show():
    """Shows that the checks above can fail: the same cast, with a card that is said to be grey but is cast-free."""
    scene = chart_scene(GREYS["middle"])
    cast = photograph(scene, gains=(1.2, 1.0, 0.8))
    cast[INSIDE_CARD.y : INSIDE_CARD.y + INSIDE_CARD.height, INSIDE_CARD.x : INSIDE_CARD.x + INSIDE_CARD.width] = 128
    assert np.median(differences(read_beads(cast, card=Card(INSIDE_CARD)))) > 4


def test_a_coloured_ground_misleads_and_a_card_does_not():
    """A pale blue ground (not neutral) and a grey card of 18 per cent on it."""
    seen = photograph(chart_scene("#a8b8d8", card=0.18), noise=3, blur=1)
    by_ground, by_card = read_beads(seen), read_beads(seen, card=Card(INSIDE_CARD))
    chart = np.array([patch.lab for patch in by_ground][:24])
    assert np.median(ciede2000(chart, chart_lab())) > 4
    assert np.median(differences(by_card)) < 1
    assert any("taken for neutral" in notice for notice in by_ground.notices)
    assert not by_card.notices


def test_a_strongly_coloured_ground_leaves_colours_as_they_are():
    reading = read_beads(photograph(chart_scene("#2a50c8"), noise=3, blur=1))
    assert "strongly coloured" in reading.notices[0]
    assert np.median(np.delete(differences(reading), CYAN)) < 1


def test_light_that_falls_off_is_evened_out():
    """One side gets 40 per cent less light: all patches are then too dark alike, not one side of them."""
    reading = read_beads(photograph(chart_scene(GREYS["middle"]), fall_off=0.4, noise=3))
    short = np.array([patch.lab[0] for patch in reading]) / chart_lab()[:, 0]
    bright_enough = chart_lab()[:, 0] > 30
    assert np.ptp(short[bright_enough]) < 0.06


def test_a_turned_photograph_keeps_the_order():
    from scipy.ndimage import rotate

    seen = photograph(chart_scene(GREYS["light"]), noise=3, blur=1)
    turned = rotate(seen, 5, order=1, cval=224)
    assert np.median(differences(read_beads(turned))) < 1
