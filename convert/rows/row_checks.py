"""Whether each row fits its place: its bead count, its way and its turn.

The strand fixes the columns and the hand. Where it is missing, or most rows contradict it, the rows decide,
so that one wrong strand gives one complaint and wrong rows are still found.
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar, cast

from convert.rows.statements import Mistake, RowLine, entry_name
from shared.grid import MOST_BEADS, Grid
from shared.orientation import DIRECTION_WORDS, Hand, Start
from shared.plural import counted

_ENOUGH = 3
"""So many rows must speak against the strand, or for a work without one, to be believed."""


_WORK_OF_HAND: dict[Hand, Grid] = {"right": Grid(1, 2, "right"), "left": Grid(1, 2, "left")}

_T = TypeVar("_T")


@dataclass(frozen=True, slots=True)
class PlacedRow:
    """A row line and the rows that it stands for, which may differ from those it gives by mistake."""

    line: RowLine
    rows: tuple[int, ...]

    @property
    def name(self) -> str:
        """``row 12``, ``row 1+2``."""
        return entry_name(self.rows[0], self.rows[-1])

    @property
    def count(self) -> int | None:
        """How many beads its runs make; None when some run is no run."""
        return None if self.line.unread or 0 in self.line.counts else sum(self.line.counts)


@dataclass(frozen=True, slots=True)
class Frame:
    """What the rows must fit; None is unknown.

    Parameters
    ----------
    strand
        The strand alone, which knows bead counts and turns of all rows.
    hand
        As in `Grid`.
    """

    strand: Grid | None
    hand: Hand | None

    def work(self, rows: int, start: Start) -> Grid:
        """Return the grid of the whole work, once rows without mistakes have fixed both parts.

        Raises
        ------
        BadChoiceError
            When it is too large.
        """
        strand = cast("Grid", self.strand)
        return Grid(strand.columns, rows, cast("Hand", self.hand), start, strand.drop)


def check_places(
    lines: Sequence[RowLine], rows_of: Mapping[int, tuple[int, ...]], *, drop: int = 1
) -> tuple[Frame, list[Mistake]]:
    """Find columns and hand, and name what is wrong with each row in its place.

    Parameters
    ----------
    lines
        All rows that are written out.
    rows_of
        The rows that a line stands for, by its number; a line without any is checked only by itself.
    drop
        How many beads the needle takes in a stitch.
    """
    placed = [PlacedRow(line, rows_of[line.line]) for line in lines if line.line in rows_of]
    frame = _frame(placed, drop)
    nowhere = Frame(None, None)
    strays = [PlacedRow(line, line.rows) for line in lines if line.line not in rows_of]
    mistakes = [mistake for row in placed for mistake in _mistakes(row, frame)]
    mistakes += [mistake for row in placed for mistake in _half_pairs(row, frame, drop)]
    return frame, mistakes + [mistake for row in strays for mistake in _mistakes(row, nowhere)]


def _half_pairs(row: PlacedRow, frame: Frame, drop: int) -> Iterator[Mistake]:
    """Name a row of two-drop in which a bead has no partner, unless its count is known to be wrong besides."""
    if row.count and row.count % drop and (row.rows == (1, 2) or not frame.strand):
        beads = counted(row.count, "bead")
        message = f"{row.name} has {beads}, and two-drop goes in pairs; mend a count, or the line two-drop"
        yield Mistake(row.line.line, message)


def _frame(rows: Sequence[PlacedRow], drop: int) -> Frame:
    strand = next((row for row in rows if row.rows == (1, 2)), None)
    others = [row for row in rows if row.rows != (1, 2)]
    columns = _believed(_columns_of(strand, drop), [_columns_fitting(row, drop) for row in others])
    hand = _believed(_hand_of(strand), [_hands_fitting(row) for row in others])
    return Frame(Grid(columns, 2, drop=drop) if columns else None, hand)


def _mistakes(row: PlacedRow, frame: Frame) -> Iterator[Mistake]:
    strand_complaints = _strand_complaints(row, frame) if row.rows == (1, 2) else ()
    complaints = (*_run_complaints(row), *_count_complaints(row, frame), *_direction_complaints(row, frame))
    for complaint in (*strand_complaints, *complaints):
        yield Mistake(row.line.line, complaint)


def _believed(own: _T | None, fitting: Sequence[Sequence[_T]]) -> _T | None:
    """Return what the strand says, unless clearly more rows fit something else."""
    votes = Counter(choice for choices in fitting for choice in choices)
    if not votes:
        return own
    favourite, support = votes.most_common(1)[0]
    against = support - (votes[own] if own is not None else 0)
    return favourite if against >= _ENOUGH and 2 * support > len(fitting) else own


def _columns_of(strand: PlacedRow | None, drop: int) -> int | None:
    """Return the columns of a strand whose total and runs agree, and make whole groups."""
    if strand is None or not strand.count or strand.count > MOST_BEADS or strand.count % drop:
        return None
    return strand.count if strand.line.total in (None, strand.count) else None


def _columns_fitting(row: PlacedRow, drop: int) -> list[int]:
    """Return the two widths of which a row with so many beads can be."""
    count = row.count
    if count is None or count % drop:
        return []
    widths = (2 * count, 2 * count - drop if row.rows[0] % 2 else 2 * count + drop)
    return [width for width in widths if 1 <= width <= MOST_BEADS]


def _hand_of(strand: PlacedRow | None) -> Hand | None:
    return _hands_fitting(strand)[0] if strand and strand.line.direction else None


def _hands_fitting(row: PlacedRow) -> list[Hand]:
    return [hand for hand, work in _WORK_OF_HAND.items() if row.line.direction == work.rule_of(row.rows[-1]).direction]


def _strand_complaints(strand: PlacedRow, frame: Frame) -> Iterator[str]:
    own = None if frame.strand is None else _columns_of(strand, frame.strand.drop)
    if own and frame.strand and own != frame.strand.columns:
        yield f"the strand has {own} beads, but the rows after it fit {frame.strand.columns} columns; mend its counts"
    if strand.count == 0 and not strand.line.total:
        yield "the strand has no beads; write its runs, like 1+2 > 21: 21 A"
    elif strand.count is not None and strand.count > MOST_BEADS:
        yield f"the strand has {strand.count} beads, more than any work; mend a count"


def _run_complaints(row: PlacedRow) -> Iterator[str]:
    if row.line.unread:
        pieces = ", ".join(f"'{piece[:20]}'" for piece in row.line.unread[:3])
        yield f"{row.name} has {pieces} where a run belongs; write a count and a key, like 3 A, with commas between"
    if 0 in row.line.counts:
        key = row.line.keys[row.line.counts.index(0)]
        yield f"{row.name} has a run of 0 {key}; leave it out or mend its count"


def _count_complaints(row: PlacedRow, frame: Frame) -> Iterator[str]:
    count, total = row.count, row.line.total
    if count is None:
        return
    wanted = frame.strand.rule_of(row.rows[0]).beads if frame.strand and row.rows != (1, 2) else None
    if wanted is not None and count != wanted:
        remedy = f"add {wanted - count}" if count < wanted else f"take out {count - wanted}"
        yield f"{row.name} has {counted(count, 'bead')} where {wanted} belong; {remedy} or mend a count"
    if total not in (None, count, wanted):
        yield f"{row.name} says {counted(total, 'bead')}, but its runs make {count}; mend the total or a count"


def _direction_complaints(row: PlacedRow, frame: Frame) -> Iterator[str]:
    direction = _WORK_OF_HAND[frame.hand].rule_of(row.rows[-1]).direction if frame.hand else None
    if row.line.direction is None:
        yield f"{row.name} has no way; write {direction or '> or <'} after its number"
    elif direction not in (None, row.line.direction):
        yield f"{row.name} runs {DIRECTION_WORDS[direction]} here; write {direction} instead of {row.line.direction}"
    turn = frame.strand.rule_of(row.rows[-1]).end if frame.strand else None
    if row.line.plain_turn and turn == "odd-count":
        yield f"{row.name} ends with the odd-count turn; write that instead of a plain turn, or delete the note"
    if row.line.odd_count_turn and turn == "plain":
        yield f"{row.name} ends in a plain turn; delete its note of an odd-count turn"
