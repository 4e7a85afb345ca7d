"""Every mistake of a palette file is told, with its line, all at once."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.formats.read import read_palette
from shared.errors import BadFileError, MistakesError

HEADER = "name,colour,size,code,finish,grams,pack_grams,price\n"
GOOD = "wet slate,#2f4a5a,11c 11,S1,matte,4.5,10,3.25"

WRONG = [
    (",#2f4a5a,8,,,,,", "there is no name; write some words"),
    ("a\x07b,#2f4a5a,8,,,,,", "the name must be one line of plain text"),
    ("a,,8,,,,,", "there is no colour; write it as #rrggbb"),
    ("a,#2f4a5,8,,,,,", "'#2f4a5' is no colour"),
    ("a,slate,8,,,,,", "'slate' is no colour"),
    ("a,#2f4a5a,8 9q,,,,,", "'9q' is no size"),
    ("a,#2f4a5a,8,,,lots,,", "grams: 'lots' is no number"),
    ("a,#2f4a5a,8,,,5 oz,,", "grams: '5 oz' is no number"),
    ('a,#2f4a5a,8,,,"1,500",,', "grams: '1,500' may be 1.500 or 1500"),
    ("a,#2f4a5a,8,,,,,£3 / $4", "price: '£3 / $4' is no number"),
    ('a,"47, 74, 90",8,,,,,', "'47, 74, 90' may be red, green, blue or L, a, b"),
    ("a,#2f4a5a,8,,,-4,,", "grams is -4; give 0 to 1,000,000"),
    ("a,#2f4a5a,8,,,,0,", "pack_grams is 0"),
    ("a,#2f4a5a,8,,,,," + "9" * 400, "price is inf; give 0 to 1,000,000"),
    ("a,#2f4a5a,8,,,4,5,6,7", "has 9 cells where the header names 8; put a cell that holds a comma in"),
    ('"a,#2f4a5a,8,,,,,', "the quotes do not pair"),
    ('"a"b,#2f4a5a,8,,,,,', "the quotes do not pair"),
    ("wet slate,#2f4a5b,8,,,,,", "wet slate has another colour on line 2; give one of them another name"),
    ("Wet Slate,#2f4a5a,8,,gloss,,,", "Wet Slate is matte on line 2; give one of them another name"),
    ("wet slate,#2f4a5a,8 11,,,,,", "wet slate in round 11/0 is on line 2 already; keep one of the two"),
]


def mistakes(text):
    with pytest.raises(MistakesError) as caught:
        read_palette(text.encode(), "stash.csv")
    assert str(caught.value).startswith("stash.csv: ")
    return caught.value.mistakes


@pytest.mark.parametrize(("line", "words"), WRONG)
def test_each_mistake_is_told_with_its_line(line, words):
    (mistake,) = mistakes(f"{HEADER}{GOOD}\n\nsand,#d8c7a0,8,,,,,\n{line}\nink,#20242a,8,,,,,\n")
    assert mistake.startswith(f"line 5: {words}")


@given(st.lists(st.sampled_from(range(len(WRONG))), min_size=1, max_size=8, unique=True))
def test_all_mistakes_are_told_at_once(places):
    """A line whose quotes do not pair hides nothing: the lines after it are read on."""
    lines = [WRONG[place] for place in places if not WRONG[place][0].startswith('"a,')]
    text = HEADER + "\n".join([GOOD, *(line for line, _ in lines)]) + "\n"
    if lines:
        found = mistakes(text)
        for number, (_, words) in enumerate(lines, start=3):
            assert any(mistake.startswith(f"line {number}: {words}") for mistake in found), (number, words, found)


def test_several_mistakes_of_one_line_are_all_told():
    found = mistakes("name,colour,size,grams,price\n,rouge,9x,a,b\n")
    assert len(found) == 5
    assert all(mistake.startswith("line 2: ") for mistake in found)


@pytest.mark.parametrize(
    ("header", "words"),
    [
        ("name,size", ["no column is called colour; name the columns"]),
        ("name,R,G", ["of the columns R, G, B there is only R and G"]),
        ("slate,#2f4a5a,11,4.5", ["no header, and 11, 4.5 may be a size, grams"]),
        ("slate,S1,#2f4a5a,11c", ["no header, and 'slate' and 'S1' may both be the name"]),
        ("name,size,L,b", ["of the columns L, a, b there is only L and b"]),
        ("a1,b1", ["no column is called colour"]),
        ("name,Name,colour,color,size", ["the column name is there twice", "the column colour is there twice"]),
        ('name,colour,"size', ["the quotes do not pair"]),
    ],
)
def test_mistakes_of_the_header(header, words):
    found = mistakes(f"\n{header}\nslate,#2f4a5a,8\n")
    for mistake, expected in zip(found, words, strict=False):
        assert mistake.startswith(f"line 2: {expected}")
    assert len(found) >= len(words)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ("50,,3,", "of L, a, b some are empty"),
        ("101,2,3,", "L, a, b = 101, 2, 3 is no colour"),
        ("50,x,3,", "'x' is no number"),
        ("50,0,0,#ff0000", "#ff0000 and L, a, b are two different colours"),
        ("50,0,0,#ff000", "'#ff000' is no colour"),
        ("50,0,0,red", "red and L, a, b are two different colours"),
        (",,,", "there is no colour"),
    ],
)
def test_mistakes_in_lab(cells, words):
    (mistake,) = mistakes(f"name,size,L,a,b,colour\nslate,8,{cells}\n")
    assert mistake.startswith(f"line 2: {words}")


def test_mistakes_of_a_gimp_palette():
    text = "GIMP Palette\nName: x\n1 2\n#\n256 0 0 red\n1 2 3 fine\n1.5 2 3 y\n-1 2 3\n1 2 3 a\x07b\n"
    found = mistakes(text)
    assert [mistake.split(":")[0] for mistake in found] == ["line 3", "line 5", "line 7", "line 8", "line 9"]
    assert "256 is over 255" in found[1]


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b"\xef\xbb\xbf \r\n", "is empty"),
        (HEADER.encode(), "holds no colour"),
        (b"GIMP Palette\nName: x\n", "holds no colour"),
        ("name,colour".encode("utf-16")[:-1], "line 1 has a character in another encoding"),
        ("name,colour".encode("utf-16-le"), "holds null characters, as UTF-16 text"),
        (b"name,colour,size\nslate,#2f4a5a,8\n\x81cume,#2f4a5a,8\n", "is not UTF-8: line 3"),
        (b"PK\x03\x04rest", "is a spreadsheet file; save it as UTF-8"),
        (b"\x89PNG\r\n", "is a picture; give a table"),
        (b"\xff\xd8\xff\xe0", "is a picture; give a table"),
    ],
)
def test_what_is_no_palette_is_refused_in_one_sentence(data, words):
    with pytest.raises(BadFileError, match=words) as caught:
        read_palette(data, "stash.csv")
    assert str(caught.value).startswith("stash.csv: ")
    assert "\n" not in str(caught.value)


def test_what_is_far_too_large_is_refused_unread():
    with pytest.raises(BadFileError, match="is larger than 8 MB"):
        read_palette(bytes(8_000_001), "stash.csv")


def test_a_file_of_nothing_but_bad_quotes_is_given_up_early():
    assert len(mistakes(HEADER + '"a\n' * 5000)) == 20


def test_figures_that_cannot_be_meant_are_all_told():
    found = mistakes(f"{HEADER}sand,#d8c7a0,8,,,lots,0,-3\n")
    assert [mistake.partition(" is ")[0] for mistake in found[1:]] == ["line 2: pack_grams", "line 2: price"]
    assert found[0].startswith("line 2: grams: 'lots' is no number")


def test_three_figures_without_a_header_may_be_two_colours():
    (mistake,) = mistakes("slate,47,74,90\nsand,80,2,9\n")
    assert mistake.startswith("line 1: no header, and 47, 74, 90 may be red, green, blue or L, a, b, a size, grams")


def test_prices_in_two_currencies_are_refused():
    (mistake,) = mistakes('name,hex,price\na,#fff,"3,20 €"\nb,#000,2\nc,#111,$4\n')
    assert mistake.startswith("line 4: the price is in $ here and in € on line 2")


def test_a_point_before_three_digits_is_unsure_next_to_decimal_commas():
    (mistake,) = mistakes("name;hex;grams\na;#fff;1,5\nb;#000;1.500\nc;#111;0,125\n")
    assert mistake.startswith("line 3: grams: '1.500' may be 1.500 or 1500")
