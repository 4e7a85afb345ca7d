import csv
import io
from collections import Counter
from fractions import Fraction
from math import ceil

import numpy as np
import pytest
from review_inputs import domed_review

from convert.colouring.colour_count import Candidate, Spread, leave_out_repeats
from convert.documents.colour_review.page import curve_of
from convert.documents.colour_review.review import figures_of
from convert.documents.colour_review.words import UNKNOWN, figure_words, figures_table, money
from convert.shopping.packs import Pack
from convert.shopping.shopping_list import beads_csv, shopping_list


@pytest.fixture(scope="module")
def review():
    return domed_review()


def candidate_of(choice):
    errors = np.linspace(0, 10, choice.design.grid.count)
    return Candidate(choice.figures.k, choice.design, errors)


def shopping_lines(design, spare=10):
    """The shopping list as a person reads it: key, count, grams with spare, from the CSV."""
    text = beads_csv(shopping_list(design, spare_percent=spare))
    return [(line["kind"], int(line["count"]), Fraction(line["grams"])) for line in csv.DictReader(io.StringIO(text))]


def test_figures_agree_with_the_shopping_list(review):
    assert len(review.choices) == 7
    assert any(len(choice.colours) < len(choice.design.beads) for choice in review.choices)
    for choice in review.choices:
        lines, figures = shopping_lines(choice.design), choice.figures
        by_letter = Counter()
        for key, count, _ in lines:
            by_letter[key.strip("0123456789")] += count
        assert figures.to_buy == len(lines)
        assert figures.colours == len(by_letter) == figures.k
        assert figures.rarest_bead.beads == min(count for _, count, _ in lines)
        assert (figures.rarest_bead.kind, figures.rarest_bead.beads) in {(key, count) for key, count, _ in lines}
        assert (figures.rarest_colour.kind, figures.rarest_colour.beads) == min(by_letter.items(), key=lambda i: i[1])
        assert Fraction(figures.grams) == sum(grams for _, _, grams in lines)


def test_counts_agree_with_the_cells(review):
    for choice in review.choices:
        keys = Counter(choice.design.beads[cell].kind for cell in choice.design.cells)
        assert {bead.kind: beads for colour in choice.colours for bead, beads in colour.beads} == keys


def test_packs_and_cost_are_rounded_up_line_by_line(review):
    packs = {"cylinder 11/0": Pack(0.3, 1.25), "round 11/0": Pack(0.1, 0.99), "round 8/0": Pack(2.5, 3.0)}
    packs["round 6/0"] = Pack(10, 4.1)
    for choice in review.choices:
        figures = figures_of(candidate_of(choice), spare_percent=10, pack_of=lambda bead: packs[bead.size])
        number, cost = 0, Fraction(0)
        for (_, _, grams), bead in zip(shopping_lines(choice.design), choice.design.beads, strict=True):
            pack = packs[bead.size]
            needed = ceil(grams / Fraction(str(pack.grams)))
            number += needed
            cost += needed * Fraction(str(pack.price))
        assert (figures.packs, figures.cost) == (number, cost)


def test_what_is_not_known_is_not_made_up(review):
    candidate = candidate_of(review.choices[-1])
    assert {bead.size for bead in candidate.design.beads} > {"cylinder 11/0"}
    partly = {"cylinder 11/0": Pack(5, 2.0)}
    figures = figures_of(candidate, spare_percent=10, pack_of=lambda bead: partly.get(bead.size))
    assert (figures.packs, figures.cost) == (None, None)
    unpriced = figures_of(candidate, spare_percent=10, pack_of=lambda _: Pack(5, None))
    assert (unpriced.packs, unpriced.cost) == (len(candidate.design.beads), None)
    assert figure_words(figures)["packs"] == figure_words(unpriced)["cost"] == UNKNOWN


def test_an_amount_has_two_decimals():
    assert [money(Fraction(text)) for text in ("0", "0.005", "2.5", "19.999", "1234.5")] == [
        "0.00",
        "0.01",
        "2.50",
        "20.00",
        "1234.50",
    ]


def test_the_table_marks_one_line(review):
    lines = figures_table(review).splitlines()
    assert len(lines) == len(review.choices) + 1
    marked = [line for line in lines if line.endswith("<- suggested")]
    assert [int(line.split()[0]) for line in marked] == [review.knee.k]
    assert "packs" not in lines[0]


def test_the_first_column_says_how_many_colours_there_are(review):
    figures = review.choices[0].figures
    wider = figures._replace(spread=figures.spread._replace(k=9))
    assert figure_words(figures)["k"] == "2"
    assert figure_words(wider)["k"] == "2 (9 asked for)"
    assert figure_words(wider._replace(to_buy=9), "kinds")["k"] == "2"


def test_numbers_that_change_nothing_are_left_out(review):
    choices = [candidate_of(choice) for choice in review.choices]
    again = choices[-1]._replace(k=9)
    assert [candidate.k for candidate in leave_out_repeats([*choices, again])] == [candidate.k for candidate in choices]


def test_the_curve_lies_where_its_axes_say():
    spreads = [Spread(2, 12.0, 30.0), Spread(3, 6.0, 15.0), Spread(4, 3.0, 7.5)]
    curve = curve_of(spreads, 3, width=200.0, height=60.0)
    zero, top = curve.up[0], curve.up[-1]
    assert (zero.text, zero.at) == ("0", 60.0)
    per_unit = (zero.at - top.at) / int(top.text)
    heights = [(zero.at - y) / per_unit for _, y in curve.mean + curve.p95]
    assert heights == pytest.approx([12.0, 6.0, 3.0, 30.0, 15.0, 7.5])
    assert [x for x, _ in curve.mean] == [0.0, 100.0, 200.0] == [tick.at for tick in curve.across]
    assert curve.knee == 1


def test_one_number_alone_makes_a_curve():
    curve = curve_of([Spread(5, 0.0, 0.0)], 5, width=200.0, height=60.0)
    assert np.isfinite(curve.mean).all()
    assert [tick.text for tick in curve.across] == ["5"]
