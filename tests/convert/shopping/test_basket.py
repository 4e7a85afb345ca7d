"""What to buy: kits, packs, and what is at hand; no rounding gives less than needed."""

import csv
import io
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import LADDER, bead_of, designs

from convert.documents.kit_labels import labels_page
from convert.shopping.kits import basket, basket_csv, kits_csv
from convert.shopping.pack_words import parse_pack, with_chosen
from convert.shopping.packs import Pack, no_packs
from convert.shopping.shopping import shopping_list
from convert.shopping.stash import at_hand
from palettes.colour import Supply, colour_from_hex
from palettes.palette import Palette
from shared.design import Design
from shared.errors import BadChoiceError, HummockError
from shared.grid import Grid

PER_GRAM = {"cylinder 11/0": 200, "round 11/0": 110, "round 8/0": 36, "round 6/0": 14}
SPARE = st.sampled_from([0, 5, 7.5, 10, 33.3, 100])
WORKS = st.integers(1, 40)
GRAMS = st.decimals(0, 20, places=2, allow_nan=False).map(Fraction)
PACK_GRAMS = st.sampled_from([0.7, 5, 7.5, 10, 28.35])


def table(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


@given(designs(), SPARE, WORKS, PACK_GRAMS, st.data())
def test_what_is_bought_and_at_hand_fills_every_bag(design, spare, works, pack_grams, data):
    hand = {bead.kind: data.draw(GRAMS) for bead in design.beads if data.draw(st.booleans())}
    pack = Pack(pack_grams, 2.5)
    items = basket(design, spare_percent=spare, works=works, pack_of=lambda _b: pack, hand_grams=hand)
    for item, count in zip(items, design.counts.tolist(), strict=True):
        assert item.bag >= count * (1 + Fraction(str(spare)) / 100)
        weight = Fraction(item.bag, PER_GRAM[item.bead.size])
        assert Fraction(item.bag_centigrams, 100) >= weight
        have = hand.get(item.bead.kind, Fraction(0))
        assert item.on_hand <= have * PER_GRAM[item.bead.size]
        assert item.on_hand + item.to_buy >= works * item.bag
        bought = item.packs * Fraction(str(pack_grams))
        assert bought >= Fraction(item.buy_centigrams, 100)
        assert have + bought >= works * weight
        assert bought * PER_GRAM[item.bead.size] >= item.to_buy
        if works > 1:
            assert have + bought >= works * Fraction(item.bag_centigrams, 100)
        assert bought - Fraction(str(pack_grams)) < Fraction(max(item.buy_centigrams, 1), 100)
        assert item.cost == item.packs * Fraction("2.5")


@given(designs(), SPARE, WORKS)
def test_totals_add_up_over_rows_and_kits(design, spare, works):
    one, many = (basket(design, spare_percent=spare, works=count) for count in (1, works))
    rows = [
        sum(
            cell == place for row in range(1, design.grid.rows + 1) for cell in design.cells[design.grid.row_slice(row)]
        )
        for place in range(len(design.beads))
    ]
    assert [item.needed for item in many] == rows
    for alone, kit in zip(one, many, strict=True):
        assert (kit.total, kit.total_centigrams) == (works * alone.total, works * alone.total_centigrams)
    lines = table(basket_csv(many))
    assert sum(int(line["count"]) for line in lines) == works * design.grid.count
    bags = table(kits_csv(many))
    for line, bag in zip(lines, bags, strict=True):
        assert int(line["with spare"]) == works * int(bag["in each bag"]) == int(bag["beads"])
        assert Fraction(line["grams"]) == works * Fraction(bag["grams each bag"]) == Fraction(bag["grams"])


@given(designs(most_rows=14), SPARE)
def test_a_design_twice_as_long_takes_twice_as_much(design, spare):
    """Beads double; what is rounded up per bead doubles to less than two hundredths of a gram and one spare bead."""
    rows = design.grid.rows + design.grid.rows % 2
    even = Design(
        "Tide",
        replace(design.grid, rows=rows),
        LADDER,
        design.beads,
        np.resize(design.cells, rows * design.grid.columns // 2),
    )
    double = replace(even, grid=replace(even.grid, rows=2 * rows), cells=np.tile(even.cells, 2))
    for one, two in zip(basket(even, spare_percent=spare), basket(double, spare_percent=spare), strict=True):
        assert two.needed == 2 * one.needed
        assert 2 * one.bag - 1 <= two.bag <= 2 * one.bag
        assert two.bag_centigrams <= 2 * one.bag_centigrams
    assert [i.bag for i in basket(double, spare_percent=0)] == [2 * i.bag for i in basket(even, spare_percent=0)]


def test_a_single_work_costs_what_the_design_list_says():
    grid = Grid(10, 80)
    design = Design("Tide", grid, LADDER, (bead_of(0, 0), bead_of(1, 2)), (np.arange(grid.count) % 3 == 0).astype(int))
    for item, line in zip(basket(design, spare_percent=10), shopping_list(design, spare_percent=10), strict=True):
        assert (item.total, item.buy_centigrams) == (line.with_spare, line.centigrams)


def test_packs_are_chosen_by_size_and_keep_a_price_of_the_same_weight():
    known = lambda bead: Pack(10.0, 3.2) if bead.size == "cylinder 11/0" else None  # noqa: E731
    find = with_chosen([parse_pack("10 g"), parse_pack("8=20g")], known, LADDER)
    assert [find(bead_of(0, level)) for level in range(3)] == [Pack(10, 3.2), Pack(10, None), Pack(20, None)]
    assert with_chosen([], no_packs, LADDER)(bead_of(0, 0)) is None


@pytest.mark.parametrize("words", ["", "g", "0g", "ten", "8=", "8/0 20g", "-5g", "10kg", "9q=10g"])
def test_a_bad_pack_says_how_to_write_it(words):
    with pytest.raises(HummockError, match=r"write|is no size"):
        parse_pack(words)


@pytest.mark.parametrize("packs", [["5=10g"], ["10g", "5g"], ["8=5g", "8=6g"]])
def test_packs_that_contradict_or_fit_nothing_are_refused(packs):
    with pytest.raises(BadChoiceError, match=r"lacks|two packs"):
        with_chosen([parse_pack(words) for words in packs], no_packs, LADDER)


def stash(*lines):
    return Palette("my tins", tuple(colour_from_hex(name, srgb, made) for name, srgb, *made in lines))


def work(**changes):
    bead = replace(bead_of(0, 0), **{"source": "my tins", "name": "wet slate", **changes})
    grid = Grid(4, 10)
    return Design("Tide", grid, LADDER, (bead,), np.zeros(grid.count, dtype=int))


def test_beads_at_hand_are_found_by_name_and_size_and_taken_off():
    tins = stash(("Wet Slate", "#123456", Supply("cylinder 11/0", grams=0.054), Supply("round 8/0", grams=9)))
    hand = at_hand(work(), tins)
    assert hand.grams == {"A": Fraction("0.054")}
    (item,) = basket(work(), spare_percent=0, hand_grams=hand.grams)
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
    hand = at_hand(design, tins)
    assert not hand.grams
    assert any(words in note for note in hand.notes)


def test_labels_name_every_bag_in_words():
    design = work()
    items = basket(design, spare_percent=10, works=25)
    page = labels_page('Tide <b>"pool"</b>', items, paper="letter")
    assert page.count('<article class="label">') == 25
    assert page.count('<section class="page"') == 2
    assert "Kit 25 of 25" in page
    assert "<b>" not in page
    assert page.count(f"{items[0].bag} beads") == 25
    assert page.count('<p class="name">wet slate</p><p>cylinder 11/0</p>') == 25
    assert "215.9mm 279.4mm" in page
    assert "http" not in page.replace("http-equiv", "")
