"""Word rows as a person types them, in either form: every looseness gives the same design."""

from dataclasses import replace

import pytest
from good_rows import as_first_form
from strategies import SIZES

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.grid import Grid

NEAT = """\
# Tide pool cuff
# 5 columns, 7 rows, odd-count flat peyote, tail at left
A: cylinder 11/0, slate (#2f4a5a)
A11: round 11/0, slate (#2f4a5a)
B: cylinder 11/0, sand (#d8c7a0)
Rows 1+2 → 5: 2 A, 1 B, 2 A
Row 3 ← 3: 1 A11, 1 B, 1 A11; odd-count turn
Row 4 → 2: 2 A
Row 5 ← 3: 3 B; odd-count turn
Row 6 → 2: 2 B
Row 7 ← 3: 2 A, 1 B; odd-count turn
"""
OLD = as_first_form(NEAT)

# Each is done to both forms; what only one of them has is then in that one.
LOOSE = {
    "extra blanks": lambda text: text.replace(" ", "   ").replace("#   Tide   pool   cuff", "#   Tide pool cuff"),
    "tabs": lambda text: text.replace(" → ", "\t→\t").replace(" > ", "\t>\t").replace(": ", ":\t"),
    "no-break blanks": lambda text: text.replace(", ", ",\u00a0"),
    "blanks at both ends": lambda text: "".join(f"  {line}  \n" for line in text.splitlines()),
    "blank lines": lambda text: text.replace("\n", "\n\n  \n"),
    "no last line end": lambda text: text.rstrip("\n"),
    "windows line ends": lambda text: text.replace("\n", "\r\n"),
    "old line ends": lambda text: text.replace("\n", "\r"),
    "byte order mark": lambda text: "\ufeff" + text,
    "small letters": lambda text: text.replace("A11", "a11").replace("1 B", "1 b").replace("B: cyl", "b: cyl"),
    "small words": lambda text: text.replace("Row", "row").replace("columns", "Columns"),
    "capital words": lambda text: (
        text.replace("bead", "BEAD").replace("Row", "ROW").replace("cylinder", "Cylinder").replace("turn", "TURN")
    ),
    "capital colours": lambda text: text.replace("#2f4a5a", "#2F4A5A"),
    "blanks in a size": lambda text: text.replace("11/0", "11 / 0"),
    "a count of 1 left out": lambda text: text.replace("1 A11", "A11").replace(" 1 B", " B"),
    "no blank after a count": lambda text: text.replace("2 A", "2A").replace("1 A11", "1A11").replace("3 B", "3B"),
    "no blanks in rows": lambda text: (
        text.replace("Row ", "Row").replace(" → ", "→").replace(" < ", "<").replace("3: ", "3:").replace("A, ", "A,")
    ),
    "blanks around signs": lambda text: text.replace("1+2", "1 + 2").replace(":", " :").replace("A,", "A ,"),
    "bead counts left out": lambda text: text.replace("→ 5:", "→ :").replace("← 3:", "←:").replace("> 2:", "> :"),
    "runs in pieces": lambda text: text.replace("3 B", "1 B, B, 1 B"),
    "leading zeros": lambda text: text.replace("4 → 2: 2 A", "04 → 02: 002 A").replace("4 > 2: 2 A", "04 > 02: 002 A"),
    "trailing commas": lambda text: text.replace("2 A\n", "2 A,\n").replace("1 A11;", "1 A11, ;"),
    "no notes": lambda text: text.replace("; odd-count turn", ""),
    "other notes": lambda text: text.replace("odd-count turn", "odd-count turn, pull tight"),
    "comments behind rows": lambda text: text.replace("2 A\n", "2 A # the rim; odd-count turn\n"),
    "comments between": lambda text: text.replace("Row 3", "# the first dome\n#\nRow 3").replace("3 <", "#\n3 <"),
    "an empty comment first": lambda text: "#\n" + text,
    "start said": lambda text: text.replace("left\n", "left\nStart  TOP # as drawn\n"),
    "beads after rows": lambda text: "\n".join(
        [*text.splitlines()[:2], *text.splitlines()[5:], *text.splitlines()[2:5]]
    ),
    "arrows as a keyboard has them": lambda text: text.replace("→", "->").replace("←", "<-").replace(" > ", " -> "),
    "signs for arrows": lambda text: text.replace("→", ">").replace("←", "<").replace(" > ", " → "),
    "one word for one row and for two": lambda text: text.replace("Rows", "Row").replace("Row ", "Rows ") + "\n",
}


@pytest.mark.parametrize("text", [NEAT, OLD], ids=["second", "first"])
@pytest.mark.parametrize("how", LOOSE)
def test_looseness_gives_the_same_design(how: str, text: str) -> None:
    assert LOOSE[how](text) != text
    assert rows_text(parse_rows(LOOSE[how](text), SIZES)) == NEAT


def test_all_looseness_is_read_as_typed() -> None:
    design = parse_rows(NEAT, SIZES)
    assert design.grid == Grid(5, 7)
    assert [design.beads[cell].kind for cell in design.cells[:13]] == [
        *"ABAAA",
        *("A11", "B", "A11"),
        *"AA",
        *"BBB",
    ]


@pytest.mark.parametrize("form", [str, as_first_form])
@pytest.mark.parametrize("word", ["bottom", "BOTTOM", "top"])
def test_start(word: str, form) -> None:
    text = form(NEAT.replace("A: cyl", f"start {word}\nA: cyl"))
    assert parse_rows(text, SIZES).grid.start == word.lower()


@pytest.mark.parametrize("name", ["sand  #2; shell, 3 A: dry", "sand (#123456)", "a = b", ", and (", "Row 3 → 3: 3 A"])
@pytest.mark.parametrize("form", [str, as_first_form])
def test_a_name_may_be_anything(name: str, form) -> None:
    assert parse_rows(form(NEAT.replace("sand", name)), SIZES).beads[2].name == name


@pytest.mark.parametrize("title", ["", "# \n", "\n\n"])
def test_rows_without_a_title(title: str) -> None:
    text = title + NEAT.split("\n", 2)[2].replace("Row 3", "# the first dome\nRow 3")
    expected = replace(parse_rows(NEAT, SIZES), title="Untitled")
    assert parse_rows(text, SIZES) == expected


def test_rows_1_and_2_alone_are_a_work_of_two_rows() -> None:
    text = NEAT[: NEAT.index("Row 3")].replace("7 rows", "2 rows")
    assert parse_rows(text, SIZES).grid == Grid(5, 2)
