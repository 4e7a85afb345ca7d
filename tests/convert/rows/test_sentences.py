"""Word rows as sentences and as a table say what the text says."""

import csv
import io
import re
from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from independent_reader import stitch
from repeat_oracle import any_work, plain, repeated
from size_levels import middle, rings
from strategies import SIZES, bead_of, designs

from convert.rows.abbreviate import abbreviate_rows
from convert.rows.row import rows_of_work
from convert.rows.sentences import BeadNames, row_in_words, rows_in_words, totals_in_words
from convert.rows.writer import HEADER, rows_csv, rows_text, write_row
from shared.beads import BeadSize, BeadSizes
from shared.design import Bead, Design
from shared.grid import Grid
from shared.plural import in_words


def told(design):
    return rows_in_words(design, abbreviate_rows(design))


SAND, SLATE = ("#d8c7a0", (80.0, 1.0, 22.0), "sand"), ("#2f4a5a", (30.0, -6.0, -12.0), "slate")
BEADS = (
    Bead("A", "cylinder 11/0", *SLATE),
    Bead("B11", "round 11/0", *SAND),
    Bead("B8", "round 8/0", *SAND),
)
NUMBERS = {in_words(number): number for number in range(13)}


def row_12(*keys):
    """Entries of work 20 columns wide whose row 12 has these beads in needle order."""
    grid = Grid(20, 12)
    cells = np.zeros(grid.count, np.int64)
    cells[grid.entry_of[12].beads] = keys
    design = Design("Tide pool", grid, SIZES, BEADS, cells)
    return rows_of_work(design)[-1], BeadNames.of(design)


def test_a_row_as_one_would_say_it():
    entry, names = row_12(1, *[0] * 8, 1)
    told = "Row 12, left to right, 10 beads: one 11/0 in sand, eight cylinders in slate, one 11/0 in sand."
    assert row_in_words(entry, names) == told
    assert totals_in_words(entry) == "lay out 2 B11, 8 A"
    assert write_row(entry) == "Row 12 → 10: 1 B11, 8 A, 1 B11"


def test_plurals():
    entry, names = row_12(1, 1, 2, 2, 2, 0, 2, 0, 0, 0)
    assert row_in_words(entry, names).endswith(
        "two 11/0s in sand, three 8/0s in sand, one cylinder in slate, one 8/0 in sand, three cylinders in slate."
    )


def test_numbers_over_twelve_are_figures():
    assert [in_words(number) for number in (1, 12, 13, 1200)] == ["one", "twelve", "13", "1,200"]


def test_cylinders_of_two_sizes_are_told_apart():
    bead_sizes = BeadSizes((SIZES.sizes[0], BeadSize("cylinder 10/0", 1.7, 2.2, 0.9, 100)))
    grid = Grid(2, 2)
    beads = (Bead("A", "cylinder 11/0", *SLATE), Bead(f"B{bead_sizes.marks[1]}", "cylinder 10/0", *SAND))
    design = Design("Wall", grid, bead_sizes, beads, np.array([0, 1]))
    assert "one 10/0 cylinder in sand, one 11/0 cylinder in slate" in told(design)


def test_the_whole_of_a_small_work():
    assert told(plain(3, 4)) == (
        "Sea wall\n\n"
        "3 columns, 4 rows, odd-count flat peyote, tail at left. Columns are counted from the tail side.\n\n"
        "A: cylinder in sand 1\n\n"
        "Rows 1 and 2, strung together, left to right, 3 beads: three cylinders in sand 1. Plain turn.\n"
        "Lay out 3 A.\n\n"
        "Row 3, right to left, 2 beads: two cylinders in sand 1. "
        "Odd-count turn (this first one may be made the simple way, next to the tail).\n"
        "Lay out 2 A.\n\n"
        "Row 4, left to right, 1 bead: one cylinder in sand 1. That was the last row.\n"
        "Lay out 1 A.\n"
    )


def test_a_repeat_is_told_where_it_begins_and_where_it_comes_again():
    text = told(repeated(Grid(7, 71), first_rows=3, period=16, seed=3))
    before, _, after = text.partition("\n\nHere the repeat begins: rows 4 to 19 are one repeat of 16 rows.\n\n")
    assert before.rsplit("\n\n", 1)[1].startswith("Row 3, ")
    assert after.startswith("Row 4, ")
    assert text.endswith(
        "\n\nRows 20 to 67: three more repeats, each the same as rows 4 to 19."
        "\n\nRows 68 to 71: the first 4 rows of one repeat more, the same as rows 4 to 7.\n"
    )
    assert "\n\nRows 20 to 35: one more repeat, the same as rows 4 to 19.\n" in told(
        repeated(Grid(7, 35), first_rows=3, period=16, seed=3)
    )


def test_checks_stand_with_their_row_and_say_in_which_repeats_they_hold():
    grid = Grid(13, 83)
    levels = rings(grid, *((row, 7) for row in (13, 33, 53, 73)), radii=(0.5, 1.5, 2.5))
    text = told(Design("Limpet", grid, SIZES, tuple(bead_of(level, level) for level in range(4)), levels))
    assert "The checks are given once; one that does not hold in every repeat says in which." in text
    row_9 = next(part for part in text.split("\n\n") if part.startswith("Row 9, "))
    begins = "a dome begins on columns 5 to 9: 3 flat beads, then the dome, "
    first, later = row_9.splitlines()[-2:]
    assert first.startswith(f"Check: in the first repeat, {begins}")
    assert later.startswith(f"Check: from repeat 2 on, {begins}")
    assert text.count("Check: ") == 5


def spoken(text):
    """What each row of the sentences has, in needle order, and its way."""
    rows = {}
    for name, direction, count, beads in re.findall(
        r"^(Rows 1 and 2, strung together|Row \d+), (left to right|right to left), ([\d,]+) beads?: (.*?)\. "
        r"(?:Plain|Odd-count|That was)",
        text,
        re.MULTILINE,
    ):
        runs = [run.split(" ", 1) for run in beads.split(", ")]
        numbers = [NUMBERS.get(number) or int(number) for number, _ in runs]
        assert sum(numbers) == int(count.replace(",", ""))
        laid = [re.sub("^(cylinder|[0-9/]+)s ", r"\1 ", words) for _, words in runs]
        rows[name] = direction, [words for words, number in zip(laid, numbers, strict=True) for _ in range(number)]
    return rows


@settings(max_examples=60)
@given(designs())
def test_the_sentences_say_what_an_independent_stitcher_makes_of_the_rows(design):
    piece = stitch(rows_text(design, full=True))
    said = spoken(rows_in_words(design, abbreviate_rows(design, full=True)))
    assert len(said) == design.grid.rows - 1
    for name, (direction, laid) in said.items():
        row = int(name.removeprefix("Row ")) if name[3] == " " else 0
        held = [place for place in sorted(piece.cells) if place[0] == row or (row == 0 and place[0] < 3)]
        in_order = sorted(held, key=lambda place: place[1])
        if (direction == "left to right") != (piece.tail == "left"):
            in_order.reverse()
        wanted = []
        for place in in_order:
            size, _, colour = piece.beads[piece.cells[place]]
            wanted.append(f"{'cylinder' if size.startswith('cylinder') else size.split()[1]} in {colour}")
        assert laid == wanted


@settings(max_examples=60)
@given(st.integers(0, 2000))
def test_the_table_adds_up_to_the_work(seed):
    design = any_work(np.random.default_rng(seed))
    header, *lines = csv.reader(io.StringIO(rows_csv(design, abbreviate_rows(design, full=True)), newline=""))
    keys = header[len(HEADER) :]
    assert header == [*HEADER, *(bead.kind for bead in design.beads)]
    assert {len(line) for line in lines} == {len(header)}
    totals, rows = Counter(), [line for line in lines if line[0] == "row"]
    for line in rows:
        row = {key: int(cell) for key, cell in zip(keys, line[len(HEADER) :], strict=True) if cell}
        assert sum(row.values()) == int(line[3])
        runs = Counter()
        for run in line[4].split(", ") if line[4] else []:
            number, key = run.split("x ")
            runs[key] += int(number)
        assert runs == row
        totals += runs
    assert totals == Counter({b.kind: n for b, n in zip(design.beads, design.counts.tolist(), strict=True) if n})
    assert [line[1] for line in rows] == ["1+2", *map(str, range(3, design.grid.rows + 1))]


def test_the_table_has_repeats_and_checks_as_lines_of_their_own():
    grid = Grid(13, 83)
    levels = rings(grid, *((row, 7) for row in (13, 33, 53, 73)), radii=(0.5, 1.5, 2.5))
    work = Design("Limpet", grid, SIZES, tuple(bead_of(level, level) for level in range(4)), levels)
    lines = list(csv.DictReader(io.StringIO(rows_csv(work, abbreviate_rows(work)), newline="")))
    assert Counter(line["line"] for line in lines) == {"row": 22, "repeat": 1, "check": 5}
    repeat = next(line for line in lines if line["line"] == "repeat")
    assert (repeat["row"], repeat["note"]) == ("23 to 82", "the same as rows 3 to 22")
    before = lines[next(place for place, line in enumerate(lines) if line["line"] == "check") - 1]
    assert (before["line"], before["row"]) == ("row", "9")


@pytest.mark.parametrize("full", [False, True])
def test_no_cell_is_a_formula_or_looks_like_a_date_or_a_time(full):
    """Common practice, no source: spreadsheets take 4-19 for a day and 4 A for an hour."""
    grid = Grid(9, 22)
    work = Design("Limpet", grid, SIZES, BEADS, np.minimum(2, rings(grid, middle(grid), radii=(0.5, 1.5))))
    for line in csv.reader(io.StringIO(rows_csv(work, abbreviate_rows(work, full=full)), newline="")):
        for cell in line:
            assert not re.match(r"[=+\-@]|\d+[-/ ]\d+$|\d+ [AaPp]$", cell), cell
