"""Photographs and cards that cannot be used: one sentence that says why, and how to mend it."""

import numpy as np
import pytest
from bead_photographs import ground, lay_swatch, light_of, photograph, pour_heap
from skimage import data

from palettes.photo.copies import Region
from palettes.photo.lighting import Card
from palettes.photo.read import read_beads
from shared.errors import BadChoiceError, BadFileError


@pytest.fixture(scope="module")
def two_heaps():
    scene = ground(300, 480)
    pour_heap(scene, ["#1f3a5f"], 130, 150, 70, bead=6)
    pour_heap(scene, ["#c0392b"], 340, 150, 70, bead=6)
    lay_swatch(scene, light_of("#ffffff"), (10, 10, 40, 40))
    lay_swatch(scene, light_of("#080808"), (430, 10, 40, 40))
    return photograph(scene, noise=2, blur=0.5)


@pytest.mark.parametrize(
    ("seen", "why"),
    [
        (photograph(ground(300, 400)), "no beads that stand out"),
        (photograph(ground(300, 400), noise=4, fall_off=0.3), "no beads that stand out"),
        (np.zeros((300, 400, 3), np.uint8), "no beads that stand out"),
        (np.full((300, 400, 1), 255, np.uint8), "no beads that stand out"),
        (data.astronaut(), "no plain ground"),
        (data.chelsea(), "no plain ground"),
        (np.random.default_rng(2).integers(0, 256, (300, 400, 3)).astype(np.uint8), "no plain ground"),
        (np.zeros((20, 300, 3), np.uint8), "has only 300 x 20 pixels"),
    ],
    ids=["even", "noisy", "black", "white", "portrait", "cat", "noise", "tiny"],
)
def test_a_photograph_without_heaps(seen, why):
    with pytest.raises(BadFileError, match=f"^heaps.jpg: .*{why}.*; (lay|give) ") as error:
        read_beads(seen, name="heaps.jpg")
    assert "\n" not in str(error.value)
    assert error.value.exit_status == 2


@pytest.mark.parametrize(
    ("region", "why"),
    [
        ((460, 100, 40, 40), "460,100,40,40 does not lie in the photograph, which has 480 x 300 pixels; give x,y"),
        ((-1, 100, 40, 40), "does not lie in"),
        ((10, 290, 20, 20), "does not lie in"),
        ((10, 200, 0, 20), "does not lie in"),
        ((15, 15, 30, 30), "over-exposed; give"),
        ((435, 15, 30, 30), "nearly black; give"),
        ((160, 100, 160, 80), "not one even colour; give"),
    ],
)
def test_a_card_that_is_none(two_heaps, region, why):
    with pytest.raises(BadChoiceError, match=why):
        read_beads(two_heaps, card=Card(Region(*region)))


def test_a_card_is_no_patch():
    scene = ground(300, 480)
    lay_swatch(scene, light_of("#777777"), (20, 20, 80, 60))
    lay_swatch(scene, light_of("#1f3a5f"), (100, 120, 110, 90))
    lay_swatch(scene, light_of("#c0392b"), (300, 120, 110, 90))
    seen = photograph(scene, noise=2, gains=(1.1, 1, 0.8))
    assert [patch.number for patch in read_beads(seen, card=Card(Region(30, 30, 50, 30)))] == [1, 2]
    assert len(read_beads(seen).patches) == 3


def test_the_photograph_stays_as_it_was_and_results_cannot_change(two_heaps):
    before = two_heaps.copy()
    one, other = read_beads(two_heaps), read_beads(two_heaps)
    assert np.array_equal(two_heaps, before)
    assert [(patch.hex, patch.box, patch.spread) for patch in one] == [
        (patch.hex, patch.box, patch.spread) for patch in other
    ]
    with pytest.raises(ValueError, match="read-only"):
        one.labels[0, 0] = 1
    with pytest.raises(ValueError, match="read-only"):
        one.patches[0].lab[0] = 1


def test_12_megapixels_show_the_heaps_that_a_small_picture_shows(two_heaps):
    large = np.repeat(np.repeat(two_heaps, 9, axis=0), 9, axis=1)[:, :4400]
    reading = read_beads(large)
    small = read_beads(two_heaps[:, :488])
    assert len(reading.patches) == len(small.patches)
