import numpy as np
import pytest
from drawings import parts
from hypothesis import given, settings
from hypothesis import strategies as st

from convert.cells.line_art import ENOUGH_INK, TRACE_OF_INK, ink_beads
from shared.grid import Grid


@given(st.integers(0, 2**32 - 1), st.floats(0.2, 0.7))
@settings(max_examples=60)
def test_links_keep_together_what_a_trace_of_ink_joins(seed, share):
    """As many parts as there are of all beads with a trace of ink, as long as any part is large enough to be seen."""
    grid = Grid(12, 18)
    rng = np.random.default_rng(seed)
    cover = np.where(rng.random(grid.count) < share, rng.uniform(TRACE_OF_INK, 0.5, grid.count), 0)
    everywhere = np.ones((grid.count, 6), dtype=bool)
    ink = ink_beads(cover, everywhere, np.full(grid.count, 9.0), grid)
    touched = cover >= TRACE_OF_INK
    assert not (ink & ~touched).any()
    assert len(parts(ink, grid)) == len(parts(touched, grid))
    largest = np.append(cover, 0)[grid.neighbours].max(axis=1)
    assert ink[(cover >= ENOUGH_INK) & (cover >= 0.6 * largest)].all()


def chain(covers):
    """A column of beads with the covers given, the rest blank; its beads from the top."""
    grid = Grid(5, 2 * len(covers) + 2)
    beads = grid.bead_at(2 * np.arange(len(covers)) + 3, np.array([3]))
    cover = np.zeros(grid.count)
    cover[beads] = covers
    return grid, beads, cover


@pytest.mark.parametrize(
    ("covers", "kept"),
    [
        ([0.3, 0.04, 0.3], [True, True, True]),
        ([0.3, 0.3, 0.04], [True, True, False]),
        ([0.3, 0.01, 0.3], [True, False, True]),
        ([0.05, 0.06, 0.05], [False, True, False]),
        ([0.3, 0.1, 0.3], [True, True, True]),
        ([0.3, 0.3, 0.1], [True, True, True]),
    ],
)
def test_a_chain_keeps_links_and_drops_faint_ends(covers, kept):
    grid, beads, cover = chain(covers)
    ink = ink_beads(cover, np.ones((grid.count, 6), dtype=bool), np.full(grid.count, 0.16), grid)
    assert ink[beads].tolist() == kept
    assert ink.sum() == sum(kept)


def test_a_bead_that_only_sees_the_rim_of_a_line_goes():
    """Beside two beads of the line, with less than 0.6 of their ink."""
    grid, beads, cover = chain([0.4, 0.4, 0.4])
    cover[grid.neighbours[beads[1], 4]] = 0.2
    ink = ink_beads(cover, np.ones((grid.count, 6), dtype=bool), np.full(grid.count, 2.0), grid)
    assert np.flatnonzero(ink).tolist() == sorted(beads)


def test_a_faint_bead_does_not_link_other_strokes():
    grid, beads, cover = chain([0.3, 0.04, 0.3])
    ink = ink_beads(cover, np.zeros((grid.count, 6), dtype=bool), np.full(grid.count, 0.05), grid)
    assert ink[beads].tolist() == [True, False, True]


def test_a_stroke_too_small_to_be_seen_goes():
    grid, _, cover = chain([0.05, 0.02])
    assert not ink_beads(cover, np.ones((grid.count, 6), dtype=bool), np.full(grid.count, 0.07), grid).any()
