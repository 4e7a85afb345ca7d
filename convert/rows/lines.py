"""The lines of word rows, each read on its own: a statement, or an unread line that says how to mend it."""

import re
from typing import cast

from convert.rows.copied import END, Line, gathered
from convert.rows.statements import (
    BeadLine,
    CommentLine,
    DropLine,
    RepeatLine,
    RowLine,
    StartLine,
    Statement,
    TallyLine,
    UnreadLine,
)
from shared.errors import BadFileError
from shared.grid import MOST_BEADS
from shared.orientation import Direction, Start

LARGEST_ROW = 2 * MOST_BEADS
"""A work one column wide has this many rows at most, and no other has more."""

_QUOTED = 40
_UNENDED = f"the word rows break off: '{END}' is missing; copy them from the booklet as far as that line"
_NUMBER = "[0-9]{1,15}"
_BLANK = re.compile(r"[^\S\n ]")
_BEAD = re.compile(
    r"bead *(?P<key>[A-Za-z]+[0-9]*) *=(?P<size>[^#]*)(?P<colour>\S*)(?P<name>.*)", re.ASCII | re.IGNORECASE
)
_BEAD_KEY = re.compile(r"(?<= )([A-Za-z]+[0-9]*) *=|^\S+ +([A-Za-z]+[0-9]*) ")
_HEAD = re.compile(rf"({_NUMBER})(?: ?\+ ?({_NUMBER}))? ?([<>]?) ?({_NUMBER})? ?")
_HEAD_START = re.compile(rf"({_NUMBER})(?: ?\+ ?({_NUMBER}))?(?= ?[<>:])")
_PIECE = re.compile(rf" ?({_NUMBER})? ?([A-Za-z]+[0-9]*) ?(?:,|$)|([^,]*)(?:,|$)")
_SPAN = rf"({_NUMBER})(?: ?[-\u2013] ?({_NUMBER}))?"
_REPEAT = re.compile(rf"{_SPAN} ?= ?{_SPAN}")
_DROP = re.compile("(?:(one|1)|(?:two|2))[- ]?drop|drop[ :]*(?:(one|1)|(?:two|2))", re.IGNORECASE)
_PLAIN_NOTE = re.compile(r"\bplain turn\b|\bturn:? plain\b", re.IGNORECASE)
_TURN_NOTE = re.compile(r"\bodd[- ]count turn\b", re.IGNORECASE)


def read_lines(text: str) -> tuple[Statement, ...]:
    """Read each line of word rows by itself; blank lines are left out, and what else a booklet has around them.

    Parameters
    ----------
    text
        With any line ends, and with or without a byte order mark.

    Raises
    ------
    BadFileError
        When it holds NUL, so is no text at all.
    """
    if "\0" in text:
        raise BadFileError("holds NUL characters, so it is no text; give word rows, like a rows.txt")
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    lines = _BLANK.sub(" ", plain).split("\n")
    copied = gathered([Line(number, line.strip()) for number, line in enumerate(lines, start=1) if line.strip()])
    tallies = [TallyLine(*tally) for tally in copied.tallies]
    unended = [UnreadLine(copied.unended, _UNENDED)] if copied.unended else []
    read = [*(read_line(*line) for line in copied.lines), *tallies, *unended]
    return tuple(sorted(read, key=lambda line: line.line))


def read_line(line: int, text: str) -> Statement:
    """Read one line.

    Parameters
    ----------
    line
        Its number, counted from 1.
    text
        Not empty, with plain blanks only, none at its ends.
    """
    if text[0] == "#":
        return CommentLine(line, text[1:].strip())
    word = text.split(maxsplit=1)[0].lower()
    if word == "bead" or (word != "start" and _is_like_bead(text)):
        return _bead_line(line, text)
    body, _, note = text.partition("#")[0].partition(";")
    body, note = " ".join(body.split()), " ".join(note.split())
    if not body.isprintable():
        return UnreadLine(line, _unprintable(body))
    if word == "start" or _DROP.fullmatch(body):
        return _heading_line(line, body)
    if re.match("[0-9]", body):
        is_repeat = "=" in body and ":" not in body
        return _repeat_line(line, body) if is_repeat else _row_line(line, body, note)
    return UnreadLine(
        line, f"cannot read {_quoted(body or ';')}; write a row like 4 > 10: 9 A, 1 B, or put # before a comment"
    )


def _is_like_bead(text: str) -> bool:
    """Tell whether a key seems to be given, under whatever misspelt word."""
    head, equals, _ = text.partition("=")
    return bool(equals) and not re.search("[:;#]", head) and re.search("[A-Za-z]", head) is not None


def _bead_line(line: int, text: str) -> BeadLine | UnreadLine:
    found = _BEAD.fullmatch(text)
    if found is None or not text.isprintable():
        message = f"cannot read {_quoted(text)}; write a bead like bead A = cylinder 11/0 #2f4a5a slate"
        key = _BEAD_KEY.search(text)
        return UnreadLine(
            line,
            message if text.isprintable() else _unprintable(text),
            "bead",
            kind=(key[1] or key[2]).upper() if key else "",
        )
    size = re.sub(" ?/ ?", "/", " ".join(found["size"].lower().split()))
    return BeadLine(line, found["key"].upper(), size, found["colour"].lower(), found["name"].strip())


def _heading_line(line: int, body: str) -> StartLine | DropLine | UnreadLine:
    drop = _DROP.fullmatch(body)
    if drop is not None:
        return DropLine(line, 1 if any(drop.groups()) else 2)
    words = body.lower().split()
    if words[1:] not in (["top"], ["bottom"]):
        return UnreadLine(line, f"cannot read {_quoted(body)}; write start top or start bottom", "start")
    return StartLine(line, cast("Start", words[1]))


def _row_line(line: int, body: str, note: str) -> RowLine | UnreadLine:
    head, colon, tail = body.partition(":")
    found = _HEAD.fullmatch(head)
    if found is None or not colon:
        return _unreadable_row(line, body)
    rows = tuple(int(number) for number in found.group(1, 2) if number)
    complaint = _complaint_about(rows)
    if complaint:
        return UnreadLine(line, complaint, rows=_plausible(rows))
    if ":" in tail:
        return UnreadLine(line, f"there are two colons in {_quoted(body)}; write each row on its own line, with one")
    counts, keys, unread = _runs(tail)
    return RowLine(
        line=line,
        rows=rows,
        direction=cast("Direction", found[3]) if found[3] else None,
        total=int(found[4]) if found[4] else None,
        counts=counts,
        keys=keys,
        unread=unread,
        odd_count_turn=_TURN_NOTE.search(note) is not None,
        plain_turn=_PLAIN_NOTE.search(note) is not None,
    )


def _unreadable_row(line: int, body: str) -> UnreadLine:
    found = _HEAD_START.match(body)
    rows = tuple(int(number) for number in found.group(1, 2) if number) if found else ()
    lack = "cannot read" if ":" in body else "there is no colon in"
    return UnreadLine(line, f"{lack} {_quoted(body)}; write a row like 4 > 10: 9 A, 1 B", rows=_plausible(rows))


def _complaint_about(rows: tuple[int, ...]) -> str:
    """Say what is wrong with the numbers before a way; nothing for the strand and for single rows from 3."""
    if max(rows) > LARGEST_ROW:
        return f"row {max(rows)} is beyond any work; mend its number"
    if rows[0] == 0:
        return "there is no row 0; rows are numbered from 1, mend its number"
    if rows in ((1,), (2,), (2, 1)):
        return "rows 1 and 2 are strung together; write them as one row, like 1+2 > 21: 21 A, or mend the number"
    if len(rows) == 2 and rows != (1, 2):
        return f"only rows 1 and 2 are strung together; write rows {rows[0]} and {rows[1]} each on its own line"
    return ""


def _plausible(rows: tuple[int, ...]) -> tuple[int, ...]:
    """Return the rows that one line can stand for, in rising order; half a strand stands for all of it."""
    rising = (1, 2) if rows in ((1,), (2,)) else tuple(sorted(rows))
    fits = len(rising) == 1 or (len(rising) == 2 and rising[1] == rising[0] + 1)
    return rising if fits and rising[0] >= 1 and rising[-1] <= LARGEST_ROW else ()


def _runs(text: str) -> tuple[tuple[int, ...], tuple[str, ...], tuple[str, ...]]:
    """Return counts, keys, and the pieces that are no runs; one comma may trail."""
    pieces = _PIECE.findall(text.strip())[:-1]  # the last is the empty rest after all of them
    unread = tuple(piece.strip() for _, key, piece in pieces if not key)
    counts = tuple(int(count) if count else 1 for count, key, _ in pieces if key)
    return counts, tuple(key.upper() for _, key, _ in pieces if key), unread


def _repeat_line(line: int, body: str) -> RepeatLine | UnreadLine:
    found = _REPEAT.fullmatch(body)
    if found is None:
        return UnreadLine(line, f"cannot read {_quoted(body)}; write a repeat like 20-35 = 4-19")
    first, source_first = int(found[1]), int(found[3])
    last, source_last = int(found[2] or first), int(found[4] or source_first)
    if last < first or source_last < source_first:
        return UnreadLine(line, f"{_quoted(body)} counts backwards; write the lower row of each pair first")
    if max(last, source_last) > LARGEST_ROW:
        return UnreadLine(line, f"row {max(last, source_last)} is beyond any work; mend its number")
    return RepeatLine(line, first, last, source_first, source_last)


def _unprintable(text: str) -> str:
    odd = next(character for character in text if not character.isprintable())
    return f"holds the unprintable character U+{ord(odd):04X}; delete it"


def _quoted(text: str) -> str:
    return f"'{text}'" if len(text) <= _QUOTED else f"'{text[:_QUOTED]}…'"
