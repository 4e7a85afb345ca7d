"""Whether each row fits its place: its bead count, its direction and its turn.

Rows 1 and 2 fix the columns and the hand. Where they are missing, or most rows contradict them, the rows decide,
so that one wrong count there gives one message and wrong rows are still found.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar, cast

from convert.rows.statements import ARROWS, FIRST_EXAMPLE, Mistake, RowLine, name_rows
from shared.errors import BadChoiceError
from shared.grid import MOST_BEADS, Grid
from shared.orientation import DIRECTION_WORDS, Hand, Start
from shared.plural import counted

_ENOUGH = 3
"""So many rows must speak against rows 1 and 2, or for a work without them, to be believed."""

_WORK_OF_HAND: dict[Hand, Grid] = {"right": Grid(2, 2, "right"), "left": Grid(2, 2, "left")}

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row line and the rows that it stands for, which may differ from those it gives by mistake."""

    line: RowLine
    rows: tuple[int, ...]

    @property
    def name(self) -> str:
        """``row 12``, ``rows 1+2``."""
        return name_rows(self.rows[0], self.rows[-1])

    @property
    def count(self) -> int | None:
        """How many beads its runs make; None when some run is no run."""
        return None if self.line.unread or 0 in self.line.counts else sum(self.line.counts)


@dataclass(frozen=True, slots=True)
class WorkFrame:
    """What the rows must fit; None is unknown.

    Parameters
    ----------
    strung
        Rows 1 and 2 alone, which know bead counts and turns of all rows.
    """

    strung: Grid | None
    hand: Hand | None

    @property
    def is_known(self) -> bool:
        """Whether both are known."""
        return self.strung is not None and self.hand is not None

    def extend(self, rows: int, start: Start) -> Grid:
        """Return the grid of the whole work, where both parts are known.

        Raises
        ------
        BadChoiceError
            When it is too large.
        """
        strung = cast("Grid", self.strung)
        return Grid(strung.columns, rows, cast("Hand", self.hand), start, strung.drop)


def check_places(
    lines: Sequence[RowLine], rows_of: Mapping[int, tuple[int, ...]], *, drop: int = 1
) -> tuple[WorkFrame, list[Mistake]]:
    """Find columns and hand, and name what is wrong with each row in its place.

    Parameters
    ----------
    lines
        All rows that are written out.
    rows_of
        The rows that a line stands for, by its number; a line without any is checked only by itself.
    """
    placed = [PlacedRow(line, rows_of[line.line]) for line in lines if line.line in rows_of]
    frame, mistakes = _frame(placed, drop)
    nowhere = WorkFrame(None, None)
    strays = [PlacedRow(line, line.rows) for line in lines if line.line not in rows_of]
    mistakes += [mistake for row in placed for mistake in _mistakes(row, frame)]
    mistakes += [mistake for row in placed for mistake in _half_pairs(row, frame, drop)]
    return frame, mistakes + [mistake for row in strays for mistake in _mistakes(row, nowhere)]


def _half_pairs(row: PlacedRow, frame: WorkFrame, drop: int) -> Iterator[Mistake]:
    """Name a row of two-drop in which a bead has no partner, unless its count is known to be wrong besides."""
    if row.count and row.count % drop and (row.rows == (1, 2) or not frame.strung):
        beads = counted(row.count, "bead")
        message = f"{beads} in {row.name} make no pairs, as two-drop needs; correct a count or the line two-drop"
        yield Mistake(row.line.line, message)


def _frame(rows: Sequence[PlacedRow], drop: int) -> tuple[WorkFrame, list[Mistake]]:
    strung = next((row for row in rows if row.rows == (1, 2)), None)
    others = [row for row in rows if row.rows != (1, 2)]
    columns = _believed(_columns_of(strung, drop), [_columns_fitting(row, drop) for row in others])
    hand = _believed(_hand_of(strung), [_hands_fitting(row) for row in others])
    try:
        return WorkFrame(Grid(columns, 2, drop=drop) if columns else None, hand), []
    except BadChoiceError as error:  # the work is too narrow
        return WorkFrame(None, hand), [Mistake(rows[0].line.line, error.message)]


def _mistakes(row: PlacedRow, frame: WorkFrame) -> Iterator[Mistake]:
    strung = _check_strung(row, frame) if row.rows == (1, 2) else ()
    for message in (*strung, *_check_runs(row), *_check_count(row, frame), *_check_direction(row, frame)):
        yield Mistake(row.line.line, message)


def _believed(own: _T | None, fitting: Sequence[Sequence[_T]]) -> _T | None:
    """Return what rows 1 and 2 say, unless clearly more rows fit something else."""
    votes = Counter(choice for choices in fitting for choice in choices)
    if not votes:
        return own
    favourite, support = votes.most_common(1)[0]
    against = support - (votes[own] if own is not None else 0)
    return favourite if against >= _ENOUGH and 2 * support > len(fitting) else own


def _columns_of(strung: PlacedRow | None, drop: int) -> int | None:
    """Return the columns of rows 1 and 2 if their total and runs agree, and make whole groups."""
    if strung is None or not strung.count or strung.count > MOST_BEADS or strung.count % drop:
        return None
    return strung.count if strung.line.total in (None, strung.count) else None


def _columns_fitting(row: PlacedRow, drop: int) -> list[int]:
    """Return the two widths of which a row with this bead count can be."""
    count = row.count
    if count is None or count % drop:
        return []
    widths = (2 * count, 2 * count - drop if row.rows[0] % 2 else 2 * count + drop)
    return [width for width in widths if 1 <= width <= MOST_BEADS]


def _hand_of(strung: PlacedRow | None) -> Hand | None:
    return _hands_fitting(strung)[0] if strung and strung.line.direction else None


def _hands_fitting(row: PlacedRow) -> list[Hand]:
    return [hand for hand, work in _WORK_OF_HAND.items() if row.line.direction == work.rule_of(row.rows[-1]).direction]


def _check_strung(strung: PlacedRow, frame: WorkFrame) -> Iterator[str]:
    own = None if frame.strung is None else _columns_of(strung, frame.strung.drop)
    if own and frame.strung and own != frame.strung.columns:
        yield f"rows 1+2 have {own} beads, but the rows after them fit {frame.strung.columns} columns; correct a count"
    if strung.count == 0 and not strung.line.total:
        yield f"rows 1+2 have no beads; write their runs, like {FIRST_EXAMPLE}"
    elif strung.count is not None and strung.count > MOST_BEADS:
        yield f"rows 1+2 have {strung.count} beads, more than any work; correct a count"


def _check_runs(row: PlacedRow) -> Iterator[str]:
    if row.line.unread:
        pieces = ", ".join(f"'{piece[:20]}'" for piece in row.line.unread[:3])
        yield f"cannot read {pieces} in {row.name}; write a count and a letter, like 3 A, with commas between"
    if 0 in row.line.counts:
        kind = row.line.kinds[row.line.counts.index(0)]
        yield f"there is a run of 0 {kind} in {row.name}; leave it out or correct its count"


def _check_count(row: PlacedRow, frame: WorkFrame) -> Iterator[str]:
    count, total = row.count, row.line.total
    if count is None:
        return
    wanted = frame.strung.rule_of(row.rows[0]).beads if frame.strung and row.rows != (1, 2) else None
    if wanted is not None and count != wanted:
        remedy = f"add {wanted - count}" if count < wanted else f"take out {count - wanted}"
        yield f"{row.name} has {counted(count, 'bead')} where {wanted} belong; {remedy} or correct a count"
    if total not in (None, count, wanted):
        beads = counted(total, "bead")
        yield f"{row.name}: {beads} before the colon, but the runs make {count}; correct that number or a count"


def _check_direction(row: PlacedRow, frame: WorkFrame) -> Iterator[str]:
    direction = _WORK_OF_HAND[frame.hand].rule_of(row.rows[-1]).direction if frame.hand else None
    typed = row.line.direction
    if typed is None:
        arrow = ARROWS[direction] if direction else " or ".join(ARROWS.values())
        yield f"no direction is given for {row.name}; write {arrow} after the number"
    elif direction not in (None, typed):
        words = DIRECTION_WORDS[direction]
        yield f"the needle runs {words} in {row.name}; write {ARROWS[direction]} instead of {ARROWS[typed]}"
    turns = frame.strung is not None and frame.strung.rule_of(row.rows[-1]).end == "odd-count"
    if row.line.plain_turn and turns:
        yield f"{row.name} ends with the odd-count turn; write that instead of a plain turn, or delete the note"
    if row.line.odd_count_turn and frame.strung and not turns:
        yield f"the turn after {row.name} is plain; delete the note of an odd-count turn"
