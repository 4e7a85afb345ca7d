import pytest

from shared.errors import BadChoiceError
from shared.units import length_text, parse_length_mm


@pytest.mark.parametrize(
    ("text", "length_mm"),
    [
        ("165mm", 165),
        ("16.5 cm", 165),
        ("6.5in", 165.1),
        ('6.5"', 165.1),
        ("6,5 IN", 165.1),
        (".5m", 500),
        (" 7 inches ", 177.8),
    ],
)
def test_lengths_as_people_write_them(text, length_mm):
    """The inch is 25.4 mm: international yard and pound agreement, 1959."""
    assert parse_length_mm(text) == pytest.approx(length_mm)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("165", "165mm or 165in"),
        ("", "not a length"),
        ("mm", "not a length"),
        ("six in", "not a length"),
        ("5 miles", "no unit"),
        ("0mm", "above zero"),
        ("-3mm", "above zero"),
        ("nanmm", "not a length"),
        ("1e9mm", "not a length"),
        ("9" * 400 + "mm", "above zero"),
    ],
)
def test_a_bad_length_says_how_to_write_it(text, words):
    with pytest.raises(BadChoiceError, match=words):
        parse_length_mm(text)


def test_lengths_are_written_in_both_units():
    assert length_text(176.8) == "176.8 mm (6.96 in)"


def test_nothing_is_a_length_only_where_it_may_be():
    assert parse_length_mm("0mm", zero=True) == 0
    with pytest.raises(BadChoiceError, match="above zero"):
        parse_length_mm("-1mm", zero=True)
