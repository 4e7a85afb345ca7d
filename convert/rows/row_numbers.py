"""The row numbers of word rows: they rise without gaps, and repeats refer back to rows given before.

When numbers do not rise, the longest rising series of lines is taken as right, so that one wrong number
gives one message.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from convert.rows.statements import FIRST_EXAMPLE, Mistake, RepeatLine, RowLine, UnreadLine, name_rows


@dataclass(frozen=True, slots=True, order=True)
class RowSpan:
    """The rows that one line gives, both ends included."""

    first: int
    last: int
    line: int

    @property
    def length(self) -> int:
        """How many rows they are."""
        return self.last - self.first + 1

    @property
    def ends(self) -> tuple[int, ...]:
        """``(12,)``, ``(20, 35)``, ``(1, 2)``."""
        return (self.first,) if self.first == self.last else (self.first, self.last)

    @property
    def name(self) -> str:
        """``row 12``, ``rows 20–35``, ``rows 1+2``."""
        return name_rows(self.first, self.last)


@dataclass(frozen=True, slots=True)
class Order:
    """Which rows each line stands for.

    Parameters
    ----------
    spans
        In the order of the lines, without those that stand in no place that could be theirs. A wrong number
        is already replaced by the one that belongs there.
    mistakes
        Gaps, duplicates, rows out of order and wrong numbers, each with its line.
    astray
        The lines whose own number is wrong.
    """

    spans: tuple[RowSpan, ...]
    mistakes: tuple[Mistake, ...]
    astray: frozenset[int]


def find_order(entries: Sequence[RowLine | RepeatLine | UnreadLine]) -> Order:
    """Find which rows the lines stand for.

    Parameters
    ----------
    entries
        In the order of the lines. An unread line without rows may stand for any, so no gap is seen around it.
    """
    spans = [RowSpan(*rows, entry.line) for entry in entries if (rows := _rows_of(entry))]
    kept = _longest_rising(spans)
    renumbered: dict[int, RowSpan] = {}
    mistakes, unclear = [], [entry.line for entry in entries if not _rows_of(entry)]
    for strays, before, after in _slots(spans, kept):
        belonging = _belonging(strays, before, after)
        if belonging:
            renumbered |= {span.line: span for span in belonging}
            mistakes += [_wrong_number(stray, span) for stray, span in zip(strays, belonging, strict=True)]
        else:
            unclear += [stray.line for stray in strays]
            mistakes += [_tell_misplaced(stray, before, after, kept) for stray in strays]
    settled = [renumbered.get(span.line, span) for span in spans]
    covered = sorted(span for span in settled if span.first <= kept[-1].last)
    nowhere, unread = frozenset(unclear), {entry.line for entry in entries if isinstance(entry, UnreadLine)}
    mistakes = [mistake for mistake in mistakes if mistake.line not in unread]
    return Order(
        spans=tuple(span for span in settled if span.line not in nowhere),
        mistakes=(*mistakes, *_gaps(covered, sorted(unclear))),
        astray=frozenset(mistake.line for mistake in mistakes),
    )


def check_repeat(repeat: RepeatLine) -> str:
    """Say what is wrong with a repeat, which its row numbers alone tell; nothing where all is well."""
    first, source = repeat.first, RowSpan(repeat.source_first, repeat.source_last, repeat.line)
    length = repeat.last - first + 1
    if min(first, source.first) < 3:
        return "rows 1 and 2 are strung together and no part of a repeat; begin both sides at row 3 or later"
    if source.last >= first:
        return f"{source.name} must be given before row {first}; refer to earlier rows"
    if length % source.length:
        fits = first + max(repeat.times, 1) * source.length - 1
        rows = "1 row is" if length == 1 else f"{length} rows are"
        return f"{rows} no whole number of repeats of the {source.length} of {source.name}; end at row {fits}"
    if (first - source.first) % 2 or (repeat.times > 1 and source.length % 2):
        return f"an odd row cannot repeat an even one as it would from {source.name}; shift by an even number of rows"
    return ""


def _rows_of(entry: RowLine | RepeatLine | UnreadLine) -> tuple[int, int] | None:
    if isinstance(entry, RepeatLine):
        return entry.first, entry.last
    return (entry.rows[0], entry.rows[-1]) if entry.rows else None


def _longest_rising(spans: Sequence[RowSpan]) -> list[RowSpan]:
    """Return the longest series of spans of which each begins after the one before ends.

    Of two equal spans the later one is taken where rows are missing before them, for those may be the first.
    """
    lasts: list[int] = []  # the lowest end of any series of each length
    ends: list[int] = []  # the place of its last span
    previous: list[int] = []
    for place, span in enumerate(spans):
        size = bisect_left(lasts, span.first)
        previous.append(ends[size - 1] if size else -1)
        if size == len(lasts):
            lasts.append(span.last)
            ends.append(place)
        elif span.last < lasts[size] or (span.last == lasts[size] and size and span.first > lasts[size - 1] + 1):
            lasts[size], ends[size] = span.last, place
    series, place = [], ends[-1] if ends else -1
    while place >= 0:
        series.append(spans[place])
        place = previous[place]
    return series[::-1]


def _slots(
    spans: Sequence[RowSpan], kept: Sequence[RowSpan]
) -> Iterator[tuple[list[RowSpan], RowSpan | None, RowSpan | None]]:
    """Yield the spans that were not kept, with those kept before and after them."""
    lines = {span.line for span in kept}
    strays: list[RowSpan] = []
    before: RowSpan | None = None
    for span in spans:
        if span.line not in lines:
            strays.append(span)
            continue
        if strays:
            yield strays, before, span
        strays, before = [], span
    if strays:
        yield strays, before, None


def _belonging(strays: Sequence[RowSpan], before: RowSpan | None, after: RowSpan | None) -> list[RowSpan]:
    """Return the rows that are missing just where the strays stand, if they are as many."""
    length = sum(stray.length for stray in strays)
    if before is None or after is None or after.first - before.last - 1 != length or strays[0].first < 3:
        return []
    spans, last = [], before.last
    for stray in strays:
        spans.append(RowSpan(last + 1, last + stray.length, stray.line))
        last += stray.length
    return spans


def _wrong_number(stray: RowSpan, belonging: RowSpan) -> Mistake:
    stands = "stands" if stray.length == 1 else "stand"
    belongs = "belongs" if belonging.length == 1 else "belong"
    return Mistake(stray.line, f"{stray.name} {stands} where {belonging.name} {belongs}; correct the number")


def _tell_misplaced(stray: RowSpan, before: RowSpan | None, after: RowSpan | None, kept: Sequence[RowSpan]) -> Mistake:
    place = bisect_left(kept, stray.first, key=lambda span: span.last)
    if place < len(kept) and kept[place].first <= stray.last:
        again = max(stray.first, kept[place].first)
        given = "rows 1+2 are" if again == 1 else f"row {again} is"
        message = f"{given} also given on line {kept[place].line}; delete one of them or correct its number"
    else:
        where = f"after {before.name}" if before else f"before {after.name}" if after else ""
        verb, its = ("is", "its") if stray.length == 1 else ("are", "their")
        message = f"{stray.name} {verb} out of order {where}; rows must rise, so move the line or correct {its} number"
    return Mistake(stray.line, message)


def _gaps(covered: Sequence[RowSpan], unclear: Sequence[int]) -> Iterator[Mistake]:
    """Name the rows that no line gives, unless a line that nobody understands stands there."""
    last, line = 0, 0
    for span in covered:
        if span.last <= last:
            continue
        low, high = sorted((line, span.line))
        clear = bisect_right(unclear, low) == bisect_left(unclear, high)
        if clear and last == 0 and span.first > 2:
            yield Mistake(span.line, f"rows 1+2 are missing; add them before {span.name}, like {FIRST_EXAMPLE}")
        missing = RowSpan(max(last, 2) + 1, span.first - 1, span.line)
        if clear and missing.length > 0:
            verb, them = ("is", "it") if missing.length == 1 else ("are", "them")
            yield Mistake(span.line, f"{missing.name} {verb} missing; add {them} before {span.name}")
        last, line = span.last, span.line
