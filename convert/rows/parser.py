"""Word rows read back: the design they give, or every mistake at once."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeGuard

from convert.rows.assemble import LaidBeads, lay_design, lay_rows
from convert.rows.head import (
    check_settings,
    check_size_of_work,
    find_beads,
    find_drop,
    find_start,
    find_title,
    find_unknown_kinds,
)
from convert.rows.line_syntax import read_lines
from convert.rows.row_checks import check_places
from convert.rows.row_numbers import Order, RowSpan, check_repeat, find_order
from convert.rows.statements import (
    FIRST_EXAMPLE,
    REPEAT_EXAMPLE,
    BeadLine,
    Mistake,
    RepeatLine,
    RowLine,
    Statement,
    TallyLine,
    UnreadLine,
)
from shared.beads import BeadSizes
from shared.design import Design
from shared.errors import BadChoiceError, BadFileError, MistakesError


@dataclass(frozen=True, slots=True, eq=False)
class RowsRead:
    """What word rows give.

    Parameters
    ----------
    design
        None when there are mistakes.
    mistakes
        In the order of their lines.
    spans
        Which rows each line gives, in the order of the lines.
    laid
        All beads, or where there are mistakes those that can be told all the same; None where nothing can.
    """

    design: Design | None
    mistakes: tuple[Mistake, ...]
    spans: tuple[RowSpan, ...]
    statements: tuple[Statement, ...]
    laid: LaidBeads | None

    def line_of(self, row: int) -> int:
        """Return the line that gives a row of the work."""
        return self.spans[max(0, bisect_right(self.spans, row, key=lambda span: span.first) - 1)].line

    def written_rows(self, rows: int) -> list[int]:
        """Return for each row up to some one the row that was written out for it; the first entry stands for no row.

        A row that was written out itself stands for itself.
        """
        written = list(range(rows + 1))
        repeats = {line.line: line for line in self.statements if isinstance(line, RepeatLine)}
        for span in self.spans:
            repeat = repeats.get(span.line)
            if repeat is None:
                continue
            length = repeat.source_last - repeat.source_first + 1
            for row in range(span.first, min(span.last, rows) + 1):
                source = repeat.source_first + (row - repeat.first) % length
                written[row] = written[source] if 0 < source < row else row
        return written


def parse_rows(text: str, bead_sizes: BeadSizes, *, source: str = "the word rows") -> Design:
    """Read a design from word rows.

    Parameters
    ----------
    text
        What `rows_text` wrote, now or in the first form, or a person typed: any letter case, extra blanks and blank
        lines, ``<``, ``>``, ``<-``, ``->`` and ``-`` for arrows and dash, a count of 1 or a row's bead count left out,
        notes after ``;``, comments after ``#``, repeats such as ``Rows 20–35: as rows 4–19`` or ``20-35 = 4-19``.

    Returns
    -------
    Design
        Title from the first comment before the rows, Lab worked out from the hex colours and rounded to four
        decimals, no source palettes and no provenance.

    Raises
    ------
    MistakesError
        With every mistake of the text, each with its line and how to correct it.
    BadFileError
        When it is no text.
    """
    try:
        reading = read_rows(text, bead_sizes)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source, *error.where]) from error
    if reading.design is None:
        raise MistakesError([str(mistake) for mistake in reading.mistakes], where=[source])
    return reading.design


def read_rows(text: str, bead_sizes: BeadSizes) -> RowsRead:
    """Read word rows, mistakes included.

    Raises
    ------
    BadFileError
        When it is no text.
    """
    statements = read_lines(text)
    entries = [line for line in statements if isinstance(line, RowLine | RepeatLine) or _is_unread(line, "row")]
    given = [line for line in entries if not isinstance(line, UnreadLine)]
    rows = [line for line in given if isinstance(line, RowLine)]
    bead_lines = [line for line in statements if isinstance(line, BeadLine) or _is_unread(line, "bead")]
    table = find_beads(bead_lines, bead_sizes)
    order = find_order(entries)
    frame, mistakes = check_places(rows, {span.line: span.ends for span in order.spans}, drop=find_drop(statements))
    mistakes += [*check_settings(statements), *table.mistakes, *order.mistakes, *_check_entries(entries, order)]
    mistakes += [*find_unknown_kinds(rows, table), *_check_tally(statements, order)]
    if not entries:
        mistakes.append(_name_absence(statements))
    design = laid = None
    if frame.is_known and order.spans:
        try:
            grid = frame.extend(max(2, *(span.last for span in order.spans)), find_start(statements))
            laid = lay_rows(given, order.spans, grid=grid, beads=table.beads, bead_sizes=bead_sizes)
        except BadChoiceError as error:
            if not mistakes:
                mistakes.append(Mistake(order.spans[-1].line, error.message))
    if laid is not None and not mistakes:
        mistakes += check_size_of_work(statements, laid.grid)
    if laid is not None and not mistakes:
        design = Design(find_title(statements).text, laid.grid, bead_sizes, table.beads, laid.cells)
        laid = lay_design(design)
    mistakes.sort(key=lambda mistake: mistake.line)
    return RowsRead(design, tuple(mistakes), order.spans, statements, laid)


def _is_unread(line: Statement, meant: str) -> TypeGuard[UnreadLine]:
    return isinstance(line, UnreadLine) and line.meant == meant


def _check_entries(entries: Sequence[RowLine | RepeatLine | UnreadLine], order: Order) -> Iterator[Mistake]:
    """Name what is wrong with single lines; for a repeat out of order that one message is enough."""
    for line in entries:
        if isinstance(line, UnreadLine):
            yield Mistake(line.line, line.message)
        elif isinstance(line, RepeatLine) and line.line not in order.astray and (message := check_repeat(line)):
            yield Mistake(line.line, message)


def _check_tally(statements: Sequence[Statement], order: Order) -> Iterator[Mistake]:
    """Name the tally of a booklet whose later repeats were not copied: the work would end too soon unnoticed."""
    ends = max((span.last for span in order.spans), default=0)
    tally = max((line for line in statements if isinstance(line, TallyLine)), key=lambda line: line.last, default=None)
    if tally is not None and 0 < ends < tally.last:
        yield Mistake(
            tally.line,
            f"the repeats go on to row {tally.last}, but the rows end with row {ends}; "
            f"add the lines for the later repeats, like {REPEAT_EXAMPLE}",
        )


def _name_absence(statements: Sequence[Statement]) -> Mistake:
    last = statements[-1].line if statements else 1
    return Mistake(last, f"there are no rows; begin with rows 1 and 2, strung together, like {FIRST_EXAMPLE}")
