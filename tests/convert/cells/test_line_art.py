import numpy as np
import pytest
from drawings import EYES, INK, MOUTH, PAPER, Board, as_scanned, face, on_beads, parts, slanted, units_of

import convert.cells.supersample
from convert.cells.area_mean import footprint_means
from convert.cells.classify import has_dark_ground
from convert.cells.line_art import sketch_cells
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, lab_from_codes, lab_from_linear

ANGLES = (0, 15, 30, 45, 60, 90, 120)
WIDTHS = (0.1, 0.4, 1.2, 1.6)


def lab_of(colour):
    return lab_from_codes(np.array(colour, dtype=np.uint8))


def dark_by_area_mean(view, grid):
    """What the plain mean makes darker than half way from ink to paper."""
    picture, window, bounds, outside = view
    means = lab_from_linear(footprint_means(picture, grid, window=window, bounds=bounds, outside=outside))
    return means[:, 0] < (lab_of(PAPER)[0] + lab_of(INK)[0]) / 2


@pytest.mark.parametrize("wide", WIDTHS)
@pytest.mark.parametrize("degrees", ANGLES)
def test_a_drawn_line_stays_connected(degrees, wide):
    pixels, ends = slanted(degrees, wide)
    view, grid = on_beads(pixels)
    ink = sketch_cells(view, grid).ink
    assert len(parts(ink, grid)) == 1
    places = units_of(grid)[ink]
    along = (ends[1] - ends[0]) / np.linalg.norm(ends[1] - ends[0])
    off = np.abs((places - ends[0]) @ [-along[1], along[0]])
    assert off.max() <= wide / 2 + 0.9
    run = (places - ends[0]) @ along
    assert run.min() <= 2
    assert run.max() >= np.linalg.norm(ends[1] - ends[0]) - 2


def test_the_plain_mean_breaks_the_same_lines():
    """Shows that the check above can fail."""
    broken = 0
    for degrees in ANGLES:
        view, grid = on_beads(slanted(degrees, 1.2)[0])
        broken += len(parts(dark_by_area_mean(view, grid), grid)) != 1
    assert broken >= 5


@pytest.mark.parametrize("wide", [0.15, 0.35, 0.6])
def test_a_face_keeps_eyes_and_mouth_at_30_columns(wide):
    view, grid = on_beads(face(wide), 30)
    ink = sketch_cells(view, grid).ink
    places = units_of(grid)
    outline = max(parts(ink, grid), key=lambda part: np.ptp(places[part, 1]))
    for eye in EYES:
        pupil = np.flatnonzero(ink & (np.abs(places - eye) <= [0.7, 1.0]).all(axis=1))
        assert pupil.size
        assert not set(pupil) & set(outline)
        below = np.abs(places - np.add(eye, [0, 4])) <= [1.5, 1]
        assert not ink[below.all(axis=1)].any()
    (left, _), (right, bottom) = MOUTH
    near = ink & (places[:, 0] > left - 1) & (places[:, 0] < right + 1) & (np.abs(places[:, 1] - bottom) < 2.2)
    mouth = parts(near, grid)
    assert len(mouth) == 1
    assert np.ptp(places[mouth[0], 0]) >= 0.75 * (right - left)
    assert not dark_by_area_mean(view, grid)[near].any() or wide == 0.6


@pytest.mark.parametrize("dx", [0.0, 0.25, 0.5, 0.75])
@pytest.mark.parametrize("dy", [0.0, 0.3, 0.6, 0.9])
def test_a_dot_is_seen_wherever_it_falls(dx, dy):
    board = Board(25, 25)
    board.disc((12 + dx, 12 + dy), 0.35, INK)
    view, grid = on_beads(board.pixels(), 25)
    ink = sketch_cells(view, grid).ink
    assert 1 <= ink.sum() <= 3
    assert len(parts(ink, grid)) == 1
    assert np.linalg.norm(units_of(grid)[ink] - [12 + dx, 12 + dy], axis=1).max() < 1


def test_strokes_that_do_not_touch_are_not_joined():
    """Two lines that leave one row of beads between them, and a dot between two others that are farther apart."""
    board = Board(31, 31)
    for y in (6, 8.8, 18, 24.8):
        board.line([(3, y), (28, y)], 0.3)
    board.disc((15, 21.4), 0.4, INK)
    view, grid = on_beads(board.pixels())
    assert len(parts(sketch_cells(view, grid).ink, grid)) == 5


def test_paper_and_inks_come_out_as_drawn():
    red, blue = (190, 40, 40), (20, 40, 120)
    board = Board(31, 40)
    board.ring((15, 10), (12, 8), 0.3, red)
    board.line([(2, 38), (29, 20)], 0.25, blue)
    board.line([(2, 20), (12, 30)], 0.35, INK)
    view, grid = on_beads(board.pixels())
    linear, ink, *_ = sketch_cells(view, grid)
    lab = lab_from_linear(linear)
    assert (codes_from_linear(linear[~ink]) == PAPER).all()
    differences = ciede2000(lab[ink][:, None], lab_of([red, blue, INK])[None])
    assert differences.min(axis=1).max() < 6
    assert set(differences.argmin(axis=1).tolist()) == {0, 1, 2}
    assert len(np.unique(codes_from_linear(linear[ink]), axis=0)) == 3


def test_uneven_light_and_grain_do_not_matter():
    pixels = face(0.35)
    plain, grid = on_beads(pixels, 30)
    scanned, _ = on_beads(as_scanned(pixels), 30)
    one, other = sketch_cells(plain, grid).ink, sketch_cells(scanned, grid).ink
    assert np.count_nonzero(one != other) <= 0.06 * one.sum()
    assert len(np.unique(codes_from_linear(sketch_cells(scanned, grid).linear[other]), axis=0)) == 1


def test_chalk_on_a_dark_ground_is_kept():
    pixels, _ = slanted(60, 0.3, colour=(240, 240, 230), ground=(20, 40, 60))
    view, grid = on_beads(pixels)
    assert has_dark_ground(view)
    linear, ink, *_ = sketch_cells(view, grid, dark_ground=True)
    assert len(parts(ink, grid)) == 1
    assert (codes_from_linear(linear[~ink]) == (20, 40, 60)).all()
    assert not sketch_cells(view, grid).ink.any()


def test_areas_broader_than_a_line_are_no_ink_and_keep_their_colour():
    board = Board(31, 31)
    board.disc((15, 15), 9, (60, 70, 90))
    view, grid = on_beads(board.pixels())
    linear, ink, *_ = sketch_cells(view, grid)
    inside = np.linalg.norm(units_of(grid) - [15, 15], axis=1) < 8
    assert not ink[inside].any()
    assert ink.sum() <= 6
    assert (codes_from_linear(linear[inside]) == (60, 70, 90)).all()


@pytest.mark.parametrize("band_samples", [1, 30_000])
def test_bands_make_no_difference(monkeypatch, band_samples):
    view, grid = on_beads(face(0.35), 30)
    whole = sketch_cells(view, grid)
    monkeypatch.setattr(convert.cells.supersample, "BAND_SAMPLES", band_samples)
    banded = sketch_cells(view, grid)
    assert np.array_equal(whole.ink, banded.ink)
    assert np.allclose(whole.linear, banded.linear, atol=1e-9)


def test_a_blank_sheet_has_no_ink():
    view, grid = on_beads(np.full((200, 200, 3), 250, dtype=np.uint8), 12)
    linear, ink, *_ = sketch_cells(view, grid)
    assert not ink.any()
    assert np.isfinite(linear).all()
