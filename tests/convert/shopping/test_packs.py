"""Packs that are chosen, and beads that are at hand."""

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from strategies import SIZES, bead_of

from convert.documents.kit_labels import labels_page
from convert.shopping.packs import Pack, choose_packs, no_packs, parse_pack
from convert.shopping.shopping_list import shopping_list
from convert.shopping.stash import find_at_hand
from palettes.colour import Supply, colour_from_hex
from palettes.palette import Palette
from shared.design import Design
from shared.errors import BadChoiceError, HummockError
from shared.grid import Grid


def test_packs_are_chosen_by_size_and_keep_a_price_of_the_same_weight():
    known = lambda bead: Pack(10.0, 3.2) if bead.size == "cylinder 11/0" else None  # noqa: E731
    find = choose_packs([parse_pack("10 g"), parse_pack("8=20g")], known, SIZES)
    assert [find(bead_of(0, level)) for level in range(3)] == [Pack(10, 3.2), Pack(10, None), Pack(20, None)]
    assert choose_packs([], no_packs, SIZES)(bead_of(0, 0)) is None


@pytest.mark.parametrize("words", ["", "g", "0g", "ten", "8=", "8/0 20g", "-5g", "10kg", "9q=10g"])
def test_a_bad_pack_is_refused(words):
    with pytest.raises(HummockError):
        parse_pack(words)


@pytest.mark.parametrize(
    ("packs", "size"), [(["5=10g"], "round 5/0"), (["10g", "5g"], "all sizes"), (["8=5g", "8=6g"], "round 8/0")]
)
def test_packs_that_contradict_or_fit_nothing_are_refused(packs, size):
    with pytest.raises(BadChoiceError, match=size):
        choose_packs([parse_pack(words) for words in packs], no_packs, SIZES)


def stash(*lines):
    return Palette("my tins", tuple(colour_from_hex(name, srgb, made) for name, srgb, *made in lines))


def work(**changes):
    bead = replace(bead_of(0, 0), **{"source": "my tins", "name": "wet slate", **changes})
    grid = Grid(4, 10)
    return Design("Tide", grid, SIZES, (bead,), np.zeros(grid.count, dtype=int))


def test_beads_at_hand_are_found_by_name_and_size_and_taken_off():
    tins = stash(("Wet Slate", "#123456", Supply("cylinder 11/0", grams=0.054), Supply("round 8/0", grams=9)))
    hand = find_at_hand(work(), tins)
    assert hand.grams == {"A": Fraction("0.054")}
    (item,) = shopping_list(work(), spare_percent=0, hand_grams=hand.grams)
    assert (item.on_hand, item.to_buy, item.buy_centigrams) == (10, 10, 5)


@pytest.mark.parametrize(
    ("tins", "design", "words"),
    [
        (stash(("sand", "#123456", Supply("cylinder 11/0", grams=5))), work(), "holds no bead of this design"),
        (stash(("wet slate", "#123456", Supply("round 8/0", grams=5))), work(), "holds no bead of this design"),
        (stash(("wet slate", "#123456", Supply("all", grams=5))), work(), "for all sizes together"),
        (stash(("wet slate", "#123456", Supply("cylinder 11/0", grams=5))), work(source=""), "holds no bead"),
    ],
)
def test_what_is_no_bead_of_the_design_is_not_taken_off(tins, design, words):
    hand = find_at_hand(design, tins)
    assert not hand.grams
    assert any(words in note for note in hand.notes)


def test_labels_name_every_bag_in_words():
    design = work()
    items = shopping_list(design, spare_percent=10, works=25)
    page = labels_page('Tide <b>"pool"</b>', items, paper="letter")
    assert page.count('<article class="label">') == 25
    assert page.count('<section class="page"') == 2
    assert "Kit 25 of 25" in page
    assert "<b>" not in page
    assert page.count(f"{items[0].with_spare} beads") == 25
    assert page.count('<p class="name">wet slate</p><p>cylinder 11/0</p>') == 25
    assert "215.9mm 279.4mm" in page
    assert "http" not in page.replace("http-equiv", "")
