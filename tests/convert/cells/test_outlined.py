import numpy as np
import pytest
from bundled_pictures import PHOTOS, bundled
from drawings import Board, on_beads, parts, units_of
from outlined_drawings import FINER, drawing

from convert.cells.cell_colours import colour_beads
from convert.cells.classify import guess_style
from convert.cells.logo import logo_cells
from convert.image.decode import decode
from shared.ciede2000 import ciede2000
from shared.colour import lab_from_codes, lab_from_linear

EACH = 30
"""Pictures of each style."""


def photographs():
    """Parts of the photographs that come with two libraries, one from each corner and side in turn."""
    names = [name for name in PHOTOS if name != "hubble_deep_field"]
    for place in range(EACH):
        codes = decode(bundled(names[place % len(names)]), max_pixels=10**8).pixels().codes
        half = np.array(codes.shape[:2]) * 3 // 5
        down, right = (np.array(codes.shape[:2]) - half) * divmod(place * 5 % 9, 3) // 2
        yield np.ascontiguousarray(codes[down : down + half[0], right : right + half[1]])


def test_styles_of_drawings_that_the_rule_was_not_fitted_on():
    wrong = []
    for style in ("outlined", "flat", "lines", "photo"):
        made = photographs() if style == "photo" else (drawing(style, seed).pixels for seed in range(EACH))
        for seed, pixels in enumerate(made):
            guess = guess_style(*on_beads(pixels)).style
            wrong += [(style, seed, guess)] if guess != style else []
            assert style != "photo" or guess == "photo"
    assert len(wrong) <= 0.05 * 4 * EACH, wrong


def bead_at(points, view, grid):
    """The bead on each point of a picture, of those on any."""
    starts = np.full((grid.rows + 1, grid.columns), -1)
    for half in (0, 1):
        starts[grid.place_of[:, 0] + half, grid.place_of[:, 1]] = np.arange(grid.count)
    across = (points[:, 0] - view.window.left) / view.window.width * grid.columns
    down = (points[:, 1] - view.window.top) / view.window.height * (grid.rows + 1)
    inside = (across >= 0) & (across < grid.columns) & (down >= 0) & (down < grid.rows + 1)
    beads = starts[down[inside].astype(int), across[inside].astype(int)]
    return beads[beads >= 0]


def lines_kept(drawn, columns, style):
    """Share of the lines to be seen next to or on whose points a bead has the colour of the pen, and false ink."""
    view, grid = on_beads(drawn.pixels, columns)
    shown = lab_from_linear(colour_beads(view, grid, style=style).linear)
    inked = ciede2000(shown, lab_from_codes(np.array(drawn.pen, dtype=np.uint8))) < 15
    near = inked | np.append(inked, False)[grid.neighbours].any(axis=1)
    height, width = drawn.inked.shape
    points = np.concatenate(drawn.lines)
    points = points[(points >= 0).all(axis=1) & (points < [width // FINER, height // FINER]).all(axis=1)]
    right, down = (points * FINER).astype(int).T
    on_line = bead_at(points[drawn.inked[down, right]], view, grid)
    touched = np.zeros(grid.count, dtype=bool)
    touched[bead_at((np.argwhere(drawn.inked)[:, ::-1] + 0.5) / FINER, view, grid)] = True
    return near[on_line].mean(), (inked & ~touched).mean()


@pytest.mark.parametrize(("columns", "least"), [(31, 0.95), (45, 0.98)])
def test_lines_are_kept_and_none_is_added(columns, least):
    kept, false = np.array([lines_kept(drawing("outlined", seed), columns, "outlined") for seed in range(12, 18)]).T
    assert kept.min() >= least
    assert false.max() <= 0.02
    assert lines_kept(drawing("outlined", 12), columns, "flat")[0] < least


@pytest.mark.parametrize("gap", [2.0, 2.5, 3.3])
@pytest.mark.parametrize("off", [0.0, 0.3, 0.6, 0.9])
def test_an_eye_two_beads_off_its_outline_stays_apart(gap, off):
    board = Board(31, 38, (160, 200, 240))
    board.ring((15 + off, 17 + off), (10, 10), 0.4, (20, 20, 30), fill=(250, 220, 180))
    board.disc((15 + off, 17 + off - (10 - 0.4 - gap - 0.7)), 0.7, (20, 20, 30))
    view, grid = on_beads(board.pixels(), 31)
    seen = colour_beads(view, grid, style="outlined")
    outline, eye = parts(seen.ink, grid)
    assert np.ptp(units_of(grid)[outline], axis=0).min() > 17
    assert len(eye) <= 5
    assert not seen.notices


def test_an_eye_that_runs_into_its_outline_is_told():
    board = Board(31, 38, (160, 200, 240))
    board.ring((15, 17), (10, 10), 0.4, (20, 20, 30), fill=(250, 220, 180))
    board.disc((15, 8.6), 0.7, (20, 20, 30))
    view, grid = on_beads(board.pixels(), 31)
    (notice,) = colour_beads(view, grid, style="outlined").notices
    assert "1 place, first 4" in notice


def test_light_lines_on_dark_areas_are_laid_over_too():
    board = Board(31, 38, (24, 30, 70))
    for x, colour in ((9, (120, 30, 40)), (22, (20, 90, 60))):
        board.ring((x, 17), (6, 12), 0.3, (250, 250, 240), fill=colour)
    view, grid = on_beads(board.pixels(), 31)
    seen = colour_beads(view, grid, style="auto")
    assert seen.style == "outlined"
    assert len(parts(seen.ink, grid)) == 2
    assert lab_from_linear(seen.linear)[seen.ink, 0].min() > 90
    areas = ~seen.ink
    assert np.array_equal(seen.linear[areas], logo_cells(view, grid)[areas])
