import math
from dataclasses import replace

import pytest

from shared.beads import (
    BeadSize,
    BeadSizes,
    bead_sizes_from_values,
    bead_sizes_to_values,
    default_bead_sizes,
    parse_bead_sizes,
)
from shared.errors import BadFileError

GLASS_MG_PER_MM3 = 2.5
"""Soda-lime glass, 2.4 … 2.53 g/cm3: High Temperature Glass Melt Property Database, American Ceramic Society, 2005."""

GOOD = """
[[size]]
name = "cylinder 11/0"
length_mm = 1.3
diameter_mm = 1.6
hole_mm = 0.8
per_gram = 200
"""


@pytest.mark.parametrize("size", default_bead_sizes().sizes, ids=lambda size: size.name)
def test_measures_and_weights_agree_with_each_other(size):
    """A bead weighs between 0.65 and 1.05 of the glass cylinder drilled by its hole: napkin-ring geometry.

    A sphere drilled through has 2/3 of it, a cylinder all of it.
    """
    cylinder_mg = math.pi / 4 * (size.diameter_mm**2 - size.hole_mm**2) * size.length_mm * GLASS_MG_PER_MM3
    assert 0.65 <= 1000 / size.per_gram / cylinder_mg <= 1.05


def test_the_plausibility_check_can_fail():
    """15 per gram for an 8/0 was published and is that of a 6/0."""
    size = default_bead_sizes().sizes[2]
    cylinder_mg = math.pi / 4 * (size.diameter_mm**2 - size.hole_mm**2) * size.length_mm * GLASS_MG_PER_MM3
    assert 1000 / 15 / cylinder_mg > 1.05


def test_the_default_sizes_step_through_the_trade_sizes():
    """Common practice, no source: cylinders, then 11/0, 8/0, 6/0 rounds; sizes do not skip."""
    bead_sizes = default_bead_sizes()
    assert [size.name for size in bead_sizes.sizes] == ["cylinder 11/0", "round 11/0", "round 8/0", "round 6/0"]
    assert bead_sizes.marks == ("", "11", "8", "6")
    assert [(size.shape, size.number) for size in bead_sizes.sizes][-1] == ("round", "6")


def test_bead_sizes_come_back_from_its_values():
    assert bead_sizes_from_values(bead_sizes_to_values(default_bead_sizes())) == default_bead_sizes()
    assert parse_bead_sizes(GOOD).sizes == (BeadSize("cylinder 11/0", 1.3, 1.6, 0.8, 200),)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("[[size]]", "[[size"), "not TOML"),
        (("[[size]]", "[size]"), "list"),
        (("length_mm = 1.3\n", ""), "needs exactly"),
        (("per_gram = 200", "per_gram = 200\nprice = 3"), "needs exactly"),
        (("1.3", "0"), "above zero"),
        (("1.3", "-1.3"), "above zero"),
        (("1.3", "nan"), "above zero"),
        (("1.3", "inf"), "above zero"),
        (("1.3", "true"), "must be a number"),
        (("1.3", '"1.3"'), "must be a number"),
        (("1.3", "130"), "in mm"),
        (("1.3", "1e-300"), "in mm"),
        (("1.3", "1" + "0" * 400), "must be a number"),
        (("per_gram = 200", "per_gram = 1e-5"), "weigh one gram"),
        (("cylinder 11/0", "cylinder 00/0"), "no bead size"),
        (("0.8", "1.7"), "wider than the bead"),
        (("cylinder 11/0", "tube 11/0"), "no bead size"),
        (('"cylinder 11/0"', "11"), "must be text"),
    ],
)
def test_bad_bead_sizes_are_refused_in_one_sentence(change, words):
    with pytest.raises(BadFileError, match=words) as caught:
        parse_bead_sizes(GOOD.replace(*change), source="mine.toml")
    assert str(caught.value).startswith("mine.toml")
    assert "\n" not in str(caught.value).strip()


def test_sizes_that_do_not_rise_are_refused():
    sizes = default_bead_sizes().sizes
    with pytest.raises(BadFileError, match="rising order"):
        BeadSizes((sizes[2], sizes[1]))
    with pytest.raises(BadFileError, match="same name"):
        BeadSizes((sizes[1], sizes[1]))
    with pytest.raises(BadFileError, match="same number"):
        BeadSizes((replace(sizes[0], name="cylinder 15/0"), sizes[0], sizes[1]))
    with pytest.raises(BadFileError, match="no bead size"):
        BeadSizes(())
