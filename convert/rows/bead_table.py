"""The bead lines of word rows: keys, sizes, colours and names, and which keys the rows may use."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from convert.rows.statements import BeadLine, Mistake, RowLine, UnreadLine
from shared.beads import BeadSizes
from shared.colour import codes_from_hex, lab_from_codes
from shared.design import Bead, letter_of

_COLOUR = re.compile("#[0-9a-f]{6}")
_MOST_LINES_NAMED = 5


@dataclass(frozen=True, slots=True)
class BeadTable:
    """What the bead lines give.

    Parameters
    ----------
    beads
        In the order of the lines, without those that hold a mistake.
    keys
        Every key that was given, also by lines that hold a mistake, and every key that should have been.
    lost
        How many lines were meant to give a key that cannot be told.
    mistakes
        Each with its line.
    """

    beads: tuple[Bead, ...]
    keys: frozenset[str]
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
        complaints = list(_complaints(line, bead_sizes))
        if line.kind in line_of:
            complaints.append(
                f"the key {line.kind} is also given on line {line_of[line.kind]}; give each bead its own key"
            )
        line_of.setdefault(line.kind, line.line)
        mistakes += [Mistake(line.line, complaint) for complaint in complaints]
        if not complaints:
            beads.append(_bead(line))
    told = set(unread) - {"", *line_of}
    fitting = (_fitting_key(line, bead_sizes) for line in lines if isinstance(line, BeadLine))
    return BeadTable(tuple(beads), frozenset(told.union(line_of, fitting)), len(unread) - len(told), tuple(mistakes))


def unknown_keys(rows: Sequence[RowLine], table: BeadTable) -> Iterator[Mistake]:
    """Name each key that has no bead line once, with the lines of the rows that use it.

    If no more keys are unknown than bead lines have lost theirs, they are taken for those and not named.
    """
    lines_of: dict[str, list[int]] = {}
    for row in rows:
        for key in dict.fromkeys(row.keys):
            if key not in table.keys:
                lines_of.setdefault(key, []).append(row.line)
    if len(lines_of) <= table.lost:
        return
    for key, lines in lines_of.items():
        yield Mistake(lines[0], f"the key {key} has no bead line; add one or mend the key{_also_on(lines[1:])}")


def _also_on(lines: Sequence[int]) -> str:
    if not lines:
        return ""
    named = ", ".join(map(str, lines[:_MOST_LINES_NAMED]))
    more = f" and {len(lines) - _MOST_LINES_NAMED} more" if len(lines) > _MOST_LINES_NAMED else ""
    return f" (also on line{'s' if len(lines) > 1 else ''} {named}{more})"


def _complaints(line: BeadLine, bead_sizes: BeadSizes) -> Iterator[str]:
    if not line.colour:
        yield f"bead {line.kind} has no colour; write it as #rrggbb, for instance #2f4a5a"
        return  # without its # nobody can tell where the size ends
    if line.size not in bead_sizes.level_of:
        sizes = ", ".join(size.name for size in bead_sizes.sizes)
        fault = f"is a '{line.size[:40]}', which the ladder lacks" if line.size else "has no size"
        yield f"bead {line.kind} {fault}; use one of {sizes}"
    elif line.kind != _fitting_key(line, bead_sizes):
        fitting = _fitting_key(line, bead_sizes)
        yield f"the key {line.kind} does not fit a {line.size}; write {fitting} here and in the rows"
    if not _COLOUR.fullmatch(line.colour):
        yield f"bead {line.kind} has '{line.colour[:40]}' for a colour; write it as #rrggbb, for instance #2f4a5a"
    elif not line.name:
        yield f"bead {line.kind} has no name; write a word for the colour after {line.colour}"


def _fitting_key(line: BeadLine, bead_sizes: BeadSizes) -> str:
    """Return the key with the mark of its size, or as it is if the bead sizes lacks the size."""
    if line.size not in bead_sizes.level_of:
        return line.kind
    return letter_of(line.kind) + bead_sizes.marks[bead_sizes.level_of[line.size]]


def _bead(line: BeadLine) -> Bead:
    lightness, a, b = np.round(lab_from_codes(codes_from_hex(line.colour)), 4).tolist()
    return Bead(line.kind, line.size, line.colour, (lightness, a, b), line.name)
