"""Heaps of shaded, glossy beads with shadows: the colour read at a point is that of the drawn beads."""

from functools import cache

import numpy as np
import pytest
from bead_photographs import ground, lay_swatch, light_of, light_of_a_lamp, photograph, pour_heap, wood

from palettes.photo_beads import bead_colour, read_spot, read_spots
from palettes.photo_light import CARD, PAPER, Region, find_light
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes

COLOURS = ("#1f3a5f", "#7fa8b8", "#d8c7a0", "#c0392b", "#f5f2ea", "#202020", "#5a7d3a", "#e0a030", "#808080", "#6a3d7c")
POINTS = [(90 + 150 * (place % 5), 110 + 200 * (place // 5)) for place in range(10)]
DRAWN = lab_from_codes(np.array([codes_from_hex(colour) for colour in COLOURS]))
ON_PAPER, ON_CARD = (Region(390, 8, 40, 30), PAPER), (Region(310, 8, 40, 30), CARD)


@cache
def ten_heaps(*, on_wood, **beads):
    scene = wood(420, 800) if on_wood else ground(420, 800)
    for seed, (colour, (x, y)) in enumerate(zip(COLOURS, POINTS, strict=True)):
        pour_heap(scene, [colour], x, y, 60, seed=seed, **beads)
    lay_swatch(scene, np.full(3, 0.876), (380, 2, 60, 44))
    lay_swatch(scene, np.full(3, 0.184), (300, 2, 60, 44))
    return scene


def differences(spots):
    return ciede2000(np.array([spot.lab for spot in spots]), DRAWN)


BEADS = (
    {"on_wood": False, "kind": "ball", "bead": 7, "gloss": 0.7},
    {"on_wood": True, "kind": "cylinder", "bead": 12, "gloss": 0.6},
)


@pytest.mark.parametrize(
    ("beads", "reference"),
    [(BEADS[0], ON_PAPER), (BEADS[1], ON_CARD)],
    ids=["balls by paper", "cylinders on wood by a card"],
)
@pytest.mark.parametrize(
    "how",
    [{}, {"gains": (0.5,) * 3}, {"gains": (0.25,) * 3}, {"gains": (0.96, 0.8, 0.5)}, {"lamp": True}],
    ids=["even", "half exposure", "quarter exposure", "tinted", "lamp"],
)
def test_beads_keep_their_colour(how, beads, reference):
    """Albedo of the drawn beads against what is read; shade and glints are the drawing's, by Lambert and Blinn."""
    scene = ten_heaps(**beads)
    seen = photograph(
        light_of_a_lamp(scene) if how.get("lamp") else scene, gains=how.get("gains", (0.92,) * 3), noise=3
    )
    spots, _ = read_spots(seen, POINTS, find_light(seen, *reference))
    assert np.median(differences(spots)) <= 4
    assert differences(spots).max() <= 10
    assert all(5 <= spot.radius <= 80 and spot.spread < 15 for spot in spots)


def test_the_plain_mean_would_be_worse():
    """Shows what leaving out shade and glints is good for."""
    seen = photograph(ten_heaps(**BEADS[0]), noise=3)
    spots, _ = read_spots(seen, POINTS, find_light(seen, *ON_PAPER))
    plain = [lab_from_codes(seen[s.y - 30 : s.y + 30, s.x - 30 : s.x + 30]).mean(axis=(0, 1)) for s in spots]
    assert np.median(differences(spots)) < 0.5 * np.median(ciede2000(np.array(plain), DRAWN))


def test_a_point_off_the_middle_of_a_heap_and_a_large_photograph_give_the_same_colours():
    seen = photograph(ten_heaps(**BEADS[0]), noise=3)
    light = find_light(seen, *ON_PAPER)
    aside, _ = read_spots(seen, [(x + 35, y - 15) for x, y in POINTS], light)
    assert np.median(differences(aside)) <= 4.5
    assert max(spot.radius for spot in aside) < 60
    large = np.repeat(np.repeat(seen, 4, axis=0), 4, axis=1)
    light = find_light(large, Region(*(4 * side for side in ON_PAPER[0])))
    spot = read_spot(large, (4 * 90, 4 * 110), light)
    assert ciede2000(spot.lab, read_spot(seen, (90, 110), find_light(seen, *ON_PAPER)).lab) < 1


def test_two_points_on_one_heap_and_mixed_beads_are_told():
    scene = ground(300, 900)
    for colours, x in ((["#1f3a5f"], 130), (["#c0392b"], 275), (["#6a3d7c", "#e0a030"], 440), (["#c0392b"], 700)):
        pour_heap(scene, colours, x, 150, 70, bead=5, seed=x)
    seen = photograph(scene, noise=2)
    points = [(130, 150), (275, 150), (110, 130), (440, 150), (700, 150)]
    _, cautions = read_spots(seen, points, find_light(seen, None))
    told = [caution.told for caution in cautions if caution.kind in ("mixed", "shared")]
    assert [[int(word) for word in words.replace(";", "").split() if word.isdigit()] for words in told] == [[4], [1, 3]]


def test_an_even_swatch_is_its_mean_and_wild_pixels_do_not_count():
    rng = np.random.default_rng(6)
    swatch = np.array([0.2, 0.1, 0.05]) * (1 + 0.02 * rng.standard_normal((4000, 1)))
    assert bead_colour(swatch) == pytest.approx([0.2, 0.1, 0.05], rel=0.003)
    swatch[:200], swatch[200:400] = 1.0, 0.0
    assert bead_colour(swatch) == pytest.approx([0.2, 0.1, 0.05], rel=0.01)


def test_touching_swatches_do_not_mix():
    scene = ground(300, 500, "#90a090")
    for place, colour in enumerate(["#f0f0f0", "#c8c8c8", "#707070", "#303030"]):
        lay_swatch(scene, light_of(colour), (60 + 90 * place, 80, 90, 120))
    seen = photograph(scene, noise=3)
    spots, _ = read_spots(seen, [(105 + 90 * place, 140) for place in range(4)], find_light(seen, None))
    assert [round(float(spot.lab[0])) for spot in spots] == [95, 81, 47, 20]
    assert all(spot.spread < 4 for spot in spots)
    white = read_spot(seen, (105, 140), find_light(seen, Region(340, 90, 60, 100)))
    assert white.lab == pytest.approx([100, 0, 0], abs=0.1)
