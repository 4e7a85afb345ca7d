import csv
import io
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL.GimpPaletteFile import GimpPaletteFile
from strategies import palettes

from palettes.colour import Supply, colour_from_hex, lab_of_srgb
from palettes.formats.csv_table import palette_csv, parse_csv
from palettes.formats.read import read_palette
from palettes.palette import Palette
from shared.colour import lab_from_codes
from shared.errors import BadFileError

STASH = """name,colour,size,code,finish,grams,pack_grams,price
wet slate,#2f4a5a,11c 11,S1,matte,4.5,10,3.25
sand,#d8c7a0,all,,,,,
"""

FORMULAS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""What a spreadsheet takes for the beginning of a formula: OWASP, "CSV Injection"."""


def read(text, source="stash.csv"):
    return read_palette(text.encode() if isinstance(text, str) else text, source)


def test_the_columns_of_a_stash():
    found = read(STASH)
    slate, sand = found.entries
    assert found.name == "stash"
    assert (slate.name, slate.srgb, slate.finish) == ("wet slate", "#2f4a5a", "matte")
    assert slate.sizes == ("cylinder 11/0", "round 11/0")
    supply = slate.supply("round 11/0")
    assert (supply.code, supply.grams, supply.pack_grams, supply.price) == ("S1", 4.5, 10, 3.25)
    assert slate.lab == pytest.approx(lab_from_codes(found.codes[0]), abs=1e-4)
    assert sand.supplies[0].grams is None
    (notice,) = found.notices
    assert notice.startswith(
        "line 2: 4.5 g of wet slate are taken to be at hand in each of the sizes 11c 11; give each"
    )


@given(palettes())
def test_any_palette_comes_back_from_its_table(palette):
    """RFC 4180, section 2: lines end in CRLF and all have as many cells as the header. No cell is a formula."""
    text = palette_csv(palette)
    again = parse_csv(text, palette.name)
    assert (again, again.notices) == (palette, ())
    assert text.endswith("\r\n")
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert {len(row) for row in rows} == {len(rows[0])}
    figures = {place for place, column in enumerate(rows[0]) if column in {"L", "a", "b"}}
    for row in rows[1:]:
        assert not any(cell.startswith(FORMULAS) for place, cell in enumerate(row) if place not in figures)


def test_each_size_that_has_been_weighed_has_its_own_line():
    """So that nobody takes one weight for that of all sizes; sizes that differ in nothing else share a line."""
    weighed = tuple(Supply(size, grams=4.5) for size in ("cylinder 11/0", "round 11/0"))
    unknown = tuple(Supply(size, price=3) for size in ("round 8/0", "round 6/0"))
    lines = palette_csv(Palette("stash", (colour_from_hex("slate", "#2f4a5a", weighed + unknown),))).splitlines()
    assert lines == [
        "name,colour,size,grams,price",
        "slate,#2f4a5a,11c,4.5,",
        "slate,#2f4a5a,11,4.5,",
        "slate,#2f4a5a,8 6,,3",
    ]


@given(palettes())
def test_a_gimp_palette_keeps_screen_colours_and_names(palette):
    """Written as the format says; Pillow's own reader of it agrees."""
    rows = [
        f"{' '.join(map(str, code))}\t{entry.name}" for code, entry in zip(palette.codes, palette.entries, strict=True)
    ]
    data = "\n".join(["GIMP Palette", f"Name: {palette.name}", "Columns: 8", "#", *rows, ""]).encode()
    assert GimpPaletteFile.frombytes(data).palette == palette.codes.tobytes()
    back = read(data, "x.gpl")
    assert [(e.srgb, e.name) for e in back.entries] == [(e.srgb, e.name) for e in palette.entries]
    assert back.name == palette.name
    assert all(entry.is_made_in("round 6/0") for entry in back.entries)


@pytest.mark.parametrize("mark", ["", "\ufeff"], ids=["plain", "byte order mark"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize(("separator", "comma"), [(",", "."), (";", ","), (";", "."), ("\t", ",")])
def test_a_table_in_every_dress_gives_the_same(mark, end, separator, comma):
    rows = [line.split(",") for line in STASH.splitlines()]
    rows[1][5:] = [cell.replace(".", comma) for cell in rows[1][5:]]
    text = mark + end.join(separator.join(row) for row in rows) + end
    assert read(text) == read(STASH)


def test_a_table_in_any_order_and_letter_case():
    text = """
Size; NAME ;Color;finish;Pack-Grams;PRICE;Code;grams
11c 11;wet slate;2F4A5A;matte;10;3,25;S1;4.5

 all;sand;#D8C7A0"""
    assert read(text) == read(STASH.replace("\n", "\n\n", 1))


def test_a_table_as_a_spreadsheet_writes_it():
    text = """sep=;
"name";"colour";"size";"code";"finish";"grams";"pack grams";"price"
"wet  slate ";#2f4a5a;"11c; 11";S1;matte;4.5;10;3.25
;;;;;;;
 sand;#d8c7a0;all;;;;;
"""
    assert read(text) == read(STASH)


def test_quoted_cells_keep_separators_and_quotes():
    entries = read('name,colour,size,notes\n"slate, ""wet""",#2f4a5a,"11c, 11","two\nlines"\nsand,#d8c7a0,8,\n').entries
    assert [entry.name for entry in entries] == ['slate, "wet"', "sand"]
    assert entries[0].sizes == ("cylinder 11/0", "round 11/0")


def test_lines_of_one_name_are_one_colour_in_several_sizes():
    (entry,) = read("name,colour,size,grams,price,finish\nslate,#2f4a5a,11c,5,3,\nSlate,#2f4a5a,8 6,,2,matte\n").entries
    assert entry.name == "slate"
    assert entry.finish == "matte"
    assert [(s.size, s.grams, s.price) for s in entry.supplies] == [
        ("cylinder 11/0", 5, 3),
        ("round 8/0", None, 2),
        ("round 6/0", None, 2),
    ]


def test_colours_may_be_given_in_lab():
    """CIELAB of sRGB red (D65), as published by colour-science 0.4.7: 53.2329, 80.1112, 67.2237."""
    palette = read("name;L*;a*;b*;colour;size\nred;53,2329;80,1112;67,2237;#ff0000;all\nsand;;;;#d8c7a0;8\n")
    assert palette.entries[0].srgb == "#ff0000"
    assert palette.entries[0].lab == (53.2329, 80.1112, 67.2237)
    assert palette.entries[1].srgb == "#d8c7a0"


def test_columns_that_are_not_used_are_told():
    notices = read("name,colour,size,grms,shelf\nslate,#2f4a5a,8,4,top\n").notices
    assert notices == ("the column 'grms' is not used (did you mean grams?)", "the column 'shelf' is not used")


@pytest.mark.parametrize(
    ("table", "assumed"),
    [
        ("name,hex,size\nslate,2F4A5A,11c", 0),
        ("name,rgb,size\nslate,rgb(47,74,90),11c", 0),
        ('name,rgb,size\nslate,"47, 74, 90",11c', 0),
        ("name,Red,Green,Blue,size\nslate,47,74,90,11c", 0),
        ("name,R,G,B,L,a,b,size\nslate,47,74,90,30.0103,-5.3174,-12.6394,11c", 0),
        ("name,hex\nslate,#2f4a5a", 1),
        ("name,hex,size\nslate,#2f4a5a,", 1),
        ("code,hex,size\nslate,#2f4a5a,11c", 1),
        ("colour,hex,size\nslate,#2f4a5a,11c", 1),
        ("name,hex,size\nslate,#2f4a5a,11c\nslate,#2f4a5a,11c", 1),
        ("slate,#2f4a5a,11c", 1),
        ("cylinder 11/0;slate;rgb(47,74,90)", 1),
    ],
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-32"])
def test_a_table_as_people_have_it_says_what_it_assumes(table, assumed, encoding):
    found = read(table.encode(encoding))
    assert [(entry.name, entry.srgb, entry.sizes) for entry in found.entries] == [
        ("slate", "#2f4a5a", ("cylinder 11/0",))
    ]
    assert len(found.notices) == assumed
    assert all(notice.startswith("line") for notice in found.notices)


@pytest.mark.parametrize(
    ("words", "srgb"),
    [("#f0a", "#ff00aa"), ("rgb(1 2 3)", "#010203"), ("teal", "#008080"), ("Dark Slate Grey", "#2f4f4f")],
)
def test_short_and_named_colours(words, srgb):
    """CSS Color Module Level 3, sections 4.2 and 4.3."""
    found = read(f"name,colour,size\nmine,{words},8\n")
    assert found.entries[0].srgb == srgb
    assert len(found.notices) == words[0].isalpha() - words.startswith("rgb(")


@pytest.mark.parametrize(
    ("price", "figure"), [("3,20 €", 3.2), ("€3.20", 3.2), ("£ 2", 2), ("$1.5", 1.5), ("12 CHF", 12)]
)
def test_prices_with_a_currency_and_weights_with_a_unit(price, figure):
    supply = read(f'name,hex,size,grams,price\na,#fff,8,"4,5 g","{price}"\n').entries[0].supplies[0]
    assert (supply.grams, supply.price) == (4.5, figure)


def test_latin_1_is_read_and_the_first_such_line_is_shown():
    found = read("name,hex,size\nsand,#d8c7a0,8\nécume,#f0efe8,8\n".encode("latin-1"))
    assert found.entries[1].name == "écume"
    assert found.notices[0].startswith("line 3: not UTF-8")
    assert "écume" in found.notices[0]


def test_colours_without_names_are_described():
    found = read("hex,size\n#2f4a5a,8\n#d8c7a0,8\n#2f4a5a,11c\n")
    assert [(entry.srgb, len(entry.supplies)) for entry in found.entries] == [("#2f4a5a", 2), ("#d8c7a0", 1)]


def test_a_stash_needs_names_sizes_and_grams_alone():
    table = b"name,size,grams\nSlate,8,4\nslate,,3 g\nfoam,8,1\n"
    found = read_palette(table, "stash.csv", flat="round 15/0", colours={"slate": lab_of_srgb("#2f4a5a")})
    (slate,) = found.entries
    assert slate.srgb == "#2f4a5a"
    assert [(supply.size, supply.grams) for supply in slate.supplies] == [("round 8/0", 4), ("round 15/0", 3)]
    assert [notice.partition(":")[0] for notice in found.notices] == ["lines 2, 3", "line 3", "line 4"]
    with pytest.raises(BadFileError, match="names no colour of this design"):
        read_palette(table, "stash.csv", colours={})


def test_a_gimp_palette_as_it_is_found():
    found = read(
        "GIMP Palette\r\nName: Rock pool\r\nColumns: 4\r\n# made by hand\r\n 47  74  90 wet slate\r\n"
        "255 127 80\tUntitled\r\n112 128 144\r\n47 74 90 wet slate\r\n1 2 3 WET slate\r\n",
        "other.gpl",
    )
    assert found.name == "Rock pool"
    assert [entry.name for entry in found.entries] == ["wet slate", "coral", "light slate", "WET slate 2"]
    assert found.notices == (
        "1 colour that came again under the same name left out",
        "2 colours without a name described by one",
        "1 colour whose name came again numbered",
    )


def test_a_gimp_palette_without_a_name_takes_the_files():
    assert read("GIMP Palette\n#\n0 0 0\tink\n", "shelf/Rock pool.gpl").name == "Rock pool"


@given(
    st.binary(max_size=80),
    st.sampled_from(["", "GIMP Palette\n", "name,colour,size\n", "name;colour;size\nx;#000000;8;"]),
)
def test_any_bytes_give_a_palette_or_a_clear_refusal(data, beginning):
    with suppress(BadFileError):
        assert read(beginning.encode() + data).entries
