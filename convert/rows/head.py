"""What stands above the rows: the title and the size of the work, the start, the drop, and a line for each bead."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from convert.rows.row import describe_work
from convert.rows.statements import (
    BeadLine,
    CommentLine,
    DropLine,
    Mistake,
    RepeatLine,
    RowLine,
    StartLine,
    Statement,
    UnreadLine,
)
from shared.beads import BeadSizes
from shared.colour import codes_from_hex, lab_from_codes
from shared.design import Bead
from shared.grid import Grid
from shared.letters import letter_of
from shared.orientation import Start

UNTITLED = "Untitled"
"""The title of rows before which no comment stands."""

_COLOUR = re.compile("#[0-9a-f]{6}")
_SIZE_OF_WORK = re.compile(
    r"([0-9]{1,15}) columns?, ([0-9]{1,15}) rows?, (two-drop )?(odd|even)-count flat peyote, tail at (left|right)",
    re.IGNORECASE,
)
_MOST_LINES_NAMED = 5


def find_title(statements: Sequence[Statement]) -> CommentLine:
    """Return the first comment with words that stands before the rows."""
    return next(_comments_above(statements), CommentLine(1, UNTITLED))


def find_drop(statements: Sequence[Statement]) -> int:
    """Return the drop that a line gives, 1 where none does."""
    return next((line.drop for line in statements if isinstance(line, DropLine)), 1)


def find_start(statements: Sequence[Statement]) -> Start:
    """Return the start that a line gives, top where none does."""
    return next((line.start for line in statements if isinstance(line, StartLine)), "top")


def check_settings(statements: Sequence[Statement]) -> Iterator[Mistake]:
    """Name what is wrong with the title, the start and the drop, each by itself."""
    title = find_title(statements)
    if not title.text.isprintable():
        yield Mistake(title.line, "the title holds an unprintable character; type it anew")
    for setting, word in ((StartLine, "start"), (DropLine, "the drop")):
        lines = [line.line for line in statements if isinstance(line, setting)]
        for line in lines[1:]:
            yield Mistake(line, f"{word} is also given on line {lines[0]}; delete one of them")
    for unread in statements:
        if isinstance(unread, UnreadLine) and unread.meant == "start":
            yield Mistake(unread.line, unread.message)


def check_size_of_work(statements: Sequence[Statement], grid: Grid) -> Iterator[Mistake]:
    """Name the comment below the title if it says another size of the work than the rows make.

    In rows of the first form it was a comment like any other, and rows were added without a look at it.
    """
    if not any(isinstance(line, RowLine) and line.has_word for line in statements):
        return
    for comment in [*_comments_above(statements)][1:]:
        said = _SIZE_OF_WORK.fullmatch(" ".join(comment.text.split()))
        if said is None:
            continue
        made = describe_work(grid)
        if _facts(said) != _facts(_SIZE_OF_WORK.fullmatch(made)):
            yield Mistake(
                comment.line, f"the head says '{comment.text}', but the rows make {made}; correct one of them"
            )
        return


def _comments_above(statements: Sequence[Statement]) -> Iterator[CommentLine]:
    for line in statements:
        if isinstance(line, CommentLine) and line.text:
            yield line
        if isinstance(line, RowLine | RepeatLine):
            return


def _facts(said: re.Match[str] | None) -> tuple[int | str, ...]:
    columns, rows, *words = said.groups("") if said else ()
    return (int(columns), int(rows), *(word.lower().strip() for word in words))


@dataclass(frozen=True, slots=True)
class BeadTable:
    """What the bead lines give.

    Parameters
    ----------
    beads
        In the order of the lines, without those that hold a mistake.
    kinds
        Every kind that was given, also by lines that hold a mistake, and every kind that should have been.
    lost
        How many lines were meant to give a kind that cannot be told.
    """

    beads: tuple[Bead, ...]
    kinds: frozenset[str]
    lost: int
    mistakes: tuple[Mistake, ...]


def find_beads(lines: Sequence[BeadLine | UnreadLine], bead_sizes: BeadSizes) -> BeadTable:
    """Check bead lines one against another and against bead sizes."""
    line_of: dict[str, int] = {}
    beads, mistakes, unread = [], [], []
    for line in lines:
        if isinstance(line, UnreadLine):
            unread.append(line.kind)
            mistakes.append(Mistake(line.line, line.message))
            continue
        messages = list(_check_bead(line, bead_sizes))
        if line.kind in line_of:
            messages.append(f"{line.kind} is also given on line {line_of[line.kind]}; give each bead its own letter")
        line_of.setdefault(line.kind, line.line)
        mistakes += [Mistake(line.line, message) for message in messages]
        if not messages:
            beads.append(_bead(line))
    told = set(unread) - {"", *line_of}
    fitting = (_fitting_kind(line, bead_sizes) for line in lines if isinstance(line, BeadLine))
    return BeadTable(tuple(beads), frozenset(told.union(line_of, fitting)), len(unread) - len(told), tuple(mistakes))


def find_unknown_kinds(rows: Sequence[RowLine], table: BeadTable) -> Iterator[Mistake]:
    """Name each kind that has no bead line once, with the lines of the rows that use it.

    If no more kinds are unknown than bead lines have lost theirs, they are taken for those and not named.
    """
    lines_of: dict[str, list[int]] = {}
    for row in rows:
        for kind in dict.fromkeys(row.kinds):
            if kind not in table.kinds:
                lines_of.setdefault(kind, []).append(row.line)
    if len(lines_of) <= table.lost:
        return
    for kind, lines in lines_of.items():
        also = _name_lines(lines[1:])
        yield Mistake(lines[0], f"{kind} has no bead line; add one, or correct the letter or its size{also}")


def _name_lines(lines: Sequence[int]) -> str:
    if not lines:
        return ""
    named = ", ".join(map(str, lines[:_MOST_LINES_NAMED]))
    more = f" and {len(lines) - _MOST_LINES_NAMED} more" if len(lines) > _MOST_LINES_NAMED else ""
    return f" (also on line{'s' if len(lines) > 1 else ''} {named}{more})"


def _check_bead(line: BeadLine, bead_sizes: BeadSizes) -> Iterator[str]:
    if not line.colour:
        yield f"bead {line.kind} has no colour; write it last, in brackets, like (#2f4a5a)"
        return  # without it nobody can tell where the size ends
    if line.size not in bead_sizes.level_of:
        sizes = ", ".join(size.name for size in bead_sizes.sizes)
        fault = f"is a '{line.size[:40]}', which is none of the bead sizes" if line.size else "has no size"
        yield f"bead {line.kind} {fault}; use one of {sizes}"
    elif line.kind != _fitting_kind(line, bead_sizes):
        yield f"{line.kind} does not fit a {line.size}; write {_fitting_kind(line, bead_sizes)} here and in the rows"
    if not _COLOUR.fullmatch(line.colour):
        yield f"bead {line.kind} has '{line.colour[:40]}' for a colour; write it as #rrggbb, for instance #2f4a5a"
    elif not line.name and line.size in bead_sizes.level_of:  # else the name may stand in the size
        yield f"bead {line.kind} has no name; write a word for the colour {line.colour}"


def _fitting_kind(line: BeadLine, bead_sizes: BeadSizes) -> str:
    """Return the kind with the number of its size, or as it is if that is none of the bead sizes."""
    if line.size not in bead_sizes.level_of:
        return line.kind
    return letter_of(line.kind) + bead_sizes.marks[bead_sizes.level_of[line.size]]


def _bead(line: BeadLine) -> Bead:
    lightness, a, b = np.round(lab_from_codes(codes_from_hex(line.colour)), 4).tolist()
    return Bead(line.kind, line.size, line.colour, (lightness, a, b), line.name)
