"""Rows and finished lengths for wrists, against the geometry of flat work and full predictions."""

import csv
import io

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from size_levels import rings
from strategies import SIZES, bead_of

from convert.rows.find_repeat import Repeat, find_repeat
from convert.shopping.choices import WristChoices
from convert.shopping.fit_to_wrist import Found, fit_to_wrist
from convert.shopping.length_model import model_length
from convert.shopping.length_table import lengths_csv, lengths_text
from convert.shopping.packs import ChosenPack
from convert.shopping.resize_design import Change, resize
from convert.shopping.wrists import SURVEY_SIZES, Size
from convert.surface.prediction import predict
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import Grid

ROW_MM = 0.8
"""Half the diameter of a cylinder 11/0 (1.6 mm)."""


def striped(first_rows=4, period=20, times=5, columns=17):
    """Flat work with a stripe in each repeat."""
    grid = Grid(columns, first_rows + period * times)
    stripe = (grid.row_of > first_rows) & ((grid.row_of - first_rows - 1) % period < 3)
    return Design("Ripples", grid, SIZES, (bead_of(0, 0), bead_of(1, 0)), stripe.astype(int))


def domed(every, times, radii, *, start="top", part=4):
    """A strip 17 wide with a dome in each repeat."""
    grid = Grid(17, 3 + every * times + part, start=start)
    row = 3 + every // 2
    row += (17 - 9 + row + 1) % 2
    levels = rings(grid, *((r, 9) for r in range(row, grid.rows + every, every)), radii=radii)
    return Design("Limpets", grid, SIZES, tuple(bead_of(0, level) for level in range(4)), levels)


def fitted(design, wrist_mm, **wanted):
    repeat = find_repeat(design, from_row_1=True)
    return fit_to_wrist(
        design, repeat, model_length(design, repeat), Size("own", wrist_mm), WristChoices(**BARE | wanted)
    )


BARE = {"ease_mm": 0.0, "clasp_mm": 0.0}


def test_a_wrist_worked_out_by_hand():
    """165 + 20 - 20 = 165 mm hold (165 / 0.8 - 1 - 4) / 20 = 10.06 repeats of 20 rows after 4 first rows."""
    one = fitted(striped(), 165, ease_mm=20.0, clasp_mm=20.0)
    assert (one.repeats, one.design.grid.rows) == (10, 204)
    assert one.finished_mm == pytest.approx(205 * ROW_MM)
    assert one.left_over_mm == pytest.approx(1.0)
    assert one.design.grid.count == 204 // 2 * 17
    assert (one.design.title, one.design.provenance["length"]["wrist_mm"]) == ("Ripples, own", 165)


@given(st.floats(60, 250), st.booleans(), st.booleans())
def test_beadwork_is_never_longer_than_asked_and_one_step_more_would_be(wrist_mm, repeats, plain_ends):
    design = striped() if repeats else striped(times=1, period=90)
    repeat = find_repeat(design, from_row_1=True) if repeats else None
    one = fit_to_wrist(
        design, repeat, model_length(design, repeat), Size("own", wrist_mm), WristChoices(**BARE, plain_ends=plain_ends)
    )
    assert one.finished_mm == pytest.approx((one.design.grid.rows + 1) * ROW_MM)
    assert one.finished_mm <= wrist_mm + 1e-6
    step = 2 if plain_ends or not repeats else 20
    assert one.finished_mm + step * ROW_MM > wrist_mm - 1e-6
    assert one.left_over_mm == pytest.approx(wrist_mm - one.finished_mm, abs=1e-5)


def test_a_length_under_one_repeat_is_refused_and_says_what_it_takes():
    with pytest.raises(BadChoiceError, match=r"do not hold one repeat, which needs 20\.0 mm"):
        fitted(striped(), 15)
    assert fitted(striped(), 20).repeats == 1


@pytest.mark.parametrize(
    ("every", "radii", "start"),
    [(26, (0.5, 2.5, 4.5), "bottom"), (16, (1.5, 2.5, 7.5), "top")],
)
def test_lengths_by_the_repeat_are_those_of_a_full_prediction(every, radii, start):
    """Also with wide domes, which stand otherwise where the ends cut them."""
    design = domed(every, 6, radii, start=start)
    repeat = find_repeat(design, from_row_1=True)
    assert repeat is not None
    assert repeat.period == every
    growth = model_length(design, repeat)
    assert growth.predicted
    assert growth.repeat_mm != pytest.approx(every * ROW_MM, abs=0.05)
    for change in (Change(-2), Change(3)):
        after = resize(design, repeat, change)
        whole = predict(after.grid, after.bead_sizes, after.levels).found.length_mm
        assert growth.after(change) == pytest.approx(whole, abs=1e-6)
        # Far from the ends a repeat adds what the growth says; the ends shift that by less than a bead.
        assert growth.length_mm + change.repeats * growth.repeat_mm == pytest.approx(whole, abs=1.6)


@pytest.mark.parametrize("plain", [-10, 4, 24])
def test_lengths_with_plain_ends_are_those_of_a_full_prediction(plain):
    design = domed(20, 4, (1.5, 2.5, 3.5))
    growth = model_length(design, None)
    after = resize(design, None, Change(0, plain))
    whole = predict(after.grid, after.bead_sizes, after.levels).found.length_mm
    assert growth.after(Change(0, plain)) == pytest.approx(whole, rel=0.005)


def test_work_of_one_larger_size_is_as_long_as_its_beads_say():
    grid = Grid(5, 39)
    design = Design("Reef", grid, SIZES, (bead_of(0, 2),), np.zeros(grid.count, dtype=int))
    growth = model_length(design, Repeat(0, 2, 0, grid.rows))
    assert (growth.length_mm, growth.repeat_mm) == pytest.approx((40 * 1.5, 3.0))


def test_beads_grams_and_packs_add_up_over_sizes():
    design = striped()
    wanted = WristChoices(packs=(ChosenPack((), 5.0),))
    repeat = find_repeat(design, from_row_1=True)
    growth = model_length(design, repeat)
    fits = tuple(fit_to_wrist(design, repeat, growth, size, wanted) for size in SURVEY_SIZES)
    assert [one.size.wrist_mm for one in fits] == sorted(one.size.wrist_mm for one in fits)
    for one in fits:
        count = [int((one.design.cells == place).sum()) for place in range(2)]
        assert sum(count) == one.design.grid.count
        least = sum(c * 1.1 / 200 for c in count)
        assert least <= float(one.grams) < least + 0.04
        assert one.packs == sum(-(-c * 1.1 / 200 // 5) for c in count)
    rows = list(csv.DictReader(io.StringIO(lengths_csv(fits, wanted), newline="")))
    assert ", ".join(rows[0]) == (
        "size, wrist mm, wrist in, ease mm, clasp mm, beadwork mm, beadwork in, rows, repeats, plain rows, rows cut, "
        "finished mm, finished in, left over mm, left over in, bracelet mm, bracelet in, beads, grams, packs"
    )
    for row, one in zip(rows, fits, strict=True):
        assert int(row["beads"]) == one.design.grid.count
        assert float(row["wrist in"]) == pytest.approx(one.size.wrist_mm / 25.4, abs=0.005)
        assert float(row["bracelet mm"]) == pytest.approx(float(row["finished mm"]) + 20, abs=0.11)
        assert float(row["finished mm"]) + float(row["left over mm"]) == pytest.approx(
            float(row["beadwork mm"]), abs=0.11
        )
    told = lengths_text(design, Found(repeat, growth, fits), wanted, "in", table=True)
    assert "NATICK/TR-15/007" in told
    assert "wrist in" in told
    assert "mm" not in told.split("wrist in", 1)[1].split("sizes:")[0]
