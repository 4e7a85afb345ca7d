"""The word rows of a booklet, read back from the PDF by poppler, and where its pages break."""

import re
from dataclasses import replace

import pytest
from booklets import KINDS, pdf_of, random_design, text_of
from strategies import SIZES

from convert.documents.booklet.booklet import booklet_pdf
from convert.documents.booklet.choices import BookletChoices, Studio
from convert.rows.parser import parse_rows

pytestmark = pytest.mark.outside

HEADER = "row, direction, beads: how many"
ROW = re.compile(r"^Rows?\s([0-9]+)(?:\+[0-9]+)?\s[\u2190\u2192]\s[0-9]+:")


@pytest.mark.parametrize("layout", [False, True], ids=["reading order", "as laid out"])
@pytest.mark.parametrize("kind", KINDS)
def test_the_text_of_the_pdf_gives_back_the_design(kind, layout, tmp_path):
    design = KINDS[kind]()
    text = "\n".join(text_of(pdf_of(kind), tmp_path, layout=layout))
    read = parse_rows(text, SIZES)
    assert read.title == design.title
    assert read.grid == design.grid
    assert (read.cells == design.cells).all()
    assert read.beads == design.beads


@pytest.mark.parametrize("choices", [{"large_print": True}, {"ink": "black"}, {"paper": "letter"}], ids=str)
@pytest.mark.parametrize("kind", ["repeat", "domes", "two-drop"])
def test_large_print_black_ink_and_letter_give_it_back_as_well(kind, choices, tmp_path):
    read = parse_rows("\n".join(text_of(pdf_of(kind, **choices), tmp_path)), SIZES)
    assert (read.cells == KINDS[kind]().cells).all()


def test_a_slip_in_the_text_is_not_passed_over(tmp_path):
    design = KINDS["odd"]()
    text = "\n".join(text_of(pdf_of("odd"), tmp_path))
    row = next(line for line in text.splitlines() if (found := ROW.match(line)) and found[1] == "7")
    first, second = row.split(": ", 1)
    other = second.replace("A", "Z").replace("B", "A").replace("Z", "B")
    read = parse_rows(text.replace(row, f"{first}: {other}"), SIZES)
    assert (read.cells != design.cells).any()


def row_pages(kind, tmp_path, **choices):
    """The numbers of the rows that begin on each page, and its lines."""
    for page in text_of(pdf_of(kind, **choices), tmp_path):
        lines = [line.strip() for line in page.splitlines() if line.strip()]
        rows = [int(found[1]) for line in lines if (found := ROW.match(line.replace("\N{NO-BREAK SPACE}", " ")))]
        if rows:
            yield rows, lines


@pytest.mark.parametrize("choices", [{}, {"large_print": True}, {"paper": "letter"}], ids=str)
@pytest.mark.parametrize("kind", ["odd", "repeat", "repeat with ends", "long rows", "domes"])
def test_headers_repeat_and_no_page_has_a_lone_row(kind, choices, tmp_path):
    pages = list(row_pages(kind, tmp_path, **choices))
    numbers = [row for rows, _ in pages for row in rows]
    assert numbers == sorted(numbers)
    for rows, lines in pages:
        assert len(rows) > 1
        assert any(HEADER in line for line in lines)
    assert len(pages) > 1 or choices != {"large_print": True}


@pytest.mark.parametrize("kind", ["long rows", "odd"])
def test_no_row_is_split_across_pages(kind, tmp_path):
    """The first line of row text on a page begins a row: what goes on from another page would stand before it."""
    for _, lines in row_pages(kind, tmp_path, large_print=True):
        body = lines[max(place for place, line in enumerate(lines) if HEADER in line) + 1 :]
        assert ROW.match(body[0].replace("\N{NO-BREAK SPACE}", " "))


def test_every_row_has_its_direction_count_and_turn_on_the_page(tmp_path):
    text = "\n".join(text_of(pdf_of("odd"), tmp_path)).replace("\N{NO-BREAK SPACE}", " ")
    assert re.search(r"^Row 3 \u2190 5: .*; odd-count turn$", text, re.MULTILINE)
    assert re.search(r"^Row 4 \u2192 4: [^;]*$", text, re.MULTILINE)


def test_the_repeat_stands_once_with_its_rounds(tmp_path):
    """Rows 4 to 19 four times in rows 4 to 67, then 68 to 72 as rows 4 to 8 (worked out by hand)."""
    text = "\n".join(text_of(pdf_of("repeat"), tmp_path)).replace("\N{NO-BREAK SPACE}", " ")
    assert "Rows 20\N{EN DASH}67: as rows 4\N{EN DASH}19" in text
    assert "Rows 68\N{EN DASH}72: as rows 4\N{EN DASH}8" in text
    for rows in ("rows 4 to 19", "rows 20 to 35", "rows 36 to 51", "rows 52 to 67", "rows 68 to 72: only 4 to 8"):
        assert rows in text
    assert not re.search(r"^Row 20 ", text, re.MULTILINE)


def test_checkpoints_stand_right_behind_their_rows(tmp_path):
    design = KINDS["domes"]()
    raised = design.grid.row_of[design.levels > 0]
    first, last = int(raised.min()), int(raised.max())
    lines = "\n".join(text_of(pdf_of("domes"), tmp_path)).replace("\N{NO-BREAK SPACE}", " ").splitlines()
    lines = [line.strip() for line in lines if line.strip()]
    checks = [place for place, line in enumerate(lines) if line.startswith("Check:")]
    assert lines[checks[0] - 1].startswith(f"Row {first} ")
    assert lines[checks[-1] - 1].startswith(f"Row {last} ")
    assert not [place for place in checks if not ROW.match(lines[place - 1])]


def test_words_are_copied_in_the_order_in_which_they_are_read(tmp_path):
    text = "\n".join(text_of(pdf_of("domes"), tmp_path))
    parts = ["Tide pool", "What you need", "How it is stitched", "The chart", "Word rows", "Sizes", "Take care"]
    places = [re.search(rf"^{part}$", text, re.MULTILINE).start() for part in parts]
    assert places == sorted(places)
    for words in (
        r"Finished size\. [0-9.]+ . [0-9.]+ mm",
        "Needle. Size [0-9]+",
        "Small parts. Glass beads can choke",
        "3. Go on like this",
    ):
        assert re.search(words, text), words


def test_a_row_too_long_for_any_page_is_still_whole(tmp_path):
    design = random_design(1400, 3, kinds=6)
    pages = text_of(booklet_pdf(design, BookletChoices(large_print=True)), tmp_path)
    assert (parse_rows("\n".join(pages), SIZES).cells == design.cells).all()


@pytest.mark.parametrize("rows", [12, *range(41, 46)])
def test_no_page_of_large_print_has_a_lone_paragraph(rows, tmp_path):
    """Of so many rows that the last page of word rows is full, or nearly."""
    design = random_design(61, rows, kinds=3) if rows == 12 else random_design(9, rows)
    others = [replace(design, title="Dusk")] if rows == 12 else []
    choices = BookletChoices(large_print=True, paper="a4" if others else "letter")
    for page in text_of(booklet_pdf(design, choices, colourways=others), tmp_path):
        assert len([line for line in page.splitlines() if line.strip()]) > 5, page


def test_a_word_of_the_terms_longer_than_a_line_stays_on_the_page_and_one_word(tmp_path):
    word = "tide" * 300
    studio = Studio("Bay Studio", (), (word,))
    pages = text_of(booklet_pdf(KINDS["odd"](), BookletChoices(studio=studio, large_print=True)), tmp_path)
    lines = [line for page in pages for line in page.splitlines() if re.fullmatch("[tide]{4,}", line)]
    assert "".join(lines) == word
    assert max(map(len, lines)) < 80
