"""Word rows in plain language, for those who would rather read sentences, or have them read out."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from convert.rows.abbreviate import AbbreviatedRows, Reference
from convert.rows.checkpoints import check_in_words
from convert.rows.find_repeat import Repeat
from convert.rows.row import RowOfWork, Run, describe_work
from shared.beads import BeadSize, BeadSizes
from shared.design import Bead, Design
from shared.orientation import DIRECTION_WORDS
from shared.plural import counted, in_words

ONCE = "The checks are given once; one that does not hold in every repeat says in which."


def rows_in_words(design: Design, work: AbbreviatedRows) -> str:
    """Write the word rows of a design as sentences; the same design gives the same text.

    Returns
    -------
    str
        The title, the size of the work and the beads, then a paragraph for each line of ``work``, with the beads to lay
        out, the turn, and what to check.
    """
    names = BeadNames.of(design)
    beads = "\n".join(f"{bead.kind}: {names.count_beads(1, bead.kind).removeprefix('one ')}" for bead in design.beads)
    head = [design.title, f"{describe_work(design.grid)}. Columns are counted from the tail side.", beads]
    return "\n\n".join([*head, *_paragraphs(work, design.grid.rows, names)]) + "\n"


@dataclass(frozen=True, slots=True)
class BeadNames:
    """What the beads of a design are called in sentences.

    Parameters
    ----------
    size_words
        One and several of each size: ``("cylinder", "cylinders")``, ``("8/0", "8/0s")``.
    """

    bead_of: Mapping[str, Bead]
    size_words: Mapping[str, tuple[str, str]]

    @classmethod
    def of(cls, design: Design) -> "BeadNames":
        """Take the names from a design."""
        return cls({bead.kind: bead for bead in design.beads}, _size_words(design.bead_sizes))

    def count_beads(self, count: int, kind: str) -> str:
        """Return beads with their number: ``eight cylinders in slate``."""
        bead = self.bead_of[kind]
        one, several = self.size_words[bead.size]
        return f"{in_words(count)} {one if count == 1 else several} in {bead.name}"


def row_in_words(entry: RowOfWork, names: BeadNames) -> str:
    """Say what to string in one row.

    Such as ``Row 12, left to right, 10 beads: one 11/0 in sand, eight cylinders in slate, one 11/0 in sand.``
    """
    name = "Rows 1 and 2, strung together" if entry.rows == (1, 2) else f"Row {entry.rows[0]}"
    runs = ", ".join(names.count_beads(*run) for run in entry.runs)
    return f"{name}, {DIRECTION_WORDS[entry.direction]}, {counted(entry.count, 'bead')}: {runs}."


def turn_in_words(entry: RowOfWork, *, last: bool = False) -> str:
    """Say how a row ends."""
    if entry.odd_count_turn:
        simple = " (this first one may be made the simple way, next to the tail)" if entry.rows == (3,) else ""
        return f"Odd-count turn{simple}."
    return "That was the last row." if last else "Plain turn."


def totals_in_words(entry: RowOfWork) -> str:
    """Say what to lay out for one row: ``lay out 8 A, 2 B11``."""
    return f"lay out {', '.join(str(Run(count, kind)) for kind, count in entry.totals.items())}"


def reference_in_words(reference: Reference, repeat: Repeat) -> str:
    """Say which rows a reference stands for.

    Examples
    --------
    >>> reference_in_words(Reference(20, 67, 4, 19), Repeat(first_rows=3, period=16, end=0, rows=67))
    'Rows 20 to 67: three more repeats, each the same as rows 4 to 19.'
    """
    rows = f"Rows {reference.first} to {reference.last}"
    source = f"rows {reference.source_first} to {reference.source_last}"
    if reference.source_last < repeat.last:
        return f"{rows}: the first {reference.rows} rows of one repeat more, the same as {source}."
    if reference.times == 1:
        return f"{rows}: one more repeat, the same as {source}."
    return f"{rows}: {in_words(reference.times)} more repeats, each the same as {source}."


def _paragraphs(work: AbbreviatedRows, last_row: int, names: BeadNames) -> Iterator[str]:
    repeat = work.repeat
    for line in work.lines:
        if isinstance(line, RowOfWork):
            if repeat is not None and line.rows[0] == repeat.first:
                checks = f" {ONCE}" if _has_checks(work, repeat) else ""
                yield f"Here the repeat begins: {repeat}.{checks}"
            yield _paragraph(line, names, last=line.rows[-1] == last_row)
        elif repeat is not None:
            yield reference_in_words(line, repeat)


def _has_checks(work: AbbreviatedRows, repeat: Repeat) -> bool:
    rows = (line for line in work.lines if isinstance(line, RowOfWork))
    return any(row.checkpoints for row in rows if repeat.first <= row.rows[0] <= repeat.last)


def _paragraph(entry: RowOfWork, names: BeadNames, *, last: bool) -> str:
    lay_out = totals_in_words(entry)
    lines = [f"{row_in_words(entry, names)} {turn_in_words(entry, last=last)}", f"{lay_out[0].upper()}{lay_out[1:]}."]
    lines += [f"Check: {check_in_words(check)}." for check in entry.checkpoints]
    return "\n".join(lines)


def _size_words(bead_sizes: BeadSizes) -> dict[str, tuple[str, str]]:
    """Name each size as briefly as it can be told from the others."""
    shapes = Counter(size.shape for size in bead_sizes.sizes)
    return {size.name: _words_of(size, alone=shapes["cylinder"] == 1) for size in bead_sizes.sizes}


def _words_of(size: BeadSize, *, alone: bool) -> tuple[str, str]:
    number = f"{size.number}/0"
    if size.shape == "round":
        return number, f"{number}s"
    return ("cylinder", "cylinders") if alone else (f"{number} cylinder", f"{number} cylinders")
