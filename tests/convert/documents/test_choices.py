"""What a designer may say of herself, and how a file that cannot be used is refused."""

import pytest

from convert.documents.booklet.choices import Studio, parse_studio
from shared.errors import BadFileError


def test_names_lines_and_paragraphs():
    text = 'name = "Ása"\ncontact = "asa@example.org\\nHarbour Row 3"\nterms = """One\nparagraph.\n\nAnother."""\n'
    assert parse_studio(text) == Studio("Ása", ("asa@example.org", "Harbour Row 3"), ("One paragraph.", "Another."))


def test_any_part_may_be_left_out():
    assert parse_studio('terms = ["Stitch it.", "Enjoy it."]') == Studio(terms=("Stitch it.", "Enjoy it."))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('nam = "x"', "'nam' cannot be used"),
        ('phone = "1"\nfax = "2"', "'phone', 'fax' cannot be used"),
        ("name = 3", "name must be one line"),
        ('name = ""', "name"),
        ('name = "a\\nb"', "name"),
        ("terms = [1]", "terms must be a text"),
        ("contact = []", "contact must be a text"),
        ('contact = "  "', "contact is empty"),
        ('terms = "\\u0007"', "control character"),
        (f'terms = "{"x" * 5000}"', "characters long"),
        ("name = ", "not TOML"),
        ("", "says nothing"),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(text, words):
    with pytest.raises(BadFileError) as caught:
        parse_studio(text, source="studio.toml")
    assert str(caught.value).startswith("studio.toml: ")
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)
