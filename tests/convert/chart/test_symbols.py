from io import BytesIO

import numpy as np
import pytest
from PIL import Image
from strategies import SIZES, bead_of

from convert.chart.png import chart_png
from convert.chart.scene import chart_scene
from convert.chart.shapes import Text, extent_of, move_all, union
from convert.chart.symbols import symbol
from shared.design import Design
from shared.errors import BadChoiceError
from shared.grid import Grid

KINDS = 110


def many_kinds(level):
    grid = Grid(18, 25)
    return Design("Signs", grid, SIZES, tuple(bead_of(i, level) for i in range(KINDS)), np.arange(grid.count) % KINDS)


@pytest.mark.parametrize("level", [0, 3])
def test_every_kind_has_another_symbol_when_printed_in_black(level):
    design = many_kinds(level)
    scene = chart_scene(design, ink="black")
    colours = np.array(Image.open(BytesIO(chart_png(scene))))
    assert (colours == colours[..., :1]).all()
    picture = colours[..., 0]
    tiles = {}
    # A tile is the middle of a bead, without its outline. All lie between the fronts of rows 2, 10 and 20.
    for (x, y), kind in zip(scene.centres_mm.tolist(), scene.kind_of.tolist(), strict=True):
        column = round(x * 20) - int(np.floor(scene.extent.left * 20))
        row = round(y * 20) - int(np.floor(scene.extent.top * 20))
        if 2.5 < y < 7.5 or 9.5 < y < 15.5 or 17 < y < 19.5:
            tiles[kind] = picture[row - 11 : row + 11, column - 10 : column + 10] < 128
    assert sorted(tiles) == list(range(KINDS))
    found = np.array([tiles[kind].ravel() for kind in range(KINDS)])
    different = (found[:, None] != found[None]).sum(axis=2) + 999 * np.eye(KINDS, dtype=int)
    assert different.min() >= 7
    assert different[:52, :52].min() >= 25


def test_symbols_without_dots_differ_widely_and_those_with_dots_are_distinct():
    assert len({symbol(place) for place in range(832)}) == 832
    scene = chart_scene(many_kinds(0), ink="black")
    assert len({kind.marks for kind in scene.kinds}) == KINDS


def test_more_kinds_than_symbols_are_refused():
    with pytest.raises(BadChoiceError, match=r"832 kinds of bead.*fewer colours"):
        symbol(832)


@pytest.mark.parametrize("ink", ["colour", "black"])
def test_the_legend_draws_every_bead_as_the_chart_does(ink):
    scene = chart_scene(many_kinds(1), ink=ink)
    (legend,) = [group.marks for group in scene.over if group.name == "legend"]
    place_of = {mark.text: place for place, mark in enumerate(legend) if isinstance(mark, Text)}
    for kind in scene.kinds:
        place = place_of[kind.kind]
        drawn = legend[place - len(kind.marks) : place]
        assert about_centre(drawn) == about_centre(kind.marks)
        middle = extent_of(drawn[0])
        assert middle.top < legend[place].y < middle.bottom
        assert middle.right < legend[place].x


@pytest.mark.parametrize(("columns", "rows"), [(25, 160), (8, 2_000), (400, 300)])
def test_beads_of_the_legend_are_as_high_as_its_letters_where_work_is_large(columns, rows):
    grid = Grid(columns, rows)
    beads = tuple(bead_of(colour, 0) for colour in range(3))
    scene = chart_scene(Design("Reef", grid, SIZES, beads, np.arange(grid.count) % 3))
    (legend,) = [group.marks for group in scene.over if group.name == "legend"]
    (place,) = [at for at, mark in enumerate(legend) if isinstance(mark, Text) and mark.text == scene.kinds[1].kind]
    drawn, in_chart = (
        union(map(extent_of, each))
        for each in (legend[place - len(scene.kinds[1].marks) : place], scene.kinds[1].marks)
    )
    assert drawn.height == pytest.approx(max(in_chart.height, legend[place].size_mm))
    assert drawn.width / drawn.height == pytest.approx(in_chart.width / in_chart.height)
    assert drawn.right < legend[place].x


def about_centre(marks):
    body = extent_of(marks[0])
    centred = move_all(marks, -(body.left + body.right) / 2, -(body.top + body.bottom) / 2)
    return [(type(mark), [round(v, 6) for v in extent_of(mark)]) for mark in centred]
