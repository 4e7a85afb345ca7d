"""The drawings of how it is stitched: their needle goes as the needle of the work does."""

import re
from itertools import pairwise

import numpy as np
import pytest
from booklets import KINDS
from strategies import SIZES

from convert.chart.shapes import Oval, Path, Rectangle
from convert.documents.booklet.lesson_drawings import (
    free_dome,
    later_odd_turn,
    odd_turn_stretches,
    plain_turn,
    plain_turn_stretch,
    pressed_dome,
    strung_rows,
    third_row,
    three_rows,
)
from convert.documents.booklet.lessons import lessons
from convert.documents.booklet.small_work import TONES, small_work
from shared.grid import Grid
from shared.plural import counted

TURNED = [
    (hand, start, drop, odd)
    for hand in ("right", "left")
    for start in ("top", "bottom")
    for drop in (1, 2)
    for odd in (True, False)
]


def work_of(hand, start, drop, odd, rows=5):
    return small_work(Grid(4 * drop, 4, hand, start, drop), SIZES.flat, TONES["colour"], rows=rows, odd=odd)


def in_stitches(stretch, drop):
    """A stretch as row, group and direction of each stitch; the beads of a stitch are passed one after the other."""
    one = [(row, (column - 1) // drop + 1, turned) for (row, column), turned in zip(*stretch, strict=True)]
    assert all(len(set(one[at : at + drop])) == 1 for at in range(0, len(one), drop))
    return one[::drop]


@pytest.mark.parametrize(("hand", "start", "drop", "odd"), [one for one in TURNED if one[3]])
def test_the_needle_of_the_odd_count_turn_goes_as_it_is_told(hand, start, drop, odd):
    """In through the edge next to the last stitch, on the diagonal, back through the neighbour, and out at the edge."""
    down, back = odd_turn_stretches(work_of(hand, start, drop, odd).grid)
    assert in_stitches(down, drop) == [(4, 2, -1), (5, 1, -1), (3, 1, 1), (2, 2, 1)]
    assert in_stitches(back, drop) == [(2, 2, 1), (4, 2, -1), (3, 1, -1), (5, 1, 1)]


@pytest.mark.parametrize(("hand", "start", "drop", "odd"), TURNED)
def test_the_needle_of_the_plain_turn_goes_as_it_is_told(hand, start, drop, odd):
    """It comes out at the edge, takes up the next bead there, turns and goes through the next one that stands out."""
    last = 5 if odd else 6
    stretch = plain_turn_stretch(work_of(hand, start, drop, odd).grid)
    assert in_stitches(stretch, drop) == [
        (3, last - 2, 1),
        (4, last - 1, 1),
        (3, last, 1),
        (5, last, -1),
        (4, last - 1, -1),
    ]


def beads_of(drawing):
    return [mark for mark in drawing.marks if isinstance(mark, Rectangle)]


@pytest.mark.parametrize(("hand", "start", "drop", "odd"), TURNED)
def test_beads_are_drawn_in_their_true_proportions(hand, start, drop, odd):
    """A slot of 1.3 x 1.6 mm (published trade measures of the cylinder 11/0), less the same gap all around."""
    for drawing in (strung_rows(work_of(hand, start, drop, odd, 2)), plain_turn(work_of(hand, start, drop, odd))):
        for box in beads_of(drawing):
            assert box.height - box.width == pytest.approx(1.6 - 1.3)


@pytest.mark.parametrize(("hand", "start", "drop", "odd"), TURNED)
def test_as_many_beads_are_drawn_as_rows_have(hand, start, drop, odd):
    small = work_of(hand, start, drop, odd, 3)
    columns = small.grid.columns
    assert len(beads_of(strung_rows(work_of(hand, start, drop, odd, 2)))) == columns
    assert len(beads_of(third_row(small))) == columns + drop
    assert len(beads_of(three_rows(small))) == small.grid.count


def test_a_left_handed_drawing_is_the_mirror_of_the_right_handed_one():
    right, left = (later_odd_turn(work_of(hand, "top", 1, True), back=True) for hand in ("right", "left"))
    width = 5 * SIZES.flat.length_mm
    mirrored = sorted((round(width - box.x - box.width, 6), round(box.y, 6)) for box in beads_of(left))
    assert mirrored == sorted((round(box.x, 6), round(box.y, 6)) for box in beads_of(right))


def test_in_a_free_dome_beads_touch_and_rise_to_the_middle():
    for drawing, rises in ((free_dome(SIZES, TONES["colour"]), True), (pressed_dome(SIZES, TONES["colour"]), False)):
        outer = [mark for mark in drawing.marks if isinstance(mark, Oval)][::2]
        for one, other in pairwise(outer):
            apart = np.hypot(one.x - other.x, one.y - other.y)
            assert apart == pytest.approx(one.rx + other.rx, abs=0.1)
        feet = [mark.y + mark.ry for mark in outer]
        assert (min(feet) < -2) == rises


def test_drawings_in_black_ink_have_no_colour():
    for lesson in lessons(KINDS["domes"](), "black"):
        for step in lesson.steps:
            for mark in step.drawing.marks:
                if isinstance(mark, Rectangle | Oval | Path):
                    for colour in filter(None, (mark.paint.fill, mark.paint.stroke)):
                        assert max(np.ptp([int(colour[at : at + 2], 16) for at in (1, 3, 5)]), 0) < 32


@pytest.mark.parametrize("kind", KINDS)
def test_rows_are_counted_where_the_beads_of_every_row_lie(kind):
    design = KINDS[kind]()
    grid, (reading, *_) = design.grid, lessons(design, "colour")
    drop, told = grid.drop, re.search("zigzag between the edge (.*) and the (.*) next to it", reading.opening)
    assert bool(told) == (grid.columns > drop)
    if told is None:
        return
    assert told[1] == told[2] == ("column" if drop == 1 else "pair of columns")
    edge, inner = (grid.row_of[grid.column_of == column].tolist() for column in (1, 1 + drop))
    assert sorted(edge + inner) == list(range(1, grid.rows + 1))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("ink", ["colour", "black"])
def test_words_fit_the_design(kind, ink):
    design = KINDS[kind]()
    text = " ".join(
        f"{one.heading} {one.opening} " + " ".join(step.words for step in one.steps) for one in lessons(design, ink)
    )
    assert f"String the {counted(design.grid.columns, 'bead')} of" in text
    assert not re.search(r"\b1 (beads|columns|rows)\b", text)
    assert ("pair" in text) == (design.grid.drop == 2)
    assert ("take up a pair of beads, skip a pair, go through" in text) == (design.grid.drop == 2)
    assert ("never needs it" in text) == (not design.grid.odd_count)
    assert ("sit up" in text) == bool(design.levels.any())
    assert bool(re.search("yellow", text)) == (ink == "colour")
    side = "left" if design.grid.hand == "right" else "right"
    assert f"the tail hangs at the {side}" in text
    assert f"row 1 is at the {design.grid.start}" in text


@pytest.mark.parametrize(("hand", "start", "drop", "odd"), TURNED)
def test_alternative_texts_name_the_beads_of_the_drawn_way_in_order(hand, start, drop, odd):
    work = work_of(hand, start, drop, odd)
    stretches = [plain_turn_stretch(work.grid), *(odd_turn_stretches(work.grid) if odd else ())]
    drawings = [plain_turn(work), *([later_odd_turn(work, back=back) for back in (False, True)] if odd else [])]
    for stretch, drawing in zip(stretches, drawings, strict=True):
        told = [tuple(map(int, found)) for found in re.findall(r"row (\d+) column (\d+)", drawing.alt)]
        assert told == stretch.steps
        turns = sum(one != other for one, other in pairwise(stretch.directions))
        assert drawing.alt.count("it turns") == turns
