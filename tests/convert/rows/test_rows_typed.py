"""Word rows as a person types them: every looseness gives the same design."""

from dataclasses import replace

import pytest
from strategies import LADDER

from convert.rows.parser import parse_rows
from convert.rows.writer import rows_text
from shared.grid import Grid

NEAT = """\
# Tide pool cuff
# 5 columns, 5 rows, odd-count flat peyote, tail at left
bead A = cylinder 11/0 #2f4a5a slate
bead A11 = round 11/0 #2f4a5a slate
bead B = cylinder 11/0 #d8c7a0 sand
1+2 > 5: 2 A, 1 B, 2 A
3 < 3: 1 A11, 1 B, 1 A11; odd-count turn
4 > 2: 2 A
5 < 3: 3 B; odd-count turn
"""

LOOSE = {
    "extra blanks": NEAT.replace(" ", "   ").replace("#   Tide   pool   cuff", "#   Tide pool cuff"),
    "tabs": NEAT.replace(" > ", "\t>\t").replace(": ", ":\t").replace(" = ", "\t=\t"),
    "no-break blanks": NEAT.replace(", ", ",\u00a0"),
    "blanks at both ends": "".join(f"  {line}  \n" for line in NEAT.splitlines()),
    "blank lines": NEAT.replace("\n", "\n\n  \n"),
    "no last line end": NEAT.rstrip("\n"),
    "windows line ends": NEAT.replace("\n", "\r\n"),
    "old line ends": NEAT.replace("\n", "\r"),
    "byte order mark": "\ufeff" + NEAT,
    "small keys": NEAT.replace("A11", "a11").replace("1 B", "1 b").replace("bead B", "bead b"),
    "capital words": NEAT.replace("bead", "BEAD").replace("cylinder", "Cylinder").replace("turn", "TURN"),
    "capital colours": NEAT.replace("#2f4a5a", "#2F4A5A"),
    "blanks in a size": NEAT.replace("11/0", "11 / 0"),
    "a count of 1 left out": NEAT.replace("1 A11", "A11").replace("1 B", "B"),
    "no blank after a count": NEAT.replace("2 A", "2A").replace("1 A11", "1A11").replace("3 B", "3B"),
    "no blanks in rows": NEAT.replace(" > ", ">").replace(" < ", "<").replace(": ", ":").replace(", ", ","),
    "blanks around signs": NEAT.replace("1+2", "1 + 2").replace(":", " :").replace(",", " ,"),
    "bead counts left out": NEAT.replace("> 5:", "> :").replace("< 3:", "<:").replace("> 2:", "> :"),
    "runs in pieces": NEAT.replace("3 B", "1 B, B, 1 B"),
    "leading zeros": NEAT.replace("4 > 2: 2 A", "04 > 02: 002 A"),
    "trailing commas": NEAT.replace("2 A\n", "2 A,\n").replace("1 A11;", "1 A11, ;"),
    "no notes": NEAT.replace("; odd-count turn", ""),
    "other notes": NEAT.replace("odd-count turn", "odd-count turn, pull tight").replace(
        "2 A\n", "2 A; a dome: begins\n"
    ),
    "comments behind rows": NEAT.replace("2 A\n", "2 A # the rim; odd-count turn\n"),
    "comments between": NEAT.replace("3 <", "# the first dome\n#\n3 <"),
    "an empty comment first": "#\n" + NEAT,
    "start said": NEAT.replace("bead A =", "Start  TOP # as drawn\nbead A ="),
    "beads after rows": "\n".join(NEAT.splitlines()[:2] + NEAT.splitlines()[5:] + NEAT.splitlines()[2:5]),
}


@pytest.mark.parametrize("how", LOOSE)
def test_looseness_gives_the_same_design(how: str) -> None:
    assert LOOSE[how] != NEAT
    assert rows_text(parse_rows(LOOSE[how], LADDER)) == NEAT


def test_all_looseness_is_read_as_typed() -> None:
    design = parse_rows(NEAT, LADDER)
    assert design.grid == Grid(5, 5)
    assert [design.beads[cell].kind for cell in design.cells] == [*"AB", "A", *"AA", "A11", "B", "A11", *"AA", *"BBB"]


@pytest.mark.parametrize("word", ["bottom", "BOTTOM", "top"])
def test_start(word: str) -> None:
    text = NEAT.replace("bead A =", f"start {word}\nbead A =")
    assert parse_rows(text, LADDER).grid.start == word.lower()


def test_a_name_is_all_that_follows_the_colour() -> None:
    text = NEAT.replace("sand", "sand  #2; shell, 3 A = dry")
    assert parse_rows(text, LADDER).beads[2].name == "sand  #2; shell, 3 A = dry"


@pytest.mark.parametrize("title", ["", "# \n", "\n\n"])
def test_rows_without_a_title(title: str) -> None:
    text = title + NEAT.split("\n", 2)[2].replace("3 <", "# the first dome\n3 <")
    expected = replace(parse_rows(NEAT, LADDER), title="Untitled")
    assert parse_rows(text, LADDER) == expected


def test_a_strand_alone_is_a_work_of_two_rows() -> None:
    text = NEAT[: NEAT.index("3 <")]
    assert parse_rows(text, LADDER).grid == Grid(5, 2)
