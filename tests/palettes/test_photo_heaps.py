"""Heaps of shaded, glossy beads with shadows: their colours, and where one ends and the next begins."""

from functools import cache

import numpy as np
import pytest
from bead_photographs import ground, lay_swatch, light_of, photograph, pour_heap

from palettes.photo.read import read_beads
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes

COLOURS = (
    ("#1f3a5f", "#7fa8b8", "#d8c7a0", "#c0392b", "#f5f2ea"),
    ("#202020", "#5a7d3a", "#e0a030", "#808080", "#6a3d7c"),
)


def lab(colour):
    return lab_from_codes(codes_from_hex(colour))


@cache
def ten_heaps(**beads):
    scene = ground(420, 800)
    for row, colours in enumerate(COLOURS):
        for column, colour in enumerate(colours):
            pour_heap(scene, [colour], 90 + 150 * column, 110 + 200 * row, 60, seed=5 * row + column, **beads)
    return photograph(scene, noise=3, blur=0.7)


@pytest.mark.parametrize(
    ("kind", "bead", "gloss"), [("ball", 7, 0.7), ("ball", 12, 0.2), ("cylinder", 5, 0.3), ("cylinder", 12, 0.6)]
)
def test_beads_keep_their_colour(kind, bead, gloss):
    """Albedo of the drawn beads against what is read; shade and glints are the drawing's, by Lambert and Blinn."""
    reading = read_beads(ten_heaps(kind=kind, bead=bead, gloss=gloss))
    assert len(reading.patches) == 10
    drawn = np.array([lab(colour) for row in COLOURS for colour in row])
    found = ciede2000(np.array([patch.lab for patch in reading]), drawn)
    assert np.median(found) <= 4.5
    assert found.max() <= 9


def test_the_plain_mean_would_be_worse():
    """Shows what leaving out shade and glints is good for."""
    seen = ten_heaps(kind="ball", bead=7, gloss=0.7)
    reading = read_beads(seen)
    drawn = np.array([lab(colour) for row in COLOURS for colour in row])
    labels = np.repeat(np.repeat(reading.labels, reading.step, 0), reading.step, 1)
    inside = [
        lab_from_codes(seen[: labels.shape[0], : labels.shape[1]][labels == n]).mean(axis=0) for n in range(1, 11)
    ]
    ours = ciede2000(np.array([patch.lab for patch in reading]), drawn)
    assert np.median(ours) < 0.6 * np.median(ciede2000(np.array(inside), drawn))


def test_touching_heaps_part_by_colour_and_a_heap_stays_one():
    scene = ground(300, 900, "#dcd8d0")
    for colour, x, y in (("#1f3a5f", 150, 150), ("#c0392b", 265, 160), ("#5a7d3a", 560, 150), ("#7fa8b8", 650, 190)):
        pour_heap(scene, [colour], x, y, 70, bead=6, seed=x, kind="cylinder")
    lay_swatch(scene, light_of("#a04070"), (760, 90, 40, 150))
    lay_swatch(scene, light_of("#e0c050"), (800, 90, 40, 150))
    reading = read_beads(photograph(scene, noise=3, blur=0.7))
    expected = ["#1f3a5f", "#c0392b", "#5a7d3a", "#7fa8b8", "#a04070", "#e0c050"]
    assert len(reading.patches) == 6
    for patch, colour in zip(reading, expected, strict=True):
        assert ciede2000(patch.lab, lab(colour)) < 7


def test_touching_swatches_that_differ_in_lightness_alone_stay_apart():
    scene = ground(300, 500, "#90a090")
    for place, colour in enumerate(["#f0f0f0", "#c8c8c8", "#707070", "#303030"]):
        lay_swatch(scene, light_of(colour), (60 + 90 * place, 80, 90, 120))
    assert [patch.box.x // 90 for patch in read_beads(photograph(scene, noise=3, blur=1))] == [0, 1, 2, 3]


def test_white_beads_on_white_paper_are_found_by_their_texture():
    scene = ground(300, 480, "#dcdcdc")
    pour_heap(scene, ["#e8e4da"], 130, 150, 70, bead=6)
    pour_heap(scene, ["#506a30"], 340, 150, 70, bead=6)
    reading = read_beads(photograph(scene, noise=2, blur=0.7))
    white, green = reading.patches
    assert 0.7 < white.pixels / green.pixels < 1.4
    assert white.lab[0] > 80


def test_dust_stray_beads_and_threads_are_left_out_and_said():
    scene = ground(400, 600)
    pour_heap(scene, ["#1f3a5f"], 150, 180, 70, bead=6)
    pour_heap(scene, ["#c0392b"], 400, 180, 70, bead=6)
    pour_heap(scene, ["#404040"], 300, 340, 8, bead=5)
    lay_swatch(scene, light_of("#303030"), (500, 330, 3, 3))
    lay_swatch(scene, light_of("#303030"), (540, 260, 2, 90))
    reading = read_beads(photograph(scene, noise=3, blur=0.5))
    assert len(reading.patches) == 2
    assert any("dust or stray beads" in notice for notice in reading.notices)


def test_mixed_beads_make_one_patch_and_a_notice():
    scene = ground(300, 600)
    pour_heap(scene, ["#6a3d7c", "#e0a030"], 160, 150, 64, bead=4)
    pour_heap(scene, ["#506a30"], 440, 150, 60, bead=4)
    reading = read_beads(photograph(scene, noise=3, blur=0.5))
    assert len(reading.patches) == 2
    assert sum("patch 1 holds beads of several colours" in notice for notice in reading.notices) == 1
    assert not any("patch 2" in notice for notice in reading.notices)


def test_a_sheet_on_a_table_and_a_tray_are_no_beads():
    scene = ground(300, 420)
    scene[:, :24] = light_of("#402818")
    scene[:18] = light_of("#402818")
    lay_swatch(scene, light_of("#181818"), (198, 72, 192, 192))
    for place, colour in enumerate(["#1f8ab8", "#c0392b", "#e0a030", "#5a7d3a"]):
        down, across = divmod(place, 2)
        lay_swatch(scene, light_of(colour), (216 + 90 * across, 90 + 90 * down, 66, 66))
    lay_swatch(scene, light_of("#f0e8d0"), (72, 120, 72, 72))
    reading = read_beads(photograph(scene, noise=3, blur=1))
    assert len(reading.patches) == 5
    assert any("surroundings" in notice for notice in reading.notices)
    assert any("frame or tray" in notice for notice in reading.notices)
