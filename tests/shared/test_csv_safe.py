import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import words

from shared.csv_safe import make_inert, restore

BEGINNINGS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a spreadsheet takes for the beginning of a formula: OWASP, "CSV Injection"."""


@given(st.one_of(words(), st.text(st.sampled_from("'=+-@a\t\uff1d"), max_size=6)))
def test_an_inert_cell_is_no_formula_and_comes_back(cell):
    assert not make_inert(cell).startswith(BEGINNINGS)
    assert restore(make_inert(cell)) == cell


@pytest.mark.parametrize("cell", ["sand", "'tis sand", "a=b", "", "#2f4a5a", "4.5"])
def test_other_cells_stay_as_they_are(cell):
    assert make_inert(cell) == restore(cell) == cell
