"""Word rows read back: the design they give, or every mistake at once."""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeGuard

from convert.rows.assemble import assemble, find_drop, find_start, heading_mistakes
from convert.rows.bead_table import BeadTable, find_beads, unknown_keys
from convert.rows.lines import read_lines
from convert.rows.partial import Laid, lay_what_fits
from convert.rows.row_checks import Frame, check_places
from convert.rows.row_numbers import Order, Span, find_order, repeat_mistakes
from convert.rows.statements import BeadLine, Mistake, RepeatLine, RowLine, Statement, TallyLine, UnreadLine
from shared.beads import BeadSizes
from shared.design import Design
from shared.errors import BadChoiceError, BadFileError, MistakesError


@dataclass(frozen=True, slots=True, eq=False)
class Reading:
    """What word rows give.

    Parameters
    ----------
    design
        None when there are mistakes.
    mistakes
        In the order of their lines.
    spans
        Which rows each line gives, in the order of the lines.
    statements
        What each line says.
    laid
        Where there are mistakes, the beads that can be told all the same; None where nothing can.
    """

    design: Design | None
    mistakes: tuple[Mistake, ...]
    spans: tuple[Span, ...]
    statements: tuple[Statement, ...]
    laid: Laid | None

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
        What `rows_text` wrote, or a person typed: any letter case, extra blanks and blank lines, a count of 1 or a
        row's bead count left out, notes after ``;``, comments after ``#``, repeats such as ``20-35 = 4-19``.
    ladder
        The sizes that a bead line may name.
    source
        What the text is called in errors.

    Returns
    -------
    Design
        Title from the first comment before the rows, Lab worked out from the hex colours and rounded to four
        decimals, no source palettes and no provenance.

    Raises
    ------
    MistakesError
        With every mistake of the text, each with its line and how to mend it.
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


def read_rows(text: str, bead_sizes: BeadSizes) -> Reading:
    """Read word rows, mistakes included.

    Parameters
    ----------
    text, ladder
        As for `parse_rows`.

    Raises
    ------
    BadFileError
        When it is no text.
    """
    statements = read_lines(text)
    entries = [line for line in statements if isinstance(line, RowLine | RepeatLine) or _is_unread(line, "row")]
    beads = [line for line in statements if isinstance(line, BeadLine) or _is_unread(line, "bead")]
    table = find_beads(beads, bead_sizes)
    order = find_order(entries)
    rows = [line for line in entries if isinstance(line, RowLine)]
    frame, mistakes = check_places(rows, {span.line: span.ends for span in order.spans}, drop=find_drop(statements))
    mistakes += [*heading_mistakes(statements), *table.mistakes, *order.mistakes, *_entry_mistakes(entries, order)]
    mistakes += unknown_keys(rows, table)
    mistakes += _tally_mistakes(statements, order)
    design = laid = None
    if not entries:
        mistakes.append(_absence(statements))
    if not mistakes:
        design, mistakes = _design(statements, bead_sizes, table, frame, order)
    if mistakes:
        given = [line for line in entries if not isinstance(line, UnreadLine)]
        start = find_start(statements)
        laid = lay_what_fits(given, order.spans, beads=table.beads, frame=frame, start=start, bead_sizes=bead_sizes)
    mistakes.sort(key=lambda mistake: mistake.line)
    return Reading(design, tuple(mistakes), order.spans, statements, laid)


def _is_unread(line: Statement, kind: str) -> TypeGuard[UnreadLine]:
    return isinstance(line, UnreadLine) and line.meant == kind


def _entry_mistakes(entries: Sequence[RowLine | RepeatLine | UnreadLine], order: Order) -> Iterator[Mistake]:
    """Name what is wrong with single lines; for a repeat out of order that one complaint is enough."""
    for line in entries:
        if isinstance(line, UnreadLine):
            yield Mistake(line.line, line.message)
        elif isinstance(line, RepeatLine) and line.line not in order.astray:
            yield from repeat_mistakes(line)


def _tally_mistakes(statements: Sequence[Statement], order: Order) -> Iterator[Mistake]:
    """Name the tally of a booklet whose later rounds were not copied: the work would end too soon unnoticed."""
    ends = max((span.last for span in order.spans), default=0)
    tally = max((line for line in statements if isinstance(line, TallyLine)), key=lambda line: line.last, default=None)
    if tally is not None and 0 < ends < tally.last:
        yield Mistake(
            tally.line,
            f"the rounds go on to row {tally.last}, but the rows end with row {ends}; "
            "add the lines for the later rounds, like 20-35 = 4-19",
        )


def _absence(statements: Sequence[Statement]) -> Mistake:
    last = statements[-1].line if statements else 1
    return Mistake(last, "there are no rows; begin with the strand, like 1+2 > 21: 21 A")


def _design(
    statements: Sequence[Statement], bead_sizes: BeadSizes, table: BeadTable, frame: Frame, order: Order
) -> tuple[Design | None, list[Mistake]]:
    """Assemble rows without mistakes; a work that is too large is a mistake of its last line."""
    last = order.spans[-1]
    try:
        return assemble(statements, beads=table.beads, frame=frame, rows=last.last, bead_sizes=bead_sizes), []
    except BadChoiceError as error:
        return None, [Mistake(last.line, error.message)]
