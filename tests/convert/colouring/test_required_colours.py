import numpy as np
import pytest

from convert.colouring.quantise import few_colours
from convert.colouring.required_colours import few_colours_beside
from shared.ciede2000 import ciede2000
from shared.colour import lab_from_codes
from shared.errors import BadChoiceError

INK = np.array([[32, 36, 42]], dtype=np.uint8)


@pytest.fixture(scope="module")
def cells():
    rng = np.random.default_rng(4)
    middles = rng.integers(20, 236, (7, 3))
    codes = np.clip(middles[rng.integers(0, 7, 900)] + rng.normal(0, 9, (900, 3)), 0, 255).astype(np.uint8)
    return lab_from_codes(np.concatenate([codes, np.repeat(INK + 3, 100, axis=0)]))


@pytest.mark.parametrize("colours", [1, 2, 5, 8])
def test_given_colours_are_in_and_the_number_is_kept(cells, colours):
    chosen = few_colours_beside(cells, colours, INK)
    assert INK[0].tolist() in chosen.codes.tolist()
    assert len(chosen.codes) <= colours
    table = ciede2000(cells[:, None], lab_from_codes(chosen.codes))
    assert np.allclose(chosen.errors, table.min(axis=1), atol=1e-3)


def test_a_given_colour_costs_little_where_it_fits(cells):
    """Ink is a colour of these cells: giving it must not spoil the others."""
    free, beside = few_colours(cells, 8), few_colours_beside(cells, 8, INK)
    assert beside.errors.mean() <= free.errors.mean() * 1.05 + 0.1


def test_free_colours_fill_the_gaps_of_the_given_ones(cells):
    """Better than choosing the free ones as though none were given."""
    given = few_colours(cells, 3).codes
    blind = np.concatenate([given, few_colours(cells, 4).codes])
    blind_error = ciede2000(cells[:, None], lab_from_codes(blind)).min(axis=1).mean()
    assert few_colours_beside(cells, 7, given).errors.mean() < blind_error


@pytest.mark.parametrize("colours", [4, 8, 12])
@pytest.mark.parametrize("seed", range(3))
def test_given_colours_cost_no_more_than_their_places(colours, seed):
    """Whatever is given: never worse than it beside the best palette of the places left."""
    rng = np.random.default_rng(seed)
    codes = rng.integers(0, 256, (12, 3))[rng.integers(0, 12, 700)] + rng.integers(-6, 7, (700, 3))
    cells = lab_from_codes(np.clip(codes, 0, 255).astype(np.uint8))
    given = rng.integers(0, 256, (2, 3), dtype=np.uint8)
    plain = np.concatenate([given, few_colours(cells, colours - 2).codes])
    plain_error = ciede2000(cells[:, None], lab_from_codes(plain)).min(axis=1).mean()
    assert few_colours_beside(cells, colours, given).errors.mean() <= plain_error + 1e-4


def test_a_given_colour_displaces_none_where_there_is_room():
    """Three flat colours in six places: a fourth one, kept, leaves each cell its own colour."""
    flat = np.array([[255, 255, 255], [200, 40, 40], [40, 60, 160]], dtype=np.uint8)
    chosen = few_colours_beside(lab_from_codes(flat.repeat(50, axis=0)), 6, np.array([[216, 199, 160]], dtype=np.uint8))
    assert chosen.errors.max() < 1e-3


def test_more_given_than_asked_for_is_refused(cells):
    with pytest.raises(BadChoiceError, match="raise --colours"):
        few_colours_beside(cells, 1, np.concatenate([INK, INK + 80]))
