"""Wrist sizes against published tables."""

import pytest

from convert.shopping.wrists import EASES, SURVEY_SIZES, beadwork_mm

INCH_MM = 25.4

WOMEN = {5: 142.25, 25: 150, 50: 154, 75: 160, 95: 168}
MEN = {5: 162, 25: 170, 50: 176, 75: 182, 95: 191}
"""Wrist circumference, mm, of 1,986 women and 4,082 men: percentiles of the public data of the 2012 Anthropometric
Survey of U.S. Army Personnel (NATICK/TR-15/007, Dec 2014), column wristcircumference."""

STANDARD_IN = {"women P50": 7, "men P50": 8}
"""Standard bracelets in several shops' size tables: 7 in for women, 8 in for men."""


@pytest.mark.parametrize(("people", "percentiles"), [("women", WOMEN), ("men", MEN)])
def test_the_default_sizes_are_the_percentiles_of_the_survey(people, percentiles):
    ours = {size.name: size.wrist_mm for size in SURVEY_SIZES}
    for percentile, wrist_mm in percentiles.items():
        assert ours[f"{people} P{percentile}"] == pytest.approx(wrist_mm, abs=0.5)
    assert len(ours) == len(WOMEN) + len(MEN)
    assert sorted(ours.values()) == list(ours.values())


@pytest.mark.parametrize("name", STANDARD_IN)
def test_standard_bracelets_are_the_survey_medians_plus_about_an_inch(name):
    """7 in - 154 mm = 24 mm and 8 in - 176 mm = 27 mm."""
    clasp_mm = 20.0
    median_mm = next(size.wrist_mm for size in SURVEY_SIZES if size.name == name)
    bracelet_mm = beadwork_mm(median_mm, INCH_MM, clasp_mm) + clasp_mm
    assert bracelet_mm == pytest.approx(STANDARD_IN[name] * INCH_MM, abs=2)


def test_eases_lie_near_the_shops_tables():
    """Snug 6-13, comfortable 19-25, loose 25-38 mm in six shops' tables."""
    assert 6 <= EASES["snug"] <= 13
    assert 19 <= EASES["comfortable"] <= 25
    assert 25 <= EASES["loose"] <= 38
