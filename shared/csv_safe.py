"""Tables for spreadsheets: cells that would be run as a formula are made inert, and read back."""

import csv
import io
import re
from collections.abc import Sequence

_FORMULA = re.compile("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20]")
_MADE_INERT = re.compile(f"'+{_FORMULA.pattern}")


def make_inert(cell: str) -> str:
    """Put an apostrophe before a cell that begins as a formula does, or would be taken for one made inert.

    Source of the beginnings: OWASP, "CSV Injection" (equals, plus, minus, at, tab, line ends, full-width forms).

    Examples
    --------
    >>> make_inert("=1+1"), make_inert("'=1+1"), make_inert("sand"), make_inert("'tis sand")
    ("'=1+1", "''=1+1", 'sand', "'tis sand")
    """
    return f"'{cell}" if _FORMULA.match(cell) or _MADE_INERT.match(cell) else cell


def restore(cell: str) -> str:
    """Return the cell that `make_inert` was given."""
    return cell[1:] if _MADE_INERT.match(cell) else cell


def table_csv(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Write lines of cells as CSV (RFC 4180), cells made inert."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([make_inert(cell) for cell in header])
    writer.writerows([make_inert(cell) for cell in row] for row in rows)
    return text.getvalue()
