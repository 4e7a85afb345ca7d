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
    ("text", "names"),
    [
        ('nam = "x"', "'nam' cannot be used; a studio file has name, contact and terms only"),
        ('phone = "1"\nfax = "2"', "'phone', 'fax'"),
        ("name = 3", "name"),
        ('name = ""', "name"),
        ('name = "a\\nb"', "name"),
        ("terms = [1]", "terms"),
        ("contact = []", "contact"),
        ('contact = "  "', "contact"),
        ('terms = "\\u0007"', "terms"),
        (f'terms = "{"x" * 5000}"', "terms"),
        ("name = ", ""),
        ("", ""),
    ],
)
def test_a_file_that_cannot_be_used_is_refused_in_one_sentence(text, names):
    with pytest.raises(BadFileError) as caught:
        parse_studio(text, source="studio.toml")
    assert str(caught.value).startswith("studio.toml: ")
    assert names in str(caught.value)
    assert "\n" not in str(caught.value)
