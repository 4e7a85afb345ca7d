"""Word rows copied out of a booklet: its own headings, notes and page edges left out, broken lines joined.

Nothing of this is done to text without the line that stands above the rows of every page, so rows that are typed are
read as strictly as ever. Nor is anything left out that looks like a part of word rows, wherever it stands.
"""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

GOES_ON = "\N{HORIZONTAL ELLIPSIS} "
"""Begins a line that goes on with a bead line or a title too long for the page."""

END = "End of the word rows."
"""Stands below the last row: what follows is no part of them."""

SECTION = "Word rows"
OPENING = (
    "Tick a row when it is done. The arrow shows where the needle goes; then comes the number of beads in the row, "
    "and after the colon how many of which kind, in the order in which the needle takes them."
)
HEADER = "done row, direction, beads: how many of which kind"
LATER = "The later repeats, as row numbers:"

_OPENINGS = (
    OPENING,
    *(
        f"Tick a row when it is done. The arrow and the sign < or > show {where} the needle goes; then comes the "
        f"number of beads in the row, and after the colon how many of which {kind}, in the order in which the needle "
        "takes them."
        for where, kind in (("where", "kind"), ("which way", "key"))
    ),
)
_HEADERS = (
    HEADER,
    "done needle row, direction, beads in it: how many of which kind",
    "done way row, way, beads in it: how many of which key",
)
_SENTENCES = (*_OPENINGS, LATER, "The later rounds, as row numbers:")
"""Booklets that were printed before these words were changed are copied too."""

_MOST_LINES = 12
_HEAD = "(rows? ?)?[0-9]+( ?\\+ ?[0-9]+)? ?(->|<-|[<>\u2192\u2190]) ?[0-9]* ?:"
_SPAN = "(rows? ?)?[0-9]+( ?[-\u2013] ?[0-9]+)?"
_PART = re.compile(
    r"bead +[A-Za-z]+[0-9]* *=|[A-Za-z]+[0-9]* ?:[^,]+,.*\(#[0-9a-f]{6}\)$|start (top|bottom)$|two-drop$"
    rf"|{_HEAD}|{_SPAN} ?(=|: ?as) ?{_SPAN}",
    re.IGNORECASE,
)
_ROW = re.compile(f"{_HEAD}[^#]*[,;]", re.IGNORECASE)
_BROKEN = re.compile(r"(bead\b.*=|[A-Za-z]+[0-9]* ?:|#)", re.IGNORECASE)
_MORE_RUNS = re.compile(r"([0-9]* ?[A-Za-z]+[0-9]* ?, ?)*([0-9]* ?[A-Za-z]+[0-9]* ?)?(; ?(odd-count turn)?)?")
_FOOT = re.compile(r"(?:.* \N{MIDDLE DOT} )?page [0-9]+ of [0-9]+")
_HEADING = re.compile("Beads|Rows|First rows|Foundation|Repeat|Last rows")
_WORK = re.compile(
    r"Work these rows [0-9]+ times(, then some of them once more)?, and tick each (repeat|round) here\."
    r"|Check: [^.]*(\.[^.]+)*\."
)
_TALLY = re.compile(r"([0-9]+ rows [0-9]+ to [0-9]+(: only [0-9]+ to [0-9]+)? ?)+")
_TALLIED = re.compile(r"rows [0-9]+ to ([0-9]+)")


class Line(NamedTuple):
    """A line of a text, with its number counted from 1; no blanks at its ends."""

    number: int
    text: str

    @property
    def plain(self) -> str:
        """The text with single blanks."""
        return " ".join(self.text.split())


class Copied(NamedTuple):
    """What a text holds of word rows."""

    lines: tuple[Line, ...]
    """Each with the number of its first line."""
    unended: int = 0
    """The number of the last line where the end of the word rows is missing; 0 where it is there."""
    tallies: tuple[tuple[int, int], ...] = ()
    """The number of each line of a tally of repeats, and the last row that it names."""


def gather_lines(lines: Sequence[Line]) -> Copied:
    """Return the lines of word rows in a text; all of them where it is not copied from a booklet."""
    if not any(line.plain.endswith(_HEADERS) for line in lines):
        return Copied(tuple(lines))
    inside = list(_drop_edges(list(_section(lines))))
    tallies = tuple(
        (line.number, int(_TALLIED.findall(line.plain)[-1])) for line in inside if _TALLY.fullmatch(line.plain)
    )
    unended = 0 if any(line.plain == END for line in lines) else lines[-1].number
    return Copied(tuple(_join_broken(_drop_notes(inside))), unended, tallies)


def _section(lines: Sequence[Line]) -> Iterator[Line]:
    """Yield the lines from the heading of the section to its end, and what looks like word rows elsewhere."""
    begins = next(
        (
            place
            for place, line in enumerate(lines)
            if line.plain == SECTION and any(_said(lines, place + 1, one) for one in _OPENINGS)
        ),
        -1,
    )
    ends = next((place for place, line in enumerate(lines) if line.plain == END), len(lines))
    for place, line in enumerate(lines):
        if begins < place < ends or _PART.match(line.plain):
            yield line


def _drop_edges(lines: list[Line]) -> Iterator[Line]:
    """Leave out what stands at the edges of each page, and the header above its rows."""
    title = _title(lines)
    for line in lines:
        is_part = _PART.match(line.plain) is not None
        if is_part or not (_FOOT.fullmatch(line.plain) or line.plain in _HEADERS or _is_head(line.plain, title)):
            yield line


def _title(lines: list[Line]) -> str:
    """Return the title as the section gives it."""
    title = ""
    for line in lines:
        if title and line.plain.startswith(GOES_ON):
            title += f" {line.plain.removeprefix(GOES_ON)}"
        elif title:
            break
        elif line.plain.startswith("# "):
            title = line.plain[2:]
    return title


def _is_head(text: str, title: str) -> bool:
    """Return whether a line is the title as pages have it at their heads, where a long one is shortened."""
    begun = text.removesuffix("\N{HORIZONTAL ELLIPSIS}").rstrip()
    return text == title != "" or (begun != text and len(begun) >= 20 and title.startswith(begun))


def _drop_notes(lines: list[Line]) -> Iterator[Line]:
    """Leave out headings, checks, tallies and the booklet's own sentences."""
    place = 0
    while place < len(lines):
        many = _note_lines(lines, place)
        if not many:
            yield lines[place]
        place += many or 1


def _note_lines(lines: list[Line], place: int) -> int:
    """Return how many lines a note takes that begins in some place; 0 for none."""
    text = lines[place].plain
    if _TALLY.fullmatch(text):
        return 1
    if _HEADING.fullmatch(text):
        below = lines[place + 1].plain if place + 1 < len(lines) else ""
        if text == "Repeat":
            return int(below.startswith("Work these rows "))
        return int(below.startswith("# ") or _PART.match(below) is not None)
    for sentence in _SENTENCES:
        if many := _said(lines, place, sentence):
            return many
    return _count_told(lines, place)


def _said(lines: Sequence[Line], place: int, sentence: str) -> int:
    """Return over how many lines a sentence runs that begins in some place; 0 where another stands there."""
    said = ""
    for many, line in enumerate(lines[place : place + _MOST_LINES], start=1):
        said = f"{said} {line.plain}".strip()
        if said == sentence:
            return many
        if not sentence.startswith(f"{said} "):
            return 0
    return 0


def _count_told(lines: Sequence[Line], place: int) -> int:
    """Return over how many lines a check runs, or what is said of a tally; 0 where none begins in some place."""
    if not lines[place].plain.startswith(("Check: ", "Work these rows ")):
        return 0
    told = ""
    for many, line in enumerate(lines[place : place + _MOST_LINES], start=1):
        if _PART.match(line.plain):
            return 0
        told = f"{told} {line.plain}".strip()
        if told.endswith("."):
            return many if _WORK.fullmatch(told) else 0
    return 0


def _join_broken(lines: Iterator[Line]) -> Iterator[Line]:
    """Join the lines that a page has broken."""
    before: Line | None = None
    for line in lines:
        if before is not None and (more := _more(before.plain, line.plain)):
            before = Line(before.number, f"{before.text} {more}")
            continue
        if before is not None:
            yield before
        before = line
    if before is not None:
        yield before


def _more(before: str, text: str) -> str:
    """Return what a line adds to the one before; nothing where it stands alone."""
    if text.startswith(GOES_ON):
        return text.removeprefix(GOES_ON) if _BROKEN.match(before) else ""
    if not _ROW.fullmatch(before):
        return ""
    goes_on = text.lower() == "odd-count turn" if before.endswith(";") else _MORE_RUNS.fullmatch(text)
    return text if goes_on else ""
