import csv
import warnings
from pathlib import Path

import numpy as np
import pytest

from shared.ciede2000 import ciede2000, difference_table
from shared.colour import (
    codes_from_hex,
    codes_from_linear,
    hex_from_codes,
    lab_from_codes,
    lab_from_linear,
    lightness_from_linear,
    linear_from_lab,
    linear_from_srgb,
    srgb_from_linear,
)
from shared.errors import BadChoiceError

PAIRS = Path(__file__).parents[1] / "reference" / "ciede2000_pairs.csv"


@pytest.fixture(scope="module")
def science():
    """The reference library colour-science."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    return colour


@pytest.fixture(scope="module")
def random_srgb():
    return np.random.default_rng(20).random((10_000, 3))


def pairs():
    lines = [line for line in PAIRS.read_text("utf-8").splitlines() if not line.startswith("#")]
    return np.array([[float(cell) for cell in row] for row in list(csv.reader(lines))[1:]])


def test_all_34_published_pairs():
    """Sharma, Wu and Dalal 2005, table 1; the table has four decimals."""
    table = pairs()
    assert len(table) == 34
    ours = ciede2000(table[:, 1:4], table[:, 4:7])
    assert np.abs(ours - table[:, 7]).max() <= 1e-4
    assert np.abs(ciede2000(table[:, 4:7], table[:, 1:4]) - table[:, 7]).max() <= 1e-4


def test_lab_agrees_with_colour_science(science, random_srgb):
    theirs = science.XYZ_to_Lab(
        science.sRGB_to_XYZ(random_srgb), science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )
    assert np.abs(lab_from_linear(linear_from_srgb(random_srgb)) - theirs).max() < 1e-6
    assert np.abs(lightness_from_linear(linear_from_srgb(random_srgb)) - theirs[:, 0]).max() < 1e-6
    dark = np.linspace(0, 0.02, 30)[:, None].repeat(3, axis=1)
    assert lightness_from_linear(dark) == pytest.approx(lab_from_linear(dark)[:, 0], abs=1e-9)


def test_the_transfer_function_agrees_with_colour_science(science, random_srgb):
    theirs = science.models.eotf_sRGB(random_srgb)
    assert np.abs(linear_from_srgb(random_srgb) - theirs).max() < 1e-9
    assert np.abs(srgb_from_linear(theirs) - random_srgb).max() < 1e-9


def test_ciede2000_agrees_with_colour_science(science):
    rng = np.random.default_rng(21)
    one, other = rng.uniform([0, -90, -90], [100, 90, 90], (2, 10_000, 3))
    assert np.abs(ciede2000(one, other) - science.delta_E(one, other, method="CIE 2000")).max() < 1e-9


def test_the_single_precision_table_is_close():
    rng = np.random.default_rng(22)
    labs, palette = rng.uniform([0, -90, -90], [100, 90, 90], (300, 3)), rng.uniform(0, 90, (17, 3))
    assert np.abs(difference_table(labs, palette) - ciede2000(labs[:, None], palette)).max() < 1e-4


@pytest.mark.parametrize(
    ("code", "linear"),
    [(0, 0), (1, 0.0003035270), (10, 0.0030352698), (11, 0.0033465358), (128, 0.2158605001), (188, 0.5028864580)],
)
def test_codes_of_the_standard(code, linear):
    """IEC 61966-2-1:1999, evaluated by two independent libraries."""
    assert linear_from_srgb(np.array(code / 255)) == pytest.approx(linear, abs=1e-10)


def test_every_code_comes_back(random_srgb):
    codes = np.arange(256, dtype=np.uint8)
    assert np.array_equal(codes_from_linear(linear_from_srgb(codes / 255)), codes)
    linear = linear_from_srgb(random_srgb)
    assert np.abs(linear_from_lab(lab_from_linear(linear)) - linear).max() < 1e-9


def test_hexadecimal_both_ways():
    assert hex_from_codes(codes_from_hex("#2F4a5a")) == "#2f4a5a"
    assert codes_from_hex("2f4a5a").tolist() == [47, 74, 90]
    assert lab_from_codes(codes_from_hex("#ffffff")) == pytest.approx([100, 0, 0], abs=0.02)


@pytest.mark.parametrize("text", ["", "#12345", "red", "#12345g", "#1234567"])
def test_other_words_are_no_colour(text):
    with pytest.raises(BadChoiceError, match="#rrggbb"):
        codes_from_hex(text)
