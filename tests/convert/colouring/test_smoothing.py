import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.color import deltaE_ciede2000
from strategies import grids

from convert.colouring.pattern_stats import runs_per_row, stray_beads
from convert.colouring.smoothing import smooth_labels
from shared.grid import Grid

TOUCH = {1: ((-2, 0), (2, 0), (-1, -1), (-1, 1), (1, -1), (1, 1))}
TOUCH[2] = (*TOUCH[1], (0, -1), (0, 1))
"""Contacts by the drop: six; in two-drop also the partner."""

PULLS = {1: (*TOUCH[1], (0, -2), (0, 2)), 2: (*TOUCH[2], (0, -3), (0, 3))}
"""And the beads that follow in the row: two columns on, in two-drop over the pair between, so three."""

INK, PAPER, PALE = [15.0, 2, -8], [97.0, 0, 3], [95.0, 0, 3]


def beads_of(grid):
    return {(row, column): n for n, (row, column) in enumerate(zip(grid.row_of, grid.column_of, strict=True))}


def energy(cells, palette, labels, grid, *, strength, levels):
    """The sum as it is defined, bead by bead; CIEDE2000 by scikit-image."""
    place = beads_of(grid)
    pairs = 0
    for (row, column), bead in place.items():
        for down, across in PULLS[grid.drop]:
            other = place.get((row + down, column + across))
            pairs += other is not None and levels[other] == levels[bead] and labels[other] != labels[bead]
    return deltaE_ciede2000(cells, palette[labels]).sum() + strength * pairs / 2


@st.composite
def cases(draw):
    grid = draw(grids(most_columns=9, most_rows=10))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    palette = rng.uniform([20, -30, -30], [90, 30, 30], (draw(st.integers(1, 5)), 3))
    cells = palette[rng.integers(0, len(palette), grid.count)] + rng.normal(0, 8, (grid.count, 3))
    labels = deltaE_ciede2000(cells[:, None], palette[None]).argmin(axis=1)
    if draw(st.booleans()):
        labels = rng.integers(0, len(palette), grid.count)
    levels = rng.integers(0, draw(st.sampled_from([1, 1, 2, 3])), grid.count)
    return cells, palette, labels, grid, draw(st.sampled_from([0.3, 1.0, 3.0])), levels


@given(cases())
@settings(max_examples=60)
def test_the_energy_falls_until_no_neighbours_colour_lowers_it(case):
    cells, palette, labels, grid, strength, levels = case
    given = labels.copy()
    found = smooth_labels(cells, palette, labels, grid, strength=strength, levels=levels)
    assert np.array_equal(labels, given)
    before = energy(cells, palette, labels, grid, strength=strength, levels=levels)
    after = energy(cells, palette, found.labels, grid, strength=strength, levels=levels)
    changes = np.count_nonzero(found.labels != labels)
    assert after <= before - 5e-4 * changes
    place = beads_of(grid)
    for (row, column), bead in place.items():
        near = [place.get((row + down, column + across), bead) for down, across in PULLS[grid.drop]]
        for label in {int(found.labels[n]) for n in near if levels[n] == levels[bead]}:
            other = found.labels.copy()
            other[bead] = label
            assert energy(cells, palette, other, grid, strength=strength, levels=levels) >= after - 2e-3


@given(cases())
@settings(max_examples=30)
def test_figures_are_those_of_the_pattern(case):
    cells, palette, labels, grid, strength, levels = case
    found = smooth_labels(cells, palette, labels, grid, strength=strength, levels=levels)
    assert found.errors == pytest.approx(deltaE_ciede2000(cells, palette[found.labels]), abs=1e-3)
    for state, tidiness in ((labels, found.before), (found.labels, found.after)):
        place = beads_of(grid)
        lonely = 0
        for (row, column), bead in place.items():
            touched = [place.get((row + down, column + across)) for down, across in TOUCH[grid.drop]]
            touched = [n for n in touched if n is not None]
            lonely += all(state[n] != state[bead] for n in touched)
        assert tidiness.strays == lonely
        runs = []
        for entry in grid.entries:
            kinds = [(state[bead], levels[bead]) for bead in entry.beads]
            runs.append(1 + sum(one != other for one, other in zip(kinds[1:], kinds[:-1], strict=True)))
        assert tidiness.runs_per_row == pytest.approx(sum(runs) / len(runs))
        assert tidiness.mean_error == pytest.approx(deltaE_ciede2000(cells, palette[state]).mean(), abs=1e-3)


@given(cases())
@settings(max_examples=30)
def test_strength_0_changes_nothing(case):
    cells, palette, labels, grid, _, levels = case
    found = smooth_labels(cells, palette, labels, grid, strength=0, levels=levels)
    assert np.array_equal(found.labels, labels)
    assert found.before == found.after


@given(grids(), st.sampled_from([1.0, 3.0]))
@settings(max_examples=30)
def test_one_colour_stays(grid, strength):
    cells = np.random.default_rng(5).normal([50, 0, 0], 20, (grid.count, 3))
    palette = np.array([PAPER, INK])
    ones = np.ones(grid.count, dtype=np.int64)
    assert np.array_equal(smooth_labels(cells, palette, ones, grid, strength=strength).labels, ones)


@given(st.integers(0, 2**32 - 1), st.sampled_from([(0, 1), (1, 0), (1, 1)]))
@settings(max_examples=40)
def test_mirrored_and_upside_down_it_is_the_same(seed, flips):
    """An odd number of columns and of rows lies on its own mirror image; cells at random make no ties."""
    grid = Grid(9, 13)
    rng = np.random.default_rng(seed)
    palette = rng.uniform([20, -20, -20], [90, 20, 20], (4, 3))
    cells, labels = rng.normal([55, 0, 0], 15, (grid.count, 3)), rng.integers(0, 4, grid.count)
    row = np.where(flips[0], 14 - grid.row_of, grid.row_of)
    column = np.where(flips[1], 10 - grid.column_of, grid.column_of)
    there = grid.bead_at(row, column)
    one = smooth_labels(cells, palette, labels, grid, strength=1.0)
    other = smooth_labels(cells[there], palette, labels[there], grid, strength=1.0)
    assert np.array_equal(one.labels[there], other.labels)
    assert np.any(one.labels != labels)


@given(st.integers(0, 2**32 - 1))
@settings(max_examples=30)
def test_nothing_pulls_across_an_edge_of_the_height_map(seed):
    """What lies on one level does not depend on the colours of the other."""
    grid = Grid(10, 16)
    rng = np.random.default_rng(seed)
    levels = (np.hypot(grid.row_of - 8, grid.column_of * 2 - 10) < 7).astype(np.int64)
    palette = rng.uniform([20, -20, -20], [90, 20, 20], (4, 3))
    cells, labels = rng.normal([55, 0, 0], 15, (grid.count, 3)), rng.integers(0, 4, grid.count)
    others = np.where(levels == 1, rng.integers(0, 4, grid.count), labels)
    one = smooth_labels(cells, palette, labels, grid, strength=2.0, levels=levels)
    other = smooth_labels(cells, palette, others, grid, strength=2.0, levels=levels)
    flat = levels == 0
    assert np.array_equal(one.labels[flat], other.labels[flat])


def test_partners_that_could_change_places_come_to_one_colour():
    """Each of a pair would gain the same by becoming like the other; only one may."""
    grid = Grid(4, 2, drop=2)
    cells = np.full((grid.count, 3), [50.0, 0, 0])
    alike = np.array([[50.0, 0, 6], [50.0, 0, 6]])
    found = smooth_labels(cells, alike, (grid.column_of + 1) % 2, grid, strength=3.0)
    assert len(set(found.labels.tolist())) == 1


@pytest.mark.parametrize(("share", "colours"), [(0.6, 2), (1.2, 1)])
def test_a_partner_pulls_once_though_it_touches_and_follows(share, colours):
    """Becoming like one's partner is worth the strength, once: more than its CIEDE2000, or less."""
    grid, palette = Grid(4, 2, drop=2), np.array([[50.0, 0, 0], [56.0, 0, 0]])
    error = float(deltaE_ciede2000(*palette))
    # Each pair has a level of its own, so that nothing but the partner pulls.
    labels, levels = np.array([0, 1, 0, 1]), np.array([0, 0, 1, 1])
    found = smooth_labels(palette[labels], palette, labels, grid, strength=share * error, levels=levels)
    assert [len(set(pair)) for pair in found.labels.reshape(2, 2).tolist()] == [colours] * 2


def test_a_speck_goes_and_its_cost_is_told():
    grid = Grid(11, 20)
    cells = np.tile(PAPER, (grid.count, 1))
    speck = grid.bead_at(np.array([9]), np.array([5]))[0]
    cells[speck] = PALE
    labels = np.zeros(grid.count, dtype=np.int64)
    labels[speck] = 1
    found = smooth_labels(cells, np.array([PAPER, PALE]), labels, grid, strength=1.0)
    assert not found.labels.any()
    assert (found.before.strays, found.after.strays) == (1, 0)
    assert found.before.runs_per_row - found.after.runs_per_row == pytest.approx(2 / 19)
    assert found.after.mean_error == pytest.approx(float(deltaE_ciede2000(PAPER, PALE)) / grid.count, rel=1e-3)


def line_beads(grid, degrees):
    """Beads whose slot the middle line of the work at an angle passes through the middle third of."""
    x, y = (grid.centres_mm(1.3, 1.6) - np.mean(grid.centres_mm(1.3, 1.6), axis=0)).T
    along = np.radians(degrees)
    off = np.abs(x * np.sin(along) - y * np.cos(along))
    return off <= 0.5 * min(1.3 / max(abs(np.sin(along)), 1e-9), 0.8 / max(abs(np.cos(along)), 1e-9))


ANGLES = (0, 15, 30, 45, 60, 75, 90, 120, 150)


@pytest.mark.parametrize("degrees", ANGLES)
def test_a_line_one_bead_wide_is_not_erased(degrees):
    """Dark ink at the default strength and far above it; ink that can hardly be seen when it is known as ink."""
    grid = Grid(31, 50)
    ink = line_beads(grid, degrees)
    assert 12 < ink.sum() < 60
    labels = ink.astype(np.int64)
    for strength in (1.0, 3.0):
        dark = np.array([PAPER, INK])
        assert np.array_equal(smooth_labels(dark[labels], dark, labels, grid, strength=strength).labels, labels)
        pale = np.array([PAPER, PALE])
        assert np.array_equal(
            smooth_labels(pale[labels], pale, labels, grid, strength=strength, ink=ink).labels, labels
        )
        assert smooth_labels(pale[labels], pale, labels, grid, strength=strength).labels.sum() < ink.sum() / 2


def test_ink_is_evened_out_along_its_line():
    """A bead of a line may take the colour of its neighbours in the line."""
    grid = Grid(31, 50)
    ink = line_beads(grid, 60)
    palette = np.array([PAPER, INK, [17.0, 2, -8]])
    labels = ink.astype(np.int64)
    odd_one = ink.nonzero()[0][10]
    labels[odd_one] = 2
    found = smooth_labels(palette[labels], palette, labels, grid, strength=1.0, ink=ink)
    assert np.array_equal(found.labels, ink.astype(np.int64))


@given(cases())
@settings(max_examples=40)
def test_no_bead_takes_a_colour_that_is_not_made_in_its_size(case):
    cells, palette, _, grid, strength, levels = case
    rng = np.random.default_rng(len(cells))
    allowed = rng.random((len(palette), int(levels.max()) + 1)) < 0.6
    allowed[rng.integers(0, len(palette)), :] = True
    labels = np.array([rng.choice(allowed[:, level].nonzero()[0]) for level in levels])
    found = smooth_labels(cells, palette, labels, grid, strength=strength, levels=levels, allowed=allowed)
    assert allowed[found.labels, levels].all()


def test_a_colour_that_came_against_the_rule_spreads_no_further():
    grid = Grid(9, 12)
    palette = np.array([PAPER, PALE])
    labels = np.ones(grid.count, dtype=np.int64)
    lone = grid.bead_at(np.array([6]), np.array([4]))[0]
    labels[lone] = 0
    found = smooth_labels(palette[labels], palette, labels, grid, strength=1.0, allowed=np.array([[True], [False]]))
    assert found.labels[lone] == 0


@given(cases())
@settings(max_examples=30)
def test_once_tidied_it_stays_as_it_is(case):
    cells, palette, labels, grid, strength, levels = case
    once = smooth_labels(cells, palette, labels, grid, strength=strength, levels=levels)
    again = smooth_labels(cells, palette, once.labels, grid, strength=strength, levels=levels)
    assert np.array_equal(once.labels, again.labels)


def test_strays_and_runs_of_a_small_strip_counted_by_hand():
    """Five columns: rows of 3, 2, 3, 2 beads; rows 1 and 2 are strung as A B A B A."""
    grid = Grid(5, 4)
    labels = np.array([0, 0, 0, 1, 1, 0, 1, 0, 1, 1])
    assert stray_beads(labels, grid).nonzero()[0].tolist() == [1]
    assert runs_per_row(labels, grid) == pytest.approx((5 + 3 + 1) / 3)
    labels[6] = 2
    assert stray_beads(labels, grid).nonzero()[0].tolist() == [1, 6]
