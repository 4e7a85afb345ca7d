"""The lines of word rows, each read on its own: a statement, or an unread line that says how to correct it.

A line may have either form, and each the looseness of typing that the other has: blanks, letter case, a count of 1 or
the bead count of a row left out, and arrows and dashes as a keyboard has them.
"""

import re
from typing import cast

from convert.rows.copied import END, Line, gather_lines
from convert.rows.statements import (
    BEAD_EXAMPLE,
    FIRST_EXAMPLE,
    REPEAT_EXAMPLE,
    ROW_EXAMPLE,
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

_QUOTED = 40
_UNENDED = f"the word rows break off: '{END}' is missing; copy them from the booklet as far as that line"
_BLANK = re.compile(r"[^\S\n ]")
_NUMBER = "[0-9]{1,15}"  # more figures than any work needs, and few enough that Python takes them for a number
_WORD = "(?:rows? ?)?"
_ARROW_OF: dict[str, Direction] = {"->": ">", "\u2192": ">", ">": ">", "<-": "<", "\u2190": "<", "<": "<"}
_ARROW = "->|<-|[<>\u2192\u2190]"
_KIND = "[A-Za-z]+[0-9]*"
_BEAD = re.compile(rf"(?P<kind>{_KIND}) *:(?P<size>[^,]*?)(?:,(?P<name>.*?))?(?:\((?P<colour>#[^()]*)\))?", re.ASCII)
_OLD_BEAD = re.compile(
    rf"bead *(?P<kind>{_KIND}) *=(?P<size>[^#]*)(?P<colour>\S*)(?P<name>.*)", re.ASCII | re.IGNORECASE
)
_LIKE_BEAD = re.compile(rf"{_KIND} ?:|[^#]*\(#", re.ASCII)
_COLOUR_BEGINS = re.compile(r"[^#;]*\(#")
_KIND_OF_BEAD = re.compile(rf"[^A-Za-z:]*({_KIND})", re.ASCII)
_KIND_OF_OLD_BEAD = re.compile(rf"(?<= )({_KIND}) *=|^\S+ +({_KIND}) ")
_ROW_BEGINS = re.compile(f"{_WORD}[0-9]", re.IGNORECASE)
_HEAD = re.compile(rf"({_WORD})({_NUMBER})(?: ?\+ ?({_NUMBER}))? ?({_ARROW})? ?({_NUMBER})? ?", re.IGNORECASE)
_HEAD_BEGINS = re.compile(rf"{_WORD}({_NUMBER})(?: ?\+ ?({_NUMBER}))?(?= ?(?:{_ARROW}|:))", re.IGNORECASE)
_PIECE = re.compile(rf" ?({_NUMBER})? ?({_KIND}) ?(?:,|$)|([^,]*)(?:,|$)")
_SPAN = rf"{_WORD}({_NUMBER})(?: ?[-\u2013] ?({_NUMBER}))?"
_REPEAT = re.compile(rf"{_SPAN} ?(?:=|: ?as) ?{_SPAN}", re.IGNORECASE)
_LIKE_SOURCE = re.compile(r".*?\brows?\b| ?as ?[0-9]", re.IGNORECASE)
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
    copied = gather_lines([Line(number, line.strip()) for number, line in enumerate(lines, start=1) if line.strip()])
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
    body, _, note = text.partition("#")[0].partition(";")
    body, note = " ".join(body.split()), " ".join(note.split())
    is_setting = text.split(maxsplit=1)[0].lower() == "start" or _DROP.fullmatch(body) is not None
    if not is_setting and _is_like_bead(text):
        return _read_bead(line, text)
    if not body.isprintable():
        return UnreadLine(line, _name_unprintable(body))
    if is_setting:
        return _read_setting(line, body)
    if _ROW_BEGINS.match(body):
        return _read_repeat(line, body) if _is_like_repeat(body) else _read_row(line, body, note)
    return UnreadLine(
        line, f"cannot read {_quote(body or ';')}; write a row like {ROW_EXAMPLE}, or put # before a comment"
    )


def _is_like_bead(text: str) -> bool:
    """Return whether a bead seems to be described, in either form and with whatever misspelt."""
    head, equals, _ = text.partition("=")
    if equals and not re.search("[:;#]", head):
        return re.search("[A-Za-z]", re.sub("(?i)rows? ?(?=[0-9])", "", head)) is not None
    if _ROW_BEGINS.match(text):
        return _COLOUR_BEGINS.match(text) is not None
    return _LIKE_BEAD.match(text) is not None or text.split(maxsplit=1)[0].lower() == "bead"


def _is_like_repeat(body: str) -> bool:
    """Return whether rows seem to be referred to, with whatever misspelt."""
    _, colon, source = body.partition(":")
    if not colon:
        return "=" in body or _LIKE_SOURCE.match(body, 1) is not None
    return ":" not in source and _LIKE_SOURCE.match(source) is not None


def _read_bead(line: int, text: str) -> BeadLine | UnreadLine:
    is_old = text[:4].lower() == "bead" or "=" in text.partition("#")[0].partition(":")[0]
    found = (_OLD_BEAD if is_old else _BEAD).fullmatch(text)
    if found is None or not text.isprintable():
        message = f"cannot read {_quote(text)}; write a bead like {BEAD_EXAMPLE}"
        kind = _KIND_OF_OLD_BEAD.search(text) if is_old else _KIND_OF_BEAD.match(text)
        return UnreadLine(
            line,
            message if text.isprintable() else _name_unprintable(text),
            "bead",
            kind=next(filter(None, kind.groups())).upper() if kind else "",
        )
    size = re.sub(" ?/ ?", "/", " ".join(found["size"].lower().split()))
    return BeadLine(
        line, found["kind"].upper(), size, (found["colour"] or "").lower().strip(), (found["name"] or "").strip()
    )


def _read_setting(line: int, body: str) -> StartLine | DropLine | UnreadLine:
    drop = _DROP.fullmatch(body)
    if drop is not None:
        return DropLine(line, 1 if any(drop.groups()) else 2)
    words = body.lower().split()
    if words[1:] not in (["top"], ["bottom"]):
        return UnreadLine(line, f"cannot read {_quote(body)}; write start top or start bottom", "start")
    return StartLine(line, cast("Start", words[1]))


def _read_row(line: int, body: str, note: str) -> RowLine | UnreadLine:
    head, colon, tail = body.partition(":")
    found = _HEAD.fullmatch(head)
    if found is None or not colon:
        return _refuse_row(line, body)
    rows = tuple(int(number) for number in found.group(2, 3) if number)
    message = _check_numbers(rows)
    if message:
        return UnreadLine(line, message, rows=_plausible(rows))
    if ":" in tail:
        return UnreadLine(line, f"there are two colons in {_quote(body)}; write each row on its own line, with one")
    counts, kinds, unread = _read_runs(tail)
    return RowLine(
        line=line,
        rows=rows,
        direction=_ARROW_OF[found[4]] if found[4] else None,
        total=int(found[5]) if found[5] else None,
        counts=counts,
        kinds=kinds,
        unread=unread,
        odd_count_turn=_TURN_NOTE.search(note) is not None,
        plain_turn=_PLAIN_NOTE.search(note) is not None,
        has_word=bool(found[1]),
    )


def _refuse_row(line: int, body: str) -> UnreadLine:
    found = _HEAD_BEGINS.match(body)
    rows = tuple(int(number) for number in found.group(1, 2) if number) if found else ()
    lack = "cannot read" if ":" in body else "there is no colon in"
    return UnreadLine(line, f"{lack} {_quote(body)}; write a row like {ROW_EXAMPLE}", rows=_plausible(rows))


def _check_numbers(rows: tuple[int, ...]) -> str:
    """Say what is wrong with the row numbers of a line; nothing for rows 1+2 and for single rows from 3."""
    if max(rows) > MOST_BEADS:  # each row has a bead at least
        return f"row {max(rows)} is beyond any work; correct its number"
    if rows[0] == 0:
        return "there is no row 0; rows are numbered from 1, correct its number"
    if rows in ((1,), (2,), (2, 1)):
        return f"rows 1 and 2 are strung together; write them as one, like {FIRST_EXAMPLE}, or correct the number"
    if len(rows) == 2 and rows != (1, 2):
        return f"only rows 1 and 2 are strung together; write rows {rows[0]} and {rows[1]} each on its own line"
    return ""


def _plausible(rows: tuple[int, ...]) -> tuple[int, ...]:
    """Return the rows that one line can stand for, in rising order; row 1 or 2 alone stands for both."""
    rising = (1, 2) if rows in ((1,), (2,)) else tuple(sorted(rows))
    fits = len(rising) == 1 or (len(rising) == 2 and rising[1] == rising[0] + 1)
    return rising if fits and rising[0] >= 1 and rising[-1] <= MOST_BEADS else ()


def _read_runs(text: str) -> tuple[tuple[int, ...], tuple[str, ...], tuple[str, ...]]:
    """Return counts, kinds, and the pieces that are no runs; one comma may trail."""
    pieces = _PIECE.findall(text.strip())[:-1]  # the last is the empty rest after all of them
    unread = tuple(piece.strip() for _, kind, piece in pieces if not kind)
    counts = tuple(int(count) if count else 1 for count, kind, _ in pieces if kind)
    return counts, tuple(kind.upper() for _, kind, _ in pieces if kind), unread


def _read_repeat(line: int, body: str) -> RepeatLine | UnreadLine:
    found = _REPEAT.fullmatch(body)
    if found is None:
        return UnreadLine(line, f"cannot read {_quote(body)}; write a repeat like {REPEAT_EXAMPLE}")
    first, source_first = int(found[1]), int(found[3])
    last, source_last = int(found[2] or first), int(found[4] or source_first)
    if last < first or source_last < source_first:
        return UnreadLine(line, f"{_quote(body)} counts backwards; write the lower row of each pair first")
    if max(last, source_last) > MOST_BEADS:
        return UnreadLine(line, f"row {max(last, source_last)} is beyond any work; correct its number")
    return RepeatLine(line, first, last, source_first, source_last)


def _name_unprintable(text: str) -> str:
    odd = next(character for character in text if not character.isprintable())
    return f"holds the unprintable character U+{ord(odd):04X}; delete it"


def _quote(text: str) -> str:
    return f"'{text}'" if len(text) <= _QUOTED else f"'{text[:_QUOTED]}…'"
