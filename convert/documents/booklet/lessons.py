"""How the stitch is worked, in words and drawings: only what somebody needs for this design."""

from typing import NamedTuple

from convert.chart.choices import Ink
from convert.documents.booklet import lesson_drawings as drawn
from convert.documents.booklet.small_work import TONES, Drawing, SmallWork, Tones, small_work
from shared.design import Design
from shared.grid import Grid
from shared.plural import counted

TAIL = "30 cm (12 in)"


class LessonStep(NamedTuple):
    """A drawing with what to do."""

    drawing: Drawing | None
    words: str


class Lesson(NamedTuple):
    """Something to learn."""

    heading: str
    opening: str
    """What comes before the steps; may be empty."""
    steps: tuple[LessonStep, ...]


def lessons(design: Design, ink: Ink) -> tuple[Lesson, ...]:
    """Return the lessons for a design, drawn for its hand, its start and its drop, in an ink."""
    tones = TONES[ink]
    found = [_reading(design), _first_rows(design, tones), _plain_turn(design, tones), _odd_turn(design, tones)]
    if design.levels.any():
        found.append(_rising(design, tones))
    return (*found, _thread(design.grid.drop))


def _work(design: Design, tones: Tones, *, rows: int, odd: bool | None = None) -> SmallWork:
    odd = design.grid.odd_count if odd is None else odd
    return small_work(design.grid, design.bead_sizes.flat, tones, rows=rows, odd=odd)


def _one(design: Design) -> str:
    return "a bead" if design.grid.drop == 1 else "a pair of beads"


def _next(design: Design) -> str:
    return "bead" if design.grid.drop == 1 else "pair"


def _reading(design: Design) -> Lesson:
    grid = design.grid
    side, other = ("left", "right") if grid.hand == "right" else ("right", "left")
    end, direction = ("top", "down") if grid.start == "top" else ("bottom", "up")
    pairs = (
        " The work is two-drop: two beads lie next to each other in every stitch, and the needle takes up and passes a "
        "pair wherever plain peyote has one bead."
        if grid.drop == 2
        else ""
    )
    words = (
        f"The work grows {direction} the page: row 1 is at the {end} of the chart, the tail hangs at the {side}. Rows "
        f"1 and 2 are strung together and run from {side} to {other}; row 3 comes back, row 4 goes out again, and so "
        f"on.{pairs} From row 3 on, a row number in the chart stands at the side where the needle begins that row."
        f"{_counting(grid)}"
    )
    return Lesson("How to read this pattern", words, ())


def _counting(grid: Grid) -> str:
    """Say how rows are counted: a column and its neighbour hold all of them in turn; two outer columns may not."""
    if grid.columns == grid.drop:
        return ""
    edge = "column" if grid.drop == 1 else "pair of columns"
    return (
        f" To count your rows, zigzag between the edge {edge} and the {edge} next to it: each step from one to the "
        "other is a row."
    )


def _first_rows(design: Design, tones: Tones) -> Lesson:
    grid = design.grid
    work = _work(design, tones, rows=3)
    one, after = _one(design), _next(design)
    skipped = "one" if grid.drop == 1 else "a pair"
    ending = (
        "An odd count has no bead left to go into after the last one: see the odd-count turn."
        if grid.odd_count
        else f"The row ends through the first {after} that you strung."
    )
    steps = (
        LessonStep(
            drawn.strung_rows(_work(design, tones, rows=2)),
            f"String the {counted(grid.columns, 'bead')} of rows 1 and 2 in the order of the word rows and leave a "
            f"tail of {TAIL}. Any bead passed twice by the thread, a little way down the tail, keeps them from "
            f"slipping off; take it out later. The {tones.strung_word} beads become row 2, the white ones row 1. (The "
            "drawings show a narrower work.)",
        ),
        LessonStep(
            drawn.third_row(work),
            f"Take up {one} of row 3 ({tones.new_word}). Turn back, skip the last {after} that you strung and go "
            "through the one before it.",
        ),
        LessonStep(
            drawn.three_rows(work),
            f"Go on like this to the end of the row: take up {one}, skip {skipped}, go through the next. Then "
            "draw the thread snug. The strung beads move apart, up and down, and three rows lie like bricks in a wall. "
            f"Hold the first rows between finger and thumb until they stay. {ending}",
        ),
    )
    return Lesson("How flat peyote begins", "", steps)


def _plain_turn(design: Design, tones: Tones) -> Lesson:
    grid = design.grid
    one, after = _one(design), _next(design)
    where = "on the side away from the tail" if grid.odd_count else "at both edges"
    words = (
        f"The needle comes out at the edge. Take up {one} of the next row (1), which sits right on the edge; turn back "
        f"and go through the next {after} that stands out (2). In this pattern it is the turn {where}."
    )
    return Lesson("The plain turn", "", (LessonStep(drawn.plain_turn(_work(design, tones, rows=5)), words),))


def _odd_turn(design: Design, tones: Tones) -> Lesson:
    grid, after = design.grid, _next(design)
    back, ahead = ("above", "below") if grid.start == "top" else ("below", "above")
    five = _work(design, tones, rows=5, odd=True)
    opening = (
        "Every second row, on the tail side, ends without a bead to go into. The word rows mark each of these turns."
        if grid.odd_count
        else "This pattern has an even count and never needs it; it is here for the day you change the width."
    )
    steps = (
        LessonStep(
            drawn.first_odd_turn(_work(design, tones, rows=3, odd=True)),
            f"Row 3: take up the last {after} (1). Tie the working thread to the tail with two overhand knots, close "
            f"to the work (2), and go back through the {after} you have just taken up.",
        ),
        LessonStep(
            drawn.later_odd_turn(five, back=False),
            f"Rows 5, 7, 9 …: take up the last {after} (1). Go in through the edge {after} right {back} it (2), and on "
            f"through the next one on the diagonal (3).",
        ),
        LessonStep(
            drawn.later_odd_turn(five, back=True),
            f"Turn and come back through the {after} right {ahead} that one (4), on through the edge {after} again "
            f"(5), and turn once more to go in through the new {after} (6). It is locked, and the needle is ready for "
            "the next row.",
        ),
    )
    return Lesson("The odd-count turn", opening, steps)


def _rising(design: Design, tones: Tones) -> Lesson:
    bead_sizes = design.bead_sizes
    opening = (
        "Larger beads take more room than the places they stand in, so the work has to go somewhere: let it go up. "
        "Sizes rise one step at a time, from the rim of a dome to its top."
    )
    steps = (
        LessonStep(
            drawn.free_dome(bead_sizes, tones),
            "Work them like any other bead, and draw each row snug, no harder. After every second row, push the middle "
            "up from beneath with a fingertip, so that all domes rise to the same side.",
        ),
        LessonStep(
            drawn.pressed_dome(bead_sizes, tones),
            "Do not smooth them down on the table while you work. Pressed flat they crowd each other, the edge ripples "
            "and thread shows. A small cushion or a folded cloth beneath the finished part lets domes stand.",
        ),
    )
    return Lesson("Let larger beads sit up", opening, steps)


def _thread(drop: int) -> Lesson:
    beads = "beads" if drop == 1 else "pairs"
    words = (
        "When about 20 cm (8 in) are left, weave the end back through the work along the diagonals, with two half "
        f"knots between {beads} on the way, and cut it off close. Bring a new thread in along the same kind of path, "
        "so that it comes out where the old one stopped. At the end of the work leave a tail for the clasp."
    )
    return Lesson("A new thread", words, ())
