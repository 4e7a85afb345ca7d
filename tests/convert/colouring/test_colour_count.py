import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from review_inputs import OPEN_PICTURES, domed_review, domed_work, swept

from convert.colouring.colour_count import Spread, knee, spread_of
from convert.pattern import make_pattern

errors = st.floats(0, 30)
curves = st.lists(st.tuples(errors, errors), min_size=1, max_size=15).map(
    lambda pairs: [Spread(k, mean, p95) for k, (mean, p95) in enumerate(pairs, start=2)]
)


def fits(spreads, place):
    """The rule, as it is written: good enough, or less than 0.2 gained by one colour more."""
    here = spreads[place]
    good = here.mean <= 4 and here.p95 <= 10
    flat = place + 1 < len(spreads) and here.mean - spreads[place + 1].mean < 0.2
    return good or flat


@given(curves)
def test_the_knee_is_the_smallest_number_that_fits_the_rule(spreads):
    places = [place for place in range(len(spreads)) if fits(spreads, place)]
    assert knee(spreads).k == spreads[places[0] if places else -1].k


@pytest.mark.parametrize(
    ("curve", "k", "words"),
    [
        ([(9.0, 20.0), (4.0, 10.0), (1.0, 2.0)], 3, "(here 4.00 and 10.00)"),
        ([(9.0, 20.0), (4.01, 10.0), (1.0, 2.0)], 4, "(here 1.00 and 2.00)"),
        ([(9.0, 20.0), (4.0, 10.01), (1.0, 2.0)], 4, "(here 1.00 and 2.00)"),
        ([(9.0, 20.0), (8.75, 19.0), (8.5625, 18.0)], 3, "by 0.18 only"),
        ([(9.0, 20.0), (8.8004, 19.0), (5.0, 18.0)], 2, "by 0.19 only"),
        ([(9.0, 20.0), (9.3, 19.0), (5.0, 18.0)], 2, "by 0.00 only"),
        ([(9.0, 20.0), (8.0, 19.0), (7.0, 18.0)], 4, "no number up to 4"),
    ],
)
def test_the_reason_is_said_with_its_figures(curve, k, words):
    found = knee([Spread(k, mean, p95) for k, (mean, p95) in enumerate(curve, start=2)])
    assert found.k == k
    assert words in found.reason


@pytest.mark.parametrize("name", OPEN_PICTURES)
def test_open_pictures_need_neither_few_nor_all_colours(name):
    """On photographs the rule took 4 to 12 colours (our own measurement), never the end of the range."""
    spreads = [spread_of(k, chosen.errors) for k, chosen in enumerate(swept(name)[1], start=2)]
    taken = knee(spreads)
    assert fits(spreads, taken.k - 2)
    assert not any(fits(spreads, place) for place in range(taken.k - 2))
    assert 4 <= taken.k <= 12


def test_a_spread_is_the_mean_and_the_95th_of_100():
    assert spread_of(7, np.arange(101.0)) == Spread(7, 50.0, 95.0)


def test_auto_makes_the_chart_that_the_review_suggests():
    review = domed_review(range(2, 17))
    made = make_pattern(*domed_work(colours="auto"), surface=False)
    suggested = review.suggested
    assert made.design.beads == suggested.design.beads
    assert np.array_equal(made.design.cells, suggested.design.cells)
    assert spread_of(review.knee.k, made.errors) == suggested.figures.spread
    assert any(f"{review.knee.k} colours by --colours auto: {review.knee.reason}" in note for note in made.notices)
