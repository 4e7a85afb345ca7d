"""Whatever a file holds, its reader gives a value or our own error."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from readers import READERS


@pytest.mark.parametrize("name", READERS)
def test_a_good_file_is_read(name):
    for good in READERS[name].good:
        assert READERS[name].law(good)


@pytest.mark.parametrize("name", READERS)
@given(data=st.binary(max_size=200))
def test_random_bytes_are_read_or_refused(name, data):
    READERS[name].law(data)


@pytest.mark.parametrize("name", READERS)
@settings(max_examples=100)
@given(data=st.data())
def test_nearly_good_files_are_read_or_refused(name, data):
    READERS[name].law(READERS[name].edit(lambda limit: data.draw(st.integers(0, limit - 1))))
