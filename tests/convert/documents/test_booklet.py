"""The booklet as a PDF: what its tags, fonts and entries are, read by pikepdf (qpdf)."""

import io
import re
from dataclasses import replace
from itertools import pairwise

import pikepdf
import pytest
from booklets import KINDS, pdf_of, random_design

from convert.documents.booklet.booklet import booklet_pdf
from convert.documents.booklet.choices import BookletChoices, Studio

STUDIO = Studio("Ása Møller-Καρρά", ("asa@example.org",), ("Stitch it for yourself.", "Do not copy it."))


def opened(pdf):
    return pikepdf.open(io.BytesIO(pdf))


def every_tag(node):
    """Yield all structure elements below one."""
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid
            yield from every_tag(kid)


def test_it_says_that_it_is_accessible_and_archival():
    """ISO 14289-1, 5 and ISO 19005-2, 6.6.4: the identifiers in the metadata."""
    with opened(pdf_of("domes")) as pdf, pdf.open_metadata() as metadata:
        assert metadata["pdfuaid:part"] == "1"
        assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("2", "A")


@pytest.mark.parametrize("kind", KINDS)
def test_it_is_tagged_with_title_and_language(kind):
    """ISO 14289-1: 7.1 (tagged, title shown), 7.2 (natural language)."""
    with opened(pdf_of(kind)) as pdf:
        assert pdf.Root.MarkInfo.Marked
        assert pdf.Root.ViewerPreferences.DisplayDocTitle
        assert str(pdf.Root.Lang).startswith("en")
        assert str(pdf.docinfo["/Title"]) == KINDS[kind]().title


def test_headings_tables_and_pictures_are_tagged():
    """ISO 14289-1: 7.3 (figures have alternative text), 7.4 (no level of heading is left out), 7.5 (table headers)."""
    with opened(pdf_of("domes")) as pdf:
        tags = list(every_tag(pdf.Root.StructTreeRoot))
        names = [str(tag.S) for tag in tags]
        figures = [tag for tag in tags if tag.S == "/Figure"]
        assert len(figures) >= 8
        assert all(str(tag.Alt).strip() for tag in figures)
        assert {"/Table", "/TH", "/TD", "/P"} <= set(names)
        levels = [int(name[2:]) for name in names if re.fullmatch("/H[1-6]", name)]
        assert levels
        assert levels[0] == 1
        assert all(after <= before + 1 for before, after in pairwise(levels))


def test_bookmarks_lead_to_every_part():
    with opened(pdf_of("domes")) as pdf, pdf.open_outline() as outline:
        names = [item.title for item in outline.root]
    for wanted in ("What you need", "How it is stitched", "The chart", "Word rows", "Sizes", "Take care"):
        assert wanted in names


@pytest.mark.parametrize("kind", ["from the bottom", "domes"])
def test_every_font_is_embedded_and_maps_to_unicode(kind):
    """ISO 14289-1: 7.21.4.1 (embedded), 7.21.7 (Unicode)."""
    with opened(pdf_of(kind)) as pdf:
        fonts = {name: font for page in pdf.pages for name, font in page.resources.get("/Font", {}).items()}
        assert fonts
        for font in fonts.values():
            assert "/ToUnicode" in font
            described = font.DescendantFonts[0].FontDescriptor
            assert {"/FontFile2", "/FontFile3"} & set(described.keys())


@pytest.mark.parametrize(("paper", "size"), [("a4", (595.28, 841.89)), ("letter", (612.0, 792.0))])
def test_the_pages_have_the_size_of_the_paper(paper, size):
    """A4 is 210 x 297 mm (ISO 216), letter 8.5 x 11 in; 72 points to the inch."""
    with opened(pdf_of("odd", paper=paper)) as pdf:
        for page in pdf.pages:
            assert [float(side) for side in page.mediabox[2:]] == pytest.approx(size, abs=0.01)


def test_the_same_input_gives_the_same_bytes():
    design, choices = KINDS["repeat"](), BookletChoices()
    assert booklet_pdf(design, choices) == booklet_pdf(design, choices)


def test_nothing_is_said_of_the_designer_but_what_she_says():
    design = KINDS["odd"]()
    with opened(pdf_of("odd")) as pdf:
        assert "/Author" not in pdf.docinfo
    with opened(booklet_pdf(design, BookletChoices(studio=STUDIO))) as pdf:
        assert str(pdf.docinfo["/Author"]) == STUDIO.name


def sizes_of_text(pdf):
    """Yield the font size of each letter of the text in points, by the text state of the page (ISO 32000-1, 9.3).

    Words within a picture are left out.
    """
    for page in pdf.pages:
        size, scale, stack, marked = 0.0, 1.0, [], []
        for instruction in pikepdf.parse_content_stream(page):
            operator, operands = str(instruction.operator), instruction.operands
            if operator == "q":
                stack.append(scale)
            elif operator == "Q":
                scale = stack.pop()
            elif operator == "cm":
                scale *= abs(float(operands[3])) or abs(float(operands[1]))
            elif operator == "Tf":
                size = float(operands[1])
            elif operator in ("BDC", "BMC"):
                marked.append(operator == "BDC" and "/Alt" in operands[1])
            elif operator == "EMC":
                marked.pop()
            elif operator in ("TJ", "Tj") and not any(marked):
                pieces = operands[0] if operator == "TJ" else operands
                letters = sum(len(bytes(piece)) // 2 for piece in pieces if isinstance(piece, pikepdf.String))
                yield from [round(size * scale, 2)] * letters


def test_large_print_has_nothing_under_sixteen_points_and_its_text_at_eighteen():
    with opened(pdf_of("repeat", large_print=True)) as pdf:
        sizes = list(sizes_of_text(pdf))
    assert min(sizes) >= 15.99
    assert max(set(sizes), key=sizes.count) == pytest.approx(18, abs=0.01)


def test_usual_print_is_smaller():
    with opened(pdf_of("repeat")) as pdf:
        assert min(sizes_of_text(pdf)) < 12


def test_names_with_markup_stay_text():
    design = random_design(6, 8, kinds=2, title="*Tide* #pagebreak() $x$ <tag> @ref", name="#image(x) _sea_")
    with opened(booklet_pdf(design, BookletChoices())) as pdf:
        assert str(pdf.docinfo["/Title"]) == design.title


def colours_filled(pdf):
    """Every colour that some page is filled with, as codes from 0 to 255; pixels of pictures are none of them."""
    return {
        tuple(round(255 * float(code)) for code in instruction.operands)
        for page in pdf.pages
        for instruction in pikepdf.parse_content_stream(page)
        if str(instruction.operator) in ("scn", "rg") and len(instruction.operands) == 3
    }


@pytest.mark.parametrize("ink", ["colour", "black"])
def test_colourways_have_swatches_of_their_colours_in_colour_ink(ink):
    design = random_design(6, 8, kinds=2)
    first, *others = design.beads
    other = replace(design, title="Dusk", beads=(replace(first, srgb="#123456", name="dusk"), *others))
    with opened(booklet_pdf(design, BookletChoices(ink=ink), colourways=[other])) as pdf:
        assert ((0x12, 0x34, 0x56) in colours_filled(pdf)) == (ink == "colour")
