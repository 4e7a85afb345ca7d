"""Files that are nearly right: a few edits of a good one, chosen by whoever drives (hypothesis, or a fuzzer)."""

import copy
import json
from collections.abc import Callable
from typing import Any

Pick = Callable[[int], int]
"""Returns a number from 0 up to before the one given."""

MOST_EDITS = 4

ODD_VALUES = (
    *(None, True, False, 0, -1, 1, 2, 3, 10**9, 10**400, -(10**400), 1.5, 1e308, -1e308, -0.0, 1e-320),
    *("", " ", "A", "Z9", "a\nb", "\ud800", "\x00", "A" * 300, "#000000", "round 8/0", "left", [], {}, [[]], [None]),
)

ODD_PIECES = (
    *("", " ", "\n", "\r", "\r\n", "\t", ",", ";", ":", "=", "#", '"', "'", "+", "-", "\u2212", "0", "1", "9" * 15),
    *("9" * 5000, "nan", "inf", "-1", "1e999", "0x1", "A", "A8", "Z", "\x00", "\x0b", "\x1c", "\x85", "\u2028"),
    *("\ufeff", "\ud7ff", "\U0001f41a", "\u0661", "\u00b2", "\u017f", "=1+1", "[[", "]]", "{", "[[size]]", "true"),
    *(
        "bead ",
        "drop",
        "two-drop",
        "start bottom",
        "1+2 > ",
        " = 3-4",
        "Row ",
        "\u2192",
        ": as rows 3",
        " (#",
        "<",
        ">",
        "all",
        "11c 11 8 6",
    ),
)


def edited_values(good: str, pick: Pick) -> bytes:
    """Replace, leave out or double some values of a JSON text."""
    values = json.loads(good)
    for _ in range(1 + pick(MOST_EDITS)):
        _edit_inside(values, pick)
    return json.dumps(values).encode()


def _edit_inside(values: Any, pick: Pick) -> None:
    places = list(values) if isinstance(values, dict) else list(range(len(values)))
    if not places:
        return
    place = places[pick(len(places))]
    if isinstance(values[place], dict | list) and values[place] and pick(4):
        _edit_inside(values[place], pick)
        return
    match pick(4):
        case 0:
            del values[place]
        case 1 if isinstance(values, list):
            values.insert(place, copy.deepcopy(values[place]))
        case _:
            values[place] = copy.deepcopy(ODD_VALUES[pick(len(ODD_VALUES))])


def edited_text(good: str, pick: Pick) -> bytes:
    """Cut, double, swap or spoil some lines, or put an odd piece somewhere."""
    lines = good.splitlines(keepends=True)
    for _ in range(1 + pick(MOST_EDITS)):
        place = pick(len(lines))
        match pick(6):
            case 0:
                lines[place:] = [lines[place][: pick(len(lines[place]) + 1)]]
            case 1:
                lines.insert(place, lines[place])
            case 2:
                lines[place] = lines[pick(len(lines))]
            case _:
                lines[place] = _with_piece(lines[place], pick)
    return "".join(lines).encode()


def _with_piece(line: str, pick: Pick) -> str:
    first = pick(len(line) + 1)
    after = first + pick(min(8, len(line) - first + 1))
    return line[:first] + ODD_PIECES[pick(len(ODD_PIECES))] + line[after:]


def edited_bytes(good: bytes, pick: Pick) -> bytes:
    """Change, leave out or add some bytes."""
    data = bytearray(good)
    for _ in range(1 + pick(MOST_EDITS)):
        first = pick(len(data)) if data else 0
        match pick(4):
            case 0:
                del data[first : first + 1 + pick(64)]
            case 1:
                data[first:first] = bytes(pick(256) for _ in range(1 + pick(8)))
            case _:
                data[first : first + 1] = bytes([pick(256)])
    return bytes(data)
