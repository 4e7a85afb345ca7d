"""The needle's path and the thread that it takes."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import SIZES, bead_of, designs, grids

from convert.shopping.choices import ThreadOptions
from convert.shopping.thread import NEEDLES_MM, advise, path_mm, spools_for, thread_for
from shared.beads import BeadSize, BeadSizes
from shared.design import Bead, Design
from shared.errors import BadChoiceError
from shared.grid import Grid


def flat(columns, rows):
    grid = Grid(columns, rows)
    return Design("Tide", grid, SIZES, (bead_of(0, 0),), np.zeros(grid.count, dtype=int))


def of_size(size):
    bead = Bead("A", size.name, "#102030", (11.3, -1.0, -12.0), "slate")
    return Design("Reef", Grid(3, 6), BeadSizes((size,)), (bead,), np.zeros(9, dtype=int))


def test_thread_of_a_flat_strip_is_two_bead_lengths_for_each_bead():
    """Every row crosses the whole width and adds half of its beads: 2 x 1.3 mm x 2,200 = 5.72 m before slack for
    20 x 220 cylinders 11/0. Turns come on top, 0.8 mm for each row: 3 % is the tolerance."""
    assert path_mm(flat(20, 220)) == pytest.approx(5720, rel=0.03)
    assert path_mm(flat(20, 220)) == pytest.approx(219 * 26 + 218 * 0.8)


def test_the_path_of_a_small_even_work_by_hand():
    """Rows 1 and 2, columns 1 to 4; row 3 back over 4, 3, 2, 1, in columns 4 and 2 through new beads."""
    grid = Grid(4, 4)
    path = grid.needle_path.beads
    rows, columns = grid.row_of[path].tolist(), grid.column_of[path].tolist()
    assert columns == [1, 2, 3, 4, 4, 3, 2, 1, 1, 2, 3, 4]
    assert rows[:4] == [2, 1, 2, 1]
    assert rows[4:8] == [3, 2, 3, 2]
    assert rows[8:] == [4, 3, 4, 3]


def test_the_path_of_an_odd_work_goes_round_its_turns_by_hand():
    """Row 5 ends at column 1; its turn goes down through row 3, on to row 2, up through row 4 and back."""
    grid = Grid(3, 6)
    path = grid.needle_path.beads
    places = list(zip(grid.row_of[path].tolist(), grid.column_of[path].tolist(), strict=True))
    strand, third, fourth = [(1, 1), (2, 2), (1, 3)], [(3, 3), (2, 2), (3, 1)], [(3, 1), (4, 2), (3, 3)]
    turn = [(3, 1), (2, 2), (4, 2), (3, 1)]
    assert places == [*strand, *third, *fourth, (5, 3), (4, 2), (5, 1), *turn, (5, 1), (6, 2), (5, 3)]


def stitch_of(grid, bead):
    """The beads that are taken up together with one: itself, and with two-drop its partner."""
    groups = (grid.column_of - 1) // grid.drop
    return np.flatnonzero((grid.row_of == grid.row_of[bead]) & (groups == groups[bead])).tolist()


@given(grids(most_columns=20, most_rows=30))
def test_the_needle_takes_every_bead_up_in_order_and_only_steps_to_beads_in_contact(grid):
    path = grid.needle_path.beads
    first = list(dict.fromkeys(path.tolist()))
    assert first == grid.needle_order.tolist()
    for one, other in zip(path[:-1].tolist(), path[1:].tolist(), strict=True):
        near = grid.neighbours[stitch_of(grid, one)]
        assert one == other or np.isin(stitch_of(grid, other), near).any()


@given(designs(most_columns=9))
def test_a_surface_that_lies_flat_takes_the_same_thread(design):
    flat = design.bead_sizes.flat
    even = Design("Tide", design.grid, SIZES, (bead_of(0, 0),), np.zeros(design.grid.count, dtype=int))
    xy = design.grid.centres_mm(flat.length_mm, flat.diameter_mm)
    centres = np.column_stack([xy, np.zeros(len(xy))])
    assert path_mm(even, centres_mm=centres) == pytest.approx(path_mm(even))
    stretched = path_mm(even, centres_mm=centres * 1.1)
    assert path_mm(even) < stretched < 1.1 * path_mm(even)


@given(st.floats(0, 1e6), st.floats(700, 5000), st.floats(0, 340), st.floats(0, 50))
def test_pieces_less_their_tails_reach_the_end(path, cut, tail, slack):
    thread = thread_for(path, ThreadOptions(cut, tail, slack))
    worked = Fraction(path) * (1 + Fraction(slack) / 100)
    assert thread.pieces * (Fraction(cut) - 2 * Fraction(tail)) >= worked * Fraction(999_999, 1_000_000)
    assert thread.total_mm >= worked + 2 * thread.pieces * Fraction(tail) - 1
    assert thread.total_mm <= thread.pieces * cut + 1


@pytest.mark.parametrize(("pieces", "spools"), [(1, 1), (18, 1), (19, 2), (36, 2), (37, 3)])
def test_pieces_are_not_tied_from_two_spools(pieces, spools):
    """A spool of 50 m gives 18 pieces of 2.74 m."""
    assert spools_for(pieces, ThreadOptions(spool_mm=50_000)) == spools


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"cut_mm": 600.0}, "nothing but tails"),
        ({"slack_percent": float("nan")}, "slack"),
        ({"spool_mm": 1e9}, "no spool"),
        ({"cut_mm": 1e9}, "no thread"),
    ],
)
def test_thread_that_cannot_be_cut_is_refused(options, words):
    with pytest.raises(BadChoiceError, match=words):
        ThreadOptions(**options)
    with pytest.raises(BadChoiceError, match="hold one length"):
        spools_for(1, ThreadOptions(spool_mm=2000))


@pytest.mark.parametrize(
    ("size", "needle", "thread"),
    [
        ("round 6/0", 10, "F"),
        ("round 8/0", 10, "F"),
        ("round 10/0", 10, "D"),
        ("round 11/0", 12, "B"),
        ("cylinder 11/0", 12, "B"),
        ("round 13/0", 13, "O"),
        ("round 15/0", 15, "OO"),
    ],
)
def test_needle_and_thread_are_those_of_a_published_table(size, needle, thread):
    """Needle and thread by bead size as a published trade table has them, holes large enough."""
    advice = advise(of_size(BeadSize(size, 1.5, 2.0, 0.8, 100)))
    assert (advice.needle, advice.thread, advice.warning) == (needle, thread, "")


def test_a_needle_that_does_not_enter_is_told():
    """A needle 10 (0.46 mm) does not enter a hole of 0.40 mm, the smallest published for a round 15/0."""
    tiny = of_size(BeadSize("round 15/0", 1.1, 1.5, 0.4, 270))
    assert "does not enter" in advise(tiny, 10).warning
    assert NEEDLES_MM[advise(tiny).needle] < 0.4
    assert "may stick" in advise(tiny).warning
    assert "does not enter" in advise(of_size(BeadSize("round 15/0", 1.1, 1.5, 0.2, 270))).warning
    with pytest.raises(BadChoiceError, match="10, 12, 13, 15"):
        advise(tiny, 7)


def test_only_beads_that_are_used_count_for_the_needle():
    grid = Grid(2, 4)
    design = Design("Reef", grid, SIZES, (bead_of(0, 0), bead_of(0, 2)), np.ones(grid.count, dtype=int))
    assert advise(design).bead.name == "round 8/0"
