"""A table for the terminal."""

from collections.abc import Sequence


def in_columns(lines: Sequence[Sequence[str]], *, words: int = 1) -> str:
    """Write lines of cells under one another: n columns of words to the left, then numbers to the right."""
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  ".join(
            cell.ljust(width) if place < words else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )
