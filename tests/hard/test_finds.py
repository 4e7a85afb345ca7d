"""What the fuzzer found, each made small: a value or our own error, and at once."""

import time

import pytest
from readers import READERS, parse_length_mm

from convert.commands.parameters import parse_drop
from convert.mound_words import parse_mound
from shared.errors import BadChoiceError, HummockError

DIGITS = "9" * 5000
LONG = "9" * 100_000
PALETTE = "name,size,colour,grams\nkelp,all,#2f5a3a,"


@pytest.mark.parametrize(
    ("reader", "data"),
    [
        ("palette", f"GIMP Palette\n{DIGITS} 0 0 kelp\n"),
        ("palette", f"{PALETTE}{LONG}x\n"),
        ("ladder", f"[gauge]\nbending = {DIGITS}\n"),
        ("ladder", "a = " + "[" * 5000),
        ("studio", f"name = {DIGITS}\n"),
    ],
)
def test_what_was_found_in_files_is_refused(reader, data):
    assert not READERS[reader].law(data.encode())


def test_a_height_of_thousands_of_digits_is_refused():
    with pytest.raises(BadChoiceError):
        parse_mound(f"disc 5,5 r2 h{DIGITS}")


def test_a_drop_may_have_odd_blanks_about_it():
    assert parse_drop("2\x1d") == 2


@pytest.mark.parametrize("words", [f"{LONG}?", f"1{' ' * len(LONG)}?"])
def test_time_to_refuse_a_length_grows_with_its_letters_only(words):
    """A pattern that tries every way to part the digits took minutes."""
    begun = time.perf_counter()
    with pytest.raises(HummockError):
        parse_length_mm(words)
    assert time.perf_counter() - begun < 2
