"""A stitcher of word rows, written from the description of the format alone; it shares no code with the project.

It follows the needle. Rows 1 and 2 are laid along columns 1 … W from the tail side; then each row is walked in its
stated way, and every bead goes to the next column that row r holds, which is where W - c + r is odd. In two-drop
pairs act as one: the same holds of pairs of columns, numbered alike, and the two beads of a pair lie side by side.
"""

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Stitched:
    """The finished piece.

    ``cells`` maps (row, column), both from 1, to a key; ``beads`` maps a key to (size, hex colour, name).
    """

    title: str
    columns: int
    rows: int
    tail: str
    cells: dict[tuple[int, int], str]
    beads: dict[str, tuple[str, str, str]]


def stitch(text: str) -> Stitched:
    """Stitch word rows; ValueError if a bead has no place, a place no bead, or the rows contradict themselves."""
    comments: list[str] = []
    beads: dict[str, tuple[str, str, str]] = {}
    needle = Needle()
    for line in text.split("\n"):
        if line.startswith("# "):
            comments.append(line[2:])
        elif line.startswith("Row"):
            needle.follow(line, set(beads))
        elif line == "two-drop":
            needle.drop = 2
        elif line.strip() and not line.startswith("start "):
            key, size, name, colour = parts(r"([A-Z]+\d*): (\w+ \d+/0), (.+) \((#[0-9a-f]{6})\)", line)
            if key in beads:
                raise ValueError(f"two beads {key}")
            beads[key] = (size, colour, name)
    if len(comments) < 2:
        raise ValueError("no title and heading")
    needle.check_heading(comments[1])
    return Stitched(comments[0], needle.columns, needle.row, needle.tail, needle.cells, beads)


class Needle:
    """Where the needle is, and what it has laid so far."""

    def __init__(self) -> None:
        self.columns = 0
        self.drop = 1
        self.row = 0
        self.tail = ""
        self.direction = ""
        self.cells: dict[tuple[int, int], str] = {}

    def follow(self, line: str, known: set[str]) -> None:
        """Do what one line says."""
        if ": as rows " in line:
            self.repeat(*(int(number) for number in parts(r"Rows (\d+)–(\d+): as rows (\d+)–(\d+)", line)))
            return
        word, number, arrow, total, runs, note = parts(r"(Rows?) ([\d+]+) ([→←]) (\d+): ([^;]+)(?:; (.+))?", line)
        direction = {"→": ">", "←": "<"}[arrow]
        if (word == "Rows") != ("+" in number):
            raise ValueError(f"{line}: one row or two")
        laid = [bead for run in runs.split(", ") for bead in beads_of_run(run)]
        if len(laid) != int(total):
            raise ValueError(f"{line}: {len(laid)} beads")
        if not known.issuperset(laid):
            raise ValueError(f"{line}: unknown bead")
        if number == "1+2":
            self.string(direction, laid)
        else:
            self.stitch_row(int(number), direction, laid)
        if (note == "odd-count turn") != self.is_at_odd_count_turn():
            raise ValueError(f"{line}: turn")

    def string(self, direction: str, laid: list[str]) -> None:
        """String rows 1 and 2 from the tail on; their beads settle in both by turns."""
        if self.row:
            raise ValueError("rows 1 and 2 again")
        self.columns, self.row, self.direction = len(laid), 2, direction
        self.tail = "left" if direction == ">" else "right"
        for column, key in enumerate(laid, start=1):
            self.cells[1 if self.holds(1, column) else 2, column] = key

    def holds(self, row: int, column: int) -> bool:
        """Apply the rule to the column, or to the pair that it is in."""
        if self.columns % self.drop:
            raise ValueError("a bead without a partner")
        return (self.columns // self.drop - (column + self.drop - 1) // self.drop + row) % 2 == 1

    def stitch_row(self, number: int, direction: str, laid: list[str]) -> None:
        """Turn, and fill the places of the next row."""
        if number != self.row + 1 or number < 3:
            raise ValueError(f"row {number} after row {self.row}")
        if direction == self.direction:
            raise ValueError(f"row {number} goes on in the same direction")
        self.row, self.direction = number, direction
        from_tail = (direction == ">") == (self.tail == "left")
        path = range(1, self.columns + 1) if from_tail else range(self.columns, 0, -1)
        places = [column for column in path if self.holds(number, column)]
        if len(places) != len(laid):
            raise ValueError(f"row {number} has {len(laid)} beads for {len(places)} places")
        for column, key in zip(places, laid, strict=True):
            self.cells[number, column] = key

    def repeat(self, first: int, last: int, source_first: int, source_last: int) -> None:
        """Stitch earlier rows again, as many times as fit."""
        length = source_last - source_first + 1
        for number in range(first, last + 1):
            source = source_first + (number - first) % length
            columns = [column for column in range(1, self.columns + 1) if (source, column) in self.cells]
            if source >= first or source < 3:
                raise ValueError(f"row {number} repeats row {source}")
            direction = "<" if self.direction == ">" else ">"
            from_tail = (direction == ">") == (self.tail == "left")
            order = columns if from_tail else columns[::-1]
            self.stitch_row(number, direction, [self.cells[source, column] for column in order])

    def is_at_odd_count_turn(self) -> bool:
        """Rows of an odd work that come back to the tail side end with it."""
        at_tail = (self.direction == "<") == (self.tail == "left")
        return self.columns // self.drop % 2 == 1 and at_tail

    def check_heading(self, heading: str) -> None:
        """Compare what the second comment says with what was stitched."""
        columns, rows, drop, parity, tail = parts(
            r"(\d+) columns, (\d+) rows, (two-drop )?(odd|even)-count flat peyote, tail at (left|right)", heading
        )
        if (int(columns), int(rows), tail) != (self.columns, self.row, self.tail):
            raise ValueError(f"{heading}: {self.columns} columns, {self.row} rows, tail at {self.tail}")
        if (drop, parity) != (
            "two-drop " if self.drop == 2 else None,
            "odd" if self.columns // self.drop % 2 else "even",
        ):
            raise ValueError(f"{heading}: {self.columns} columns")


def beads_of_run(run: str) -> list[str]:
    """Return the beads of ``3 A11``, one by one."""
    count, key = parts(r"(\d+) ([A-Z]+\d*)", run)
    return [key] * int(count)


def parts(pattern: str, text: str) -> tuple[str, ...]:
    """Return the groups of a pattern that all of a text must match."""
    found = re.fullmatch(pattern, text)
    if found is None:
        raise ValueError(f"cannot read {text!r}")
    return found.groups()
