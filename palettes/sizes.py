"""The sizes in which a colour is made, as people write them: ``11c 11 8`` or full names."""

import re

from shared.errors import BadFileError

EVERY_SIZE = "all"
"""Stands for every bead size there is."""

HINT = "write 11c for cylinder 11/0, 8 for round 8/0, several as in 11c 11 8, or all"

_SIZE = re.compile(
    r"(?P<all>all)|(?P<shape>cylinder|round)\s+(?P<named>[1-9]\d?)(/0)?|(?P<number>[1-9]\d?)(/0)?(?P<cylinder>c)?",
    re.IGNORECASE,
)
_BETWEEN = re.compile(r"[\s,;+]*")


def parse_sizes(text: str) -> tuple[str, ...]:
    """Read a list of sizes.

    Parameters
    ----------
    text
        Short forms (``11c`` is cylinder 11/0, ``11`` is round 11/0), full names, or ``all``, parted by blanks,
        commas, semicolons or plus signs, in any letter case.

    Returns
    -------
    tuple of str
        Full names, or `EVERY_SIZE`; each once, in the order in which they are given.

    Raises
    ------
    BadFileError
        When there is none, or one is no size.

    Examples
    --------
    >>> parse_sizes("11c 8, round 6/0")
    ('cylinder 11/0', 'round 8/0', 'round 6/0')
    """
    sizes, place = [], _after_blanks(text, 0)
    if place == len(text):
        raise BadFileError(f"there is no size; {HINT}")
    while place < len(text):
        found = _SIZE.match(text, place)
        end = place if found is None else _after_blanks(text, found.end())
        if found is None or (end == found.end() and end < len(text)):
            wrong = re.split(r"[\s,;+]", text[place:])[0]
            raise BadFileError(f"'{wrong[:20]}' is no size; {HINT}")
        sizes.append(_full_name(found))
        place = end
    return tuple(dict.fromkeys(sizes))


def short_size(name: str) -> str:
    """Write a size in its short form, the inverse of `parse_sizes`.

    Examples
    --------
    >>> short_size("cylinder 11/0"), short_size("round 8/0")
    ('11c', '8')
    """
    if name == EVERY_SIZE:
        return name
    shape, number = name.split()
    return number.removesuffix("/0") + ("c" if shape == "cylinder" else "")


def _after_blanks(text: str, place: int) -> int:
    found = _BETWEEN.match(text, place)
    return place if found is None else found.end()


def _full_name(found: re.Match[str]) -> str:
    if found["all"]:
        return EVERY_SIZE
    if found["shape"]:
        return f"{found['shape'].lower()} {found['named']}/0"
    return f"{'cylinder' if found['cylinder'] else 'round'} {found['number']}/0"
