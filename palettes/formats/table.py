"""Text of a table, parted by commas, semicolons or tabs, as rows of named cells with their lines."""

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import NamedTuple, TypeVar

from shared.csv_safe import restore
from shared.errors import HummockError, MistakesError

Value = TypeVar("Value")
FindHeader = Callable[[list[tuple[int, list[str]]], "Mistakes"], list[str]]
"""Says from lines and cells what the columns are where the first row does not name them; empty where it does."""

SEPARATORS = {",": "a comma", ";": "a semicolon", "\t": "a tab"}

_MOST_BAD_QUOTES = 20
_MOST_LINES_SHOWN = 3
_SAID = re.compile(f"sep=(?P<separator>[{''.join(SEPARATORS)}])")


@dataclass(frozen=True, slots=True)
class Mistakes:
    """A growing list of mistakes, each with its line counted from 1, and of what was assumed where nothing is wrong."""

    found: list[tuple[int, str]] = field(default_factory=list)
    assumed: dict[str, list[int]] = field(default_factory=dict)

    def add(self, line: int, message: str) -> None:
        """Note a mistake."""
        self.found.append((line, message))

    def assume(self, line: int, what: str) -> None:
        """Note what was assumed for a line."""
        self.assumed.setdefault(what, []).append(line)

    def notices(self) -> tuple[str, ...]:
        """Return a sentence for each assumption, with the first of its lines."""
        return tuple(
            f"line{'s' * (len(lines) > 1)} {', '.join(map(str, lines[:_MOST_LINES_SHOWN]))}"
            f"{f' and {len(lines) - _MOST_LINES_SHOWN:,} more' * (len(lines) > _MOST_LINES_SHOWN)}: {what}"
            for what, lines in self.assumed.items()
        )

    def up_to(self, line: int) -> bool:
        """Return whether a mistake is known up to a line."""
        return any(place <= line for place, _ in self.found)

    def try_to(self, line: int, make: Callable[[], Value]) -> Value | None:
        """Return what ``make`` gives; when it cannot, note why and return None."""
        try:
            return make()
        except HummockError as error:
            self.add(line, str(error))
            return None

    def raise_if_any(self, source: str) -> None:
        """Raise all of them together, in the order of their lines.

        Raises
        ------
        MistakesError
            When there is one.
        """
        if self.found:
            ordered = sorted(self.found, key=lambda mistake: mistake[0])
            raise MistakesError([f"line {line}: {message}" for line, message in ordered], where=[source])


class Row(NamedTuple):
    """One row under the header."""

    line: int
    """Where it begins, counted from 1."""
    cells: dict[str, str]
    """Text by column, blanks at the ends taken off; a column is missing where its cell is."""

    def text(self, column: str) -> str:
        """Return a cell's text, empty where there is none."""
        return self.cells.get(column, "")


class CsvTable(NamedTuple):
    """What a text holds."""

    line: int
    """Where the header is, counted from 1."""
    separator: str
    """What parts the cells."""
    columns: tuple[str, ...]
    """Known names in the header, in its order."""
    rows: tuple[Row, ...]
    """Rows with something in them; none when the header cannot be read."""
    notices: tuple[str, ...]
    """A sentence for each column that is not used."""


def read_table(text: str, known: dict[str, str], mistakes: Mistakes, find_header: FindHeader | None = None) -> CsvTable:
    """Part a text into rows (RFC 4180, and semicolons or tabs for commas).

    Parameters
    ----------
    text
        The first line that is not blank names the columns, in any letter case and order.
    known
        Names of columns as `column_name` gives them, and what each is called in the result; two names with a blank
        between stand for the second next to the first.
    mistakes
        Takes what is wrong with quotes, the header and the number of cells.
    find_header
        Where a table may lack the header.
    """
    lines = _lines(text)
    start, separator = _beginning(lines, known)
    rows = list(_parted(lines, start, separator, mistakes)) or [(start + 1, [])]
    line, header = rows[0]
    if find_header is not None and (names := find_header(rows, mistakes)):
        header = names
    else:
        words, rows = [column_name(cell) for cell in header], rows[1:]
        names = [known.get(f"{a} {b}", known.get(b, "")) for a, b in zip(["", *words], words, strict=False)]
    for name, count in Counter(names).items():
        if name and count > 1:
            mistakes.add(line, f"the column {name} is there twice; leave one out")
    unused = [cell.strip() for cell, name in zip(header, names, strict=True) if not name and cell.strip()]
    return CsvTable(
        line=line,
        separator=separator,
        columns=tuple(name for name in names if name),
        rows=() if mistakes.up_to(line) else tuple(_named(rows, names, separator, mistakes)),
        notices=tuple(_unused(cell, known) for cell in unused),
    )


def column_name(cell: str) -> str:
    """Return a cell of the header without letter case, blanks, hyphens and stars.

    Examples
    --------
    >>> column_name(" Pack Grams"), column_name("L*")
    ('pack_grams', 'l')
    """
    return re.sub(r"[\s\-_]+", "_", cell.strip().rstrip("*")).casefold()


def _lines(text: str) -> list[str]:
    """Part at line ends, which stay, so that quoted cells keep theirs."""
    return io.StringIO(text, newline="").readlines() or [""]


def _beginning(lines: list[str], known: dict[str, str]) -> tuple[int, str]:
    """Return the place of the header, and what parts its cells: what gives the most known names.

    Where there are none, it is what gives the most cells.
    Some spreadsheets write a line before it that says so: ``sep=;``.
    """
    start = next((place for place, line in enumerate(lines) if line.strip()), 0)
    said = _SAID.fullmatch(lines[start].strip("\r\n"))
    if said and start + 1 < len(lines):
        return start + 1, said["separator"]

    def recognised(separator: str) -> tuple[int, int]:
        cells = next(csv.reader([lines[start]], delimiter=separator), [])
        return sum(column_name(cell) in known for cell in cells), len(cells)

    return start, max(SEPARATORS, key=recognised)


def _parted(lines: list[str], start: int, separator: str, mistakes: Mistakes) -> Iterator[tuple[int, list[str]]]:
    """Yield line and cells of each row that is not blank; after a bad quote go on with the next line."""
    bad_quotes = 0
    while start < len(lines) and bad_quotes < _MOST_BAD_QUOTES:
        reader, row_start = csv.reader(lines[start:], delimiter=separator, strict=True), start
        try:
            for cells in reader:
                if any(cell.strip() for cell in cells):
                    yield row_start + 1, cells
                row_start = start + reader.line_num
            start = len(lines)
        except csv.Error:
            mistakes.add(row_start + 1, _unread(lines[row_start]))
            bad_quotes, start = bad_quotes + 1, row_start + 1


def _unread(line: str) -> str:
    """Say why a row cannot be parted."""
    if len(line) > csv.field_size_limit():
        return f"is {len(line):,} characters long, more than any table needs; shorten its cells"
    return 'the quotes do not pair; put a cell in "…" and write a quote inside as ""'


def _named(
    rows: Iterable[tuple[int, list[str]]], names: list[str], separator: str, mistakes: Mistakes
) -> Iterator[Row]:
    for line, cells in rows:
        if any(cell.strip() for cell in cells[len(names) :]):
            mistakes.add(
                line,
                f"has {len(cells)} cells where the header names {len(names)}; "
                f'put a cell that holds {SEPARATORS[separator]} in "…"',
            )
            continue
        yield Row(line, {name: restore(cell.strip()) for name, cell in zip(names, cells, strict=False) if name})


def _unused(cell: str, known: dict[str, str]) -> str:
    near = get_close_matches(column_name(cell), known, n=1, cutoff=0.7)
    hint = f" (did you mean {known[near[0]]}?)" if near else ""
    return f"the column '{cell[:40]}' is not used{hint}"
