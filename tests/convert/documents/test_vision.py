import warnings
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from convert.documents.colour_review.vision import (
    DEFICIENT,
    FULL,
    TOO_CLOSE,
    VISIONS,
    confusable_pairs,
    seen_codes,
    seen_linear,
)
from shared.beads import default_bead_sizes
from shared.colour import hex_from_codes, lab_from_codes
from shared.design import Bead, Design
from shared.grid import Grid
from shared.letters import letters_at

with warnings.catch_warnings():
    # The reference library colour-science speaks of parts that are not installed and not needed here.
    warnings.simplefilter("ignore")
    import colour

KINDS = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}

# What pure colours look like, from the published matrices in linear light, clipped and encoded: worked out with
# colour-science 0.4.7, matrix_cvd_Machado2009 at severity 1.
SEEN = {
    (255, 0, 0): ((109, 95, 0), (163, 144, 0), (255, 0, 15)),
    (0, 255, 0): ((255, 229, 0), (239, 214, 58), (0, 247, 217)),
    (0, 0, 255): ((0, 89, 255), (0, 61, 251), (0, 107, 150)),
    (255, 255, 0): ((255, 244, 0), (255, 250, 49), (255, 238, 217)),
    (128, 128, 128): ((128, 128, 128),) * 3,
}


@pytest.mark.parametrize("vision", DEFICIENT, ids=lambda vision: vision.word)
def test_matrices_are_the_published_ones(vision):
    """Machado, Oliveira and Fernandes 2009, severity 1.0, as colour-science holds them."""
    assert np.allclose(vision.matrix, machado(vision), atol=5e-7)


@pytest.mark.parametrize("codes", SEEN)
def test_pure_colours_look_as_published(codes):
    seen = [tuple(seen_codes(np.array([codes], dtype=np.uint8), vision)[0].tolist()) for vision in DEFICIENT]
    assert tuple(seen) == SEEN[codes]


def design_of(codes, sizes=("cylinder 11/0",)):
    """Each colour in some sizes, one bead of each; of a single kind two, as a work has at least."""
    bead_sizes = default_bead_sizes()
    beads = tuple(
        Bead(
            letters_at(place) + bead_sizes.marks[bead_sizes.level_of[size]],
            size,
            hex_from_codes(row),
            tuple(lab),
            "colour",
        )
        for place, (row, lab) in enumerate(zip(codes, lab_from_codes(codes).tolist(), strict=True))
        for size in sizes
    )
    grid = Grid(max(2, len(beads)), 2)
    return Design("Shells", grid, bead_sizes, beads, np.arange(grid.count) % len(beads))


palettes = st.lists(st.tuples(*[st.integers(0, 255)] * 3), min_size=1, max_size=8, unique=True).map(
    lambda rows: np.array(rows, dtype=np.uint8)
)


@settings(max_examples=25)
@given(palettes)
def test_pairs_are_those_that_another_library_finds(codes):
    """CIEDE2000 and the simulation by colour-science, D65."""
    found = {
        (pair.first, pair.second, pair.vision.word): pair.difference for pair in confusable_pairs(design_of(codes))
    }
    for vision in VISIONS:
        differences = seen_differences(codes, vision)
        for i, j in combinations(range(len(codes)), 2):
            name = (letters_at(i), letters_at(j), vision.word)
            for_all = (*name[:2], "full") in found and vision is not FULL
            if name in found:
                assert found[name] == pytest.approx(differences[i, j], abs=0.01)
            if abs(differences[i, j] - TOO_CLOSE) > 0.01:
                assert (name in found) == (differences[i, j] < TOO_CLOSE and not for_all)


def seen_differences(codes, vision):
    """CIEDE2000 between colours as they are seen, shape (colours, colours)."""
    matrix = np.eye(3) if vision is FULL else machado(vision)
    seen = np.clip(colour.models.eotf_sRGB(codes / 255) @ matrix.T, 0, 1)
    xyz = seen @ colour.models.RGB_COLOURSPACE_sRGB.matrix_RGB_to_XYZ.T
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    labs = colour.XYZ_to_Lab(xyz, white)
    return colour.delta_E(labs[:, None], labs[None], method="CIE 2000")


def machado(vision):
    """The published matrix of the whole lack of a cone, as colour-science holds it."""
    with warnings.catch_warnings():
        # It warns that for tritan the model is an approximation, as its authors say.
        warnings.simplefilter("ignore")
        return colour.matrix_cvd_Machado2009(KINDS[vision.word], 1.0)


def test_red_and_green_of_one_lightness_are_named_for_those_who_confuse_them():
    red_and_olive = np.array([[163, 60, 0], [112, 94, 0], [240, 240, 255]], dtype=np.uint8)
    pairs = confusable_pairs(design_of(red_and_olive))
    assert {(pair.first, pair.second) for pair in pairs} == {("A", "B")}
    assert "full" not in {pair.vision.word for pair in pairs}


def test_sizes_of_one_colour_are_no_pair():
    assert confusable_pairs(design_of(np.array([[10, 90, 130]], dtype=np.uint8), ("cylinder 11/0", "round 8/0"))) == ()


def test_greys_stay_grey_and_light_stays_in_range():
    greys = np.repeat(np.arange(256, dtype=np.uint8)[:, None], 3, axis=1)
    every = np.random.default_rng(1).integers(0, 256, (500, 3)).astype(np.uint8)
    for vision in VISIONS:
        assert np.array_equal(seen_codes(greys, vision), greys)
        assert 0 <= seen_linear(every, vision).min() <= seen_linear(every, vision).max() <= 1
    assert np.array_equal(seen_codes(every, FULL), every)
