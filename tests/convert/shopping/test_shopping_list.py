import csv
import io
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SIZES, bead_of, designs

from convert.shopping.choices import check_spare
from convert.shopping.packs import Pack
from convert.shopping.shopping_list import Purchase, beads_csv, kits_csv, shopping_csv, shopping_list
from shared.beads import BeadSize, BeadSizes
from shared.design import Bead, Design
from shared.errors import BadChoiceError
from shared.grid import Grid

PER_GRAM = {"cylinder 11/0": 200, "round 11/0": 110, "round 8/0": 36, "round 6/0": 14}
"""Trade figures that agree in several tables (see the bead sizes file)."""

SPARE = st.decimals(0, 1000, allow_nan=False, places=2).map(float)
WORKS = st.integers(1, 40)
GRAMS = st.decimals(0, 20, places=2, allow_nan=False).map(Fraction)
PACK_GRAMS = st.sampled_from([0.7, 5, 7.5, 10, 28.35])


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


def design_of(counts):
    """A design of two columns, a bead to a row, in which the n-th kind of bead is used so many times."""
    kinds = tuple(bead_of(colour, level) for (colour, level) in counts)
    cells = np.repeat(np.arange(len(kinds)), list(counts.values()))
    return Design("Tide pool", Grid(2, len(cells)), SIZES, kinds, cells)


@given(designs(), SPARE)
def test_spare_is_rounded_up_exactly(design, spare_percent):
    """The least whole number that is not under count x (1 + spare / 100), in fractions, and none too many."""
    factor = 1 + Fraction(str(spare_percent)) / 100
    for purchase in shopping_list(design, spare_percent=spare_percent):
        assert purchase.with_spare >= purchase.needed * factor
        assert purchase.with_spare - 1 < purchase.needed * factor


@given(designs(), SPARE)
def test_grams_come_from_the_bead_table_and_are_rounded_up_to_a_hundredth(design, spare_percent):
    for purchase in shopping_list(design, spare_percent=spare_percent):
        exact = Fraction(purchase.with_spare, PER_GRAM[purchase.bead.size])
        assert Fraction(purchase.grams) >= exact
        assert Fraction(purchase.grams) - Fraction(1, 100) < exact
        assert purchase.grams.split(".")[1].isdigit()
        assert len(purchase.grams.split(".")[1]) == 2


@given(designs(), SPARE)
def test_the_list_adds_up_to_the_design(design, spare_percent):
    purchases = shopping_list(design, spare_percent=spare_percent)
    assert [purchase.bead for purchase in purchases] == list(design.beads)
    for place, purchase in enumerate(purchases):
        assert purchase.needed == sum(cell == place for cell in design.cells.tolist())
    assert sum(purchase.needed for purchase in purchases) == design.grid.count


@given(designs(), SPARE)
def test_the_csv_reads_back_with_another_reader(design, spare_percent):
    purchases = shopping_list(design, spare_percent=spare_percent)
    text = beads_csv(purchases)
    assert text.splitlines()[0] == "kind,size,colour,name,count,with spare,grams,packs,cost"
    assert sum(int(row["count"]) for row in rows_of(text)) == design.grid.count
    for row, purchase in zip(rows_of(text), purchases, strict=True):
        bead = purchase.bead
        assert [row["kind"], row["size"], row["colour"], row["name"]] == [bead.kind, bead.size, bead.srgb, bead.name]
        assert (int(row["count"]), int(row["with spare"])) == (purchase.needed, purchase.with_spare)
        assert row["grams"] == purchase.grams


@pytest.mark.parametrize(
    ("count", "spare_percent", "with_spare"),
    [(10, 10.0, 11), (100, 10.0, 110), (101, 10.0, 112), (1, 10.0, 2), (1, 0.0, 1), (3, 1000.0, 33), (1000, 0.1, 1001)],
)
def test_spare_worked_out_by_hand(count, spare_percent, with_spare):
    """110 of 100 at 10 per cent: binary fractions would make 1.1 x 100 = 110.00000000000001 into 111."""
    purchase, _ = shopping_list(design_of({(0, 0): count, (1, 0): 1}), spare_percent=spare_percent)
    assert purchase.with_spare == with_spare


def test_grams_worked_out_by_hand():
    """200 cylinders, 110 and 36 and 14 round beads weigh a gram each; one bead more a hundredth more."""
    counts = {(0, 0): 200, (1, 1): 110, (2, 2): 36, (3, 3): 14, (4, 0): 201, (5, 3): 15}
    grams = [purchase.grams for purchase in shopping_list(design_of(counts), spare_percent=0)]
    assert grams == ["1.00", "1.00", "1.00", "1.00", "1.01", "1.08"]


def test_own_bead_table_is_used():
    size = BeadSize("round 8/0", length_mm=2, diameter_mm=3, hole_mm=1, per_gram=0.3)
    bead = Bead("A", "round 8/0", "#102030", (11.3, -1.0, -12.0), "slate")
    design = Design("Reef", Grid(2, 3), BeadSizes((size,)), (bead,), np.zeros(3, dtype=int))
    (purchase,) = shopping_list(design, spare_percent=0)
    assert purchase.grams == "10.00"


def test_lines_end_in_carriage_return_and_line_feed():
    """RFC 4180, section 2, rule 1."""
    text = beads_csv(shopping_list(design_of({(0, 0): 4, (1, 2): 3}), spare_percent=10))
    assert text.count("\r\n") == text.count("\n") == text.count("\r") == 3
    assert text.endswith("\r\n")


def named(name):
    bead = Bead("A", "cylinder 11/0", "#102030", (11.3, -1.0, -12.0), name)
    return beads_csv((Purchase(bead, 10, 11, 6, 6),))


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1+2", "@SUM(A1)", '=HYPERLINK("x","y")', "\t=1", "\r=1"])
def test_cells_that_a_spreadsheet_would_run_are_made_inert(name):
    """Starts that the OWASP page "CSV Injection" names: = + - @ tab, carriage return."""
    (row,) = rows_of(named(name))
    assert row["name"] == "'" + name


@pytest.mark.parametrize("name", ["sea, deep", 'the "good" one', "grün", "a=b", "two\nlines", " blanks ", "'quoted'"])
def test_other_names_come_back_as_they_are(name):
    """RFC 4180, section 2, rules 5 to 7: commas, quotes and line breaks within quotes."""
    (row,) = rows_of(named(name))
    assert row["name"] == name
    assert row["count"] == "10"


def test_no_number_of_ours_looks_like_a_formula():
    text = beads_csv(shopping_list(design_of({(0, 0): 40, (27, 3): 3}), spare_percent=0))
    cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
    assert not any(cell.startswith(("'", "=", "+", "-", "@")) for cell in cells)


@pytest.mark.parametrize("spare_percent", [-1.0, 1000.5, float("nan"), float("inf")])
def test_a_spare_that_cannot_be_meant_is_refused(spare_percent):
    with pytest.raises(BadChoiceError, match="give 0 to 1000"):
        check_spare(spare_percent)


@given(designs(), SPARE, WORKS, PACK_GRAMS, st.data())
def test_what_is_bought_and_at_hand_fills_every_bag(design, spare, works, pack_grams, data):
    hand = {bead.kind: data.draw(GRAMS) for bead in design.beads if data.draw(st.booleans())}
    pack = Pack(pack_grams, 2.5)
    items = shopping_list(design, spare_percent=spare, works=works, pack_of=lambda _b: pack, hand_grams=hand)
    for item, count in zip(items, design.counts.tolist(), strict=True):
        assert item.with_spare >= count * (1 + Fraction(str(spare)) / 100)
        weight = Fraction(item.with_spare, PER_GRAM[item.bead.size])
        assert Fraction(item.centigrams, 100) >= weight
        have = hand.get(item.bead.kind, Fraction(0))
        assert item.on_hand <= have * PER_GRAM[item.bead.size]
        assert item.on_hand + item.to_buy >= works * item.with_spare
        bought = item.packs * Fraction(str(pack_grams))
        assert bought >= Fraction(item.buy_centigrams, 100)
        assert have + bought >= works * weight
        assert bought * PER_GRAM[item.bead.size] >= item.to_buy
        if works > 1:
            assert have + bought >= works * Fraction(item.centigrams, 100)
        assert bought - Fraction(str(pack_grams)) < Fraction(max(item.buy_centigrams, 1), 100)
        assert item.cost == item.packs * Fraction("2.5")


@given(designs(), SPARE, WORKS)
def test_totals_add_up_over_rows_and_kits(design, spare, works):
    one, many = (shopping_list(design, spare_percent=spare, works=count) for count in (1, works))
    rows = [
        sum(
            cell == place for row in range(1, design.grid.rows + 1) for cell in design.cells[design.grid.row_slice(row)]
        )
        for place in range(len(design.beads))
    ]
    assert [item.needed for item in many] == rows
    for alone, kit in zip(one, many, strict=True):
        assert (kit.total, kit.total_centigrams) == (works * alone.total, works * alone.total_centigrams)
    lines = rows_of(shopping_csv(many))
    assert sum(int(line["count"]) for line in lines) == works * design.grid.count
    bags = rows_of(kits_csv(many))
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
        SIZES,
        design.beads,
        np.resize(design.cells, rows * design.grid.columns // 2),
    )
    double = replace(even, grid=replace(even.grid, rows=2 * rows), cells=np.tile(even.cells, 2))
    for one, two in zip(
        shopping_list(even, spare_percent=spare), shopping_list(double, spare_percent=spare), strict=True
    ):
        assert two.needed == 2 * one.needed
        assert 2 * one.with_spare - 1 <= two.with_spare <= 2 * one.with_spare
        assert two.centigrams <= 2 * one.centigrams
    assert [i.with_spare for i in shopping_list(double, spare_percent=0)] == [
        2 * i.with_spare for i in shopping_list(even, spare_percent=0)
    ]
