from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from strategies import SIZES, bead_of

from convert.colouring.recolour import match_colours, swap_colours
from palettes.colour import Supply, colour_from_hex
from palettes.palette import Palette
from shared.ciede2000 import ciede2000
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.letters import letter_of


def made(name, srgb, sizes):
    return colour_from_hex(name, srgb, tuple(Supply(size) for size in sizes))


@pytest.fixture
def design():
    beads = (bead_of(0, 0), bead_of(0, 1), bead_of(1, 0), bead_of(2, 0), bead_of(2, 1), bead_of(2, 2))
    return Design("Cuff", Grid(7, 20), SIZES, beads, np.arange(70) ** 2 % 6)


def palette_of(seed, count, sizes=("cylinder 11/0", "round 11/0", "round 8/0")):
    codes = np.random.default_rng(seed).integers(0, 256, (count, 3)).astype(np.uint8)
    colours = [made(f"tint {place}", "#" + bytes(code).hex(), sizes) for place, code in enumerate(codes.tolist())]
    return Palette("Tints", tuple(colours))


def test_a_swap_changes_one_colour_in_all_its_sizes_and_nothing_else(design):
    kelp = made("kelp", "#3c5a2e", ("cylinder 11/0", "round 11/0"))
    new = swap_colours(design, {"A": kelp})
    assert [bead.name for bead in new.beads] == ["kelp", "kelp", *(bead.name for bead in design.beads[2:])]
    assert [bead.kind for bead in new.beads] == [bead.kind for bead in design.beads]
    assert np.array_equal(new.levels, design.levels)
    assert new.beads[2:] == design.beads[2:]


def test_a_swap_needs_letters_and_sizes_that_exist(design):
    kelp = made("kelp", "#3c5a2e", ("cylinder 11/0",))
    with pytest.raises(BadChoiceError, match=r"Q.* A, B, C"):
        swap_colours(design, {"Q": kelp})
    with pytest.raises(BadChoiceError, match=r"kelp.* round 11/0.* A11"):
        swap_colours(design, {"A": kelp})


@pytest.mark.parametrize("seed", range(12))
def test_a_match_is_the_best_of_all_that_keep_light_and_dark_in_order(design, seed):
    """Against every choice of three colours from the palette, tried one by one."""
    palette = palette_of(seed, 9)
    new = match_colours(design, palette)
    light_first = sorted({letter_of(b.kind): b.lab for b in design.beads}.items(), key=lambda item: item[1][0])
    weight = {
        letters: sum(n for b, n in zip(design.beads, design.counts, strict=True) if letter_of(b.kind) == letters)
        for letters, _ in light_first
    }

    def total(colours):
        return sum(
            weight[letters] * float(ciede2000(np.array(lab), np.array(colour.lab)))
            for (letters, lab), colour in zip(light_first, colours, strict=True)
        )

    best = min(total(sorted(three, key=lambda c: c.lab[0])) for three in combinations(palette.entries, 3))
    got = {letter_of(bead.kind): palette.find(bead.name) for bead in new.beads}
    assert total([got[letters] for letters, _ in light_first]) == pytest.approx(best)
    assert len(set(got.values())) == 3
    assert all(bead.source == "Tints" for bead in new.beads)


def test_a_match_takes_only_what_is_made_in_the_sizes(design):
    small = palette_of(3, 20, ("cylinder 11/0", "round 11/0"))
    with pytest.raises(BadChoiceError, match=r"Tints.* 3 colours"):
        match_colours(design, small)
    large = palette_of(4, 2)
    mixed = replace(small, entries=(*small.entries, *(replace(c, name=f"big {c.name}") for c in large.entries)))
    new = match_colours(design, mixed)
    assert next(bead.name for bead in new.beads if bead.kind == "C8").startswith("big")


def test_too_small_a_palette_is_refused(design):
    with pytest.raises(BadChoiceError, match="Tints"):
        match_colours(design, palette_of(1, 2))
