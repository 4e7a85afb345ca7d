"""The mark beside a chart that shows one round of its repeat."""

from convert.chart.lettering import DIGIT_HEIGHT
from convert.chart.row_numbers import Margins, Part
from convert.chart.shapes import Anchor, Mark, Paint, Path, Text
from convert.rows.find_repeat import Repeat
from shared.plural import counted

AWAY, ARM, LINE = 3.0, 0.6, 0.14
"""How far from the work the bracket stands, how long its arms are, and its line, in diameters of a slot."""

TEXT = 0.9
"""Font size, in diameters of a slot."""


def repeat_mark(margins: Margins, repeat: Repeat) -> tuple[Mark, ...]:
    """Draw a bracket along the first round, on the side away from the tail, with its rows and how often it comes."""
    d, outward, ink = margins.diameter_mm, margins.inward, margins.inks.accent
    x = margins.tail_edge + outward * (margins.width + AWAY * d)
    ends = [margins.row_y(repeat.first) - margins.onward * d / 2, margins.row_y(repeat.last) + margins.onward * d / 2]
    arm = x - outward * ARM * d
    bracket = ((arm, ends[0]), (x, ends[0]), (x, ends[1]), (arm, ends[1]))
    anchor: Anchor = "start" if outward > 0 else "end"
    words = _words(repeat)
    top = sum(ends) / 2 - (len(words) - 1) / 2 * 1.4 * TEXT * d + TEXT * d * DIGIT_HEIGHT / 2
    lines = [
        Text(
            x + outward * 0.6 * d, top + 1.4 * TEXT * d * place, word, TEXT * d, margins.inks.accent, anchor, not place
        )
        for place, word in enumerate(words)
    ]
    return (Path(bracket, closed=False, paint=Paint(None, ink, LINE * d)), *lines)


def repeat_bracket(margins: Margins, repeat: Repeat, part: Part) -> tuple[Mark, ...]:
    """Draw as much of the bracket alone as a part shows: its arms stand where the first round begins and ends.

    Nothing where the part ends before the side away from the tail, or shows no row of the first round.
    """
    rows = range(max(repeat.first, part.rows[0]), min(repeat.last, part.rows[-1]) + 1)
    if not rows or part.columns[-1] != margins.grid.columns:
        return ()
    d, outward, onward = margins.diameter_mm, margins.inward, margins.onward
    x = margins.tail_edge + outward * (margins.width + AWAY * d)
    begin, end = (margins.row_y(rows[0]) - onward * d / 2, margins.row_y(rows[-1]) + onward * d / 2)
    arm = x - outward * ARM * d
    points = [(x, begin), (x, end)]
    if rows[0] == repeat.first:
        points.insert(0, (arm, begin))
    if rows[-1] == repeat.last:
        points.append((arm, end))
    return (Path(tuple(points), closed=False, paint=Paint(None, margins.inks.accent, LINE * d)),)


def _words(repeat: Repeat) -> tuple[str, ...]:
    part = f"and {counted(repeat.partial, 'row')} of it" if repeat.partial else ""
    words = ("repeat", f"rows {repeat.first} to {repeat.last},", counted(repeat.times, "time"), part)
    return tuple(word for word in words if word)
