"""Cells of a table that a spreadsheet would run as a formula, made inert and read back."""

import re

_FORMULA = re.compile("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
_MADE_INERT = re.compile(f"'+{_FORMULA.pattern}")


def inert(cell: str) -> str:
    """Put an apostrophe before a cell that begins as a formula does, or would be taken for one made inert.

    Source of the beginnings: OWASP, "CSV Injection" (equals, plus, minus, at, tab, line ends, full-width forms).

    Examples
    --------
    >>> inert("=1+1"), inert("'=1+1"), inert("sand"), inert("'tis sand")
    ("'=1+1", "''=1+1", 'sand', "'tis sand")
    """
    return f"'{cell}" if _FORMULA.match(cell) or _MADE_INERT.match(cell) else cell


def restored(cell: str) -> str:
    """Return the cell that `inert` was given."""
    return cell[1:] if _MADE_INERT.match(cell) else cell
