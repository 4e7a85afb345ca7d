"""Names against what others published, and against their own sense: colours called alike lie round their centre."""

import time

import numpy as np
import pytest
from bead_photographs import D65, chart_lab, science

from palettes.colour_names import describe, numbered
from shared.colour import codes_from_hex, lab_from_codes, oklab_from_linear

# What the chart calls its patches, in the order of tests/reference/chart_24_patches.csv, and the ISCC-NBS name printed
# with each when the chart was first described (1976). The file has the former; the latter are from memory. Behind them
# are the words of ours that are taken to say the same: a bead shop has no "moderate reddish purple".
PATCHES = [
    ("dark skin", "moderate brown", {"brown"}),
    ("light skin", "light reddish brown", {"tan", "light brown"}),
    ("blue sky", "moderate blue", {"blue", "soft blue"}),
    ("foliage", "moderate olive green", {"olive green"}),
    ("blue flower", "light violet", {"light violet", "lavender"}),
    ("bluish green", "light bluish green", {"light sea green", "turquoise"}),
    ("orange", "strong orange", {"orange", "vivid orange"}),
    ("purplish blue", "strong purplish blue", {"violet blue"}),
    ("moderate red", "moderate red", {"red", "soft red"}),
    ("purple", "deep purple", {"deep purple"}),
    ("yellow green", "strong yellow green", {"yellow green", "vivid yellow green"}),
    ("orange yellow", "strong orange yellow", {"amber"}),
    ("blue", "vivid purplish blue", {"deep blue", "deep violet blue"}),
    ("green", "strong yellowish green", {"green", "vivid green"}),
    ("red", "strong red", {"red", "vivid red"}),
    ("yellow", "vivid yellow", {"vivid yellow"}),
    ("magenta", "strong reddish purple", {"magenta"}),
    ("cyan", "strong greenish blue", {"teal", "vivid teal"}),
    ("white", "white", {"white"}),
    ("neutral 8", "light gray", {"light grey"}),
    ("neutral 6.5", "light-medium gray", {"light grey", "grey"}),
    ("neutral 5", "medium gray", {"grey"}),
    ("neutral 3.5", "dark gray", {"dark grey"}),
    ("black", "black", {"black"}),
]


def codes(*colours):
    return np.stack([codes_from_hex(colour) for colour in colours])


def plain(colours):
    """The names of colours, each as if it were alone in its work."""
    return [name.partition(",")[0].rstrip(" 0123456789") for name in describe(colours)]


def test_the_patches_of_the_colour_chart_have_the_names_published_with_them():
    linear = science.XYZ_to_sRGB(science.Lab_to_XYZ(chart_lab(), D65))
    names = plain(np.rint(255 * linear.clip(0, 1)).astype(np.uint8))
    assert [name for name, (*_, agreed) in zip(names, PATCHES, strict=True) if name not in agreed] == []


@pytest.mark.parametrize(
    ("colour", "name"),
    [
        ("#1f5f6b", "deep teal"),
        ("#a3312a", "brick red"),
        ("#47291f", "dark brown"),
        ("#c58a2e", "ochre"),
        ("#0a0c1a", "blue black"),
        ("#fbf6e9", "ivory"),
        ("#ff7f50", "coral"),
        ("#708090", "light slate"),
    ],
)
def test_a_colour_that_one_buys_has_the_word_by_which_one_asks_for_it(colour, name):
    assert describe(codes(colour)) == (name,)


def test_the_centre_of_all_colours_of_a_name_has_that_name():
    """The mean in CIELAB, in which no boundary was drawn: what is called alike lies together, and round the middle."""
    steps = np.arange(0, 256, 5, dtype=np.uint8)
    every = np.stack(np.meshgrid(steps, steps, steps), axis=-1).reshape(-1, 3)
    words, kinds = np.unique(plain(every), return_inverse=True)
    lab = lab_from_codes(every)
    means = np.stack([np.bincount(kinds, lab[:, axis]) / np.bincount(kinds) for axis in range(3)], axis=-1)
    centres = np.rint(255 * science.XYZ_to_sRGB(science.Lab_to_XYZ(means, D65)).clip(0, 1)).astype(np.uint8)
    assert len(words) > 180
    assert [pair for pair in zip(words, plain(centres), strict=True) if pair[0] != pair[1]] == []


def test_names_that_come_again_say_how_they_differ():
    assert describe(codes("#1f5f6b", "#a3312a", "#18505b", "#277180", "#1f5f6b", "#285b64")) == (
        "deep teal",
        "brick red",
        "deep teal, darker",
        "teal",
        "deep teal 2",
        "deep teal, greyer",
    )


def test_names_are_unique_short_and_quick_for_any_colours():
    colours = np.random.default_rng(3).integers(0, 256, (10_000, 3)).astype(np.uint8)
    start = time.process_time()
    names = describe(colours)
    took = time.process_time() - start
    assert len(set(names)) == len(names)
    assert max(map(len, names)) <= 36
    assert took < 0.25  # 0.05 s on two cores with nothing else to do
    assert describe(colours) == names


def test_a_number_never_makes_a_name_that_is_taken():
    assert numbered(["sea", "sea 2", "Sea", "sea"], taken=["SEA 3"]) == ("sea", "sea 2", "Sea 4", "sea 5")


def test_oklab_is_that_of_the_reference_library():
    colours = np.random.default_rng(1).random((50, 3))
    reference = science.XYZ_to_Oklab(science.sRGB_to_XYZ(science.cctf_encoding(colours)))
    assert np.abs(oklab_from_linear(colours) - reference).max() < 5e-4
