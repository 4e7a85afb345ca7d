"""The key that stands beside every sheet of the chart: so measured that it is known to fit."""

from math import ceil
from typing import NamedTuple

from convert.chart.lettering import shorten, wrap
from convert.chart.shapes import text_width
from convert.documents.booklet.layout import PT_MM, Layout
from shared.design import Design

GAP_MM = 4.0
KNOWN_FACE = 1.12
"""How much more of our own typeface fits into a line than lettering of unknown face is given."""

NOT_NAMED = 'The names of these keys are listed under "What you need".'

_MOST_NAME_EMS = 18.0


class KeyTable(NamedTuple):
    """The measures of a key, and its words."""

    words: tuple[str, ...]
    """Of each entry of the design's beads: its name, shortened to the room."""
    bead_mm: float
    """Room for the bead and its letters."""
    columns: int
    """In how many columns it stands."""
    row_mm: float
    """From one line to the next."""
    line_mm: float
    """Height of a line of running text."""
    opening_lines: int
    """Of the note above the first sheet; other sheets have two at most."""
    note: str
    """What stands above the keys; empty when their names are there."""

    def head_mm(self, *, first: bool) -> float:
        """Return the room above the chart for headings and captions; the first sheet has the name of the section."""
        if first:
            return (4.6 + self.opening_lines) * self.line_mm
        return 3.4 * self.line_mm

    def height_mm(self, keys: tuple[int, ...]) -> float:
        """Return the height of some keys with the gap above them."""
        return GAP_MM + (ceil(len(keys) / self.columns) + bool(self.note)) * self.row_mm


def key_table(design: Design, layout: Layout, *, opening: str = "", named: bool = True) -> KeyTable:
    """Measure the key of a design, and the room that the note above the first sheet takes.

    A key that is not ``named`` shows beads and letters alone, for designs with more keys than a page has room for.
    """
    em = layout.key_pt * PT_MM / KNOWN_FACE
    letters = max(text_width(bead.kind, em, bold=True) for bead in design.beads)
    words = [f"{bead.name}, {bead.size}" if named else "" for bead in design.beads]
    bead_mm = 1.6 * em + letters + 0.8 * em
    wanted = bead_mm + min(max(text_width(word, em) for word in words), _MOST_NAME_EMS * em) + em
    columns = max(1, min(len(words), int(layout.line_mm / wanted)))
    room = layout.line_mm / columns - bead_mm - em
    fitted = tuple(_fitted(bead.name, bead.size, room, em) if named else "" for bead in design.beads)
    body = layout.body_pt * PT_MM
    lines = len(wrap(opening, layout.line_mm, body / KNOWN_FACE, most_lines=20))
    return KeyTable(
        fitted, bead_mm, columns, 1.75 * layout.key_pt * PT_MM, 1.32 * body, lines, "" if named else NOT_NAMED
    )


def _fitted(name: str, size: str, room: float, em: float) -> str:
    """Shorten the name, never the size."""
    tail = f", {size}"
    return shorten(name, room - text_width(tail, em), em) + tail
