import runpy
from pathlib import Path

import numpy as np
import pytest
import webcolors
from skimage.color import rgb2lab

import palettes
from palettes.bundled import NAMES, load
from shared.beads import default_bead_sizes
from shared.errors import BadChoiceError

SIZES = default_bead_sizes()
FOLDER = Path(palettes.__file__).with_name("bundled")


def test_the_script_makes_the_files_that_are_there():
    script = Path(__file__).parents[2] / "samples" / "bundled_palettes.py"
    texts = runpy.run_path(str(script))["bundled_texts"]()
    assert sorted(texts) == sorted(path.name for path in FOLDER.iterdir()) == [f"{name}.csv" for name in NAMES]
    for name, text in texts.items():
        assert (FOLDER / name).read_bytes() == text.encode()


def test_the_broad_set_is_spread_evenly():
    """Every colour of sRGB (CIELAB by scikit-image) is within 22 Lab units of a bead; no two beads are within 15."""
    codes = load("coast").codes
    assert len(codes) == 120
    beads = rgb2lab(codes / 255)
    cube = np.stack(np.meshgrid(*[np.linspace(0, 1, 18)] * 3), axis=-1).reshape(-1, 3)
    to_bead = np.linalg.norm(rgb2lab(cube)[:, None] - beads, axis=2).min(axis=1)
    between = np.linalg.norm(beads[:, None] - beads, axis=2) + np.where(np.eye(120), np.inf, 0)
    assert to_bead.max() < 22
    assert between.min() > 15
    assert between.min(axis=1).max() < 28


def test_sizes_and_finishes():
    coast, half_tide, pebbles = (load(name) for name in NAMES)
    assert coast.exists(SIZES).all()
    assert pebbles.exists(SIZES).all()
    assert len(pebbles.entries) == 24
    assert {entry.finish for entry in pebbles.entries} == {"opaque"}
    cylinder, round_11, round_8, round_6 = half_tide.exists(SIZES).T
    assert cylinder.all()
    assert round_11.all()
    assert np.array_equal(round_8, round_6)
    assert round_8.sum() * 2 == len(round_8) == 40


@pytest.mark.parametrize("name", NAMES)
def test_names_are_plain_words_without_codes(name):
    for entry in load(name).entries:
        assert entry.name.replace(" ", "").isalpha()
        assert entry.name == entry.name.lower()
        assert not entry.supplies[0].code


@pytest.mark.parametrize("word", ["red", "green", "blue", "yellow"])
def test_a_colour_word_in_a_name_tells_the_hue(word):
    """Within 60° of the CIELAB hue of that word's colour in the W3C CSS Color Module Level 3."""
    meant = hue(np.array(webcolors.name_to_rgb("lime" if word == "green" else word)))
    named = [entry for name in NAMES for entry in load(name).entries if word in entry.name.split()]
    assert named
    for entry in named:
        turn = hue(np.array(webcolors.hex_to_rgb(entry.srgb))) - meant
        assert abs((turn + 180) % 360 - 180) < 60, entry.name


def hue(codes):
    _, a, b = rgb2lab(codes / 255)
    return np.degrees(np.arctan2(b, a))


def test_an_unknown_palette_is_refused():
    with pytest.raises(BadChoiceError, match="coast"):
        load("sea")
