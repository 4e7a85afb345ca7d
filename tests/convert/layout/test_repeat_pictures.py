"""What a bead of a motif shows: the picture laid end to end, recomputed pixel by pixel."""

from pathlib import Path

import numpy as np
import pytest
from flows import cells_lab
from picture_oracle import encoded, light

from convert.image.decode import Source
from convert.layout.choices import Crop
from convert.options import Options
from convert.pattern import make_pattern, stage_flow
from convert.relief.dome_syntax import parse_dome
from shared.beads import BeadSize, BeadSizes
from shared.colour import lab_from_linear

SQUARE = BeadSizes((BeadSize("cylinder 11/0", 1.0, 2.0, 0.8, 200.0), BeadSize("round 8/0", 2.0, 3.0, 1.0, 36.0)))
"""A column as wide as a half-row is high, so that pixels of a picture fall on beads without remainder."""

SAMPLES = Path(__file__).parents[3] / "samples"

PIXELS = 3
COLUMNS, ROWS = 6, 10
CODES = np.random.default_rng(4).integers(0, 256, (ROWS * PIXELS, COLUMNS * PIXELS, 3)).astype(np.uint8)


def shown(codes, row, column, *, first_rows, start, hand, rows):
    """Mean light over a bead: of the pictures one below the other, a column across and two half-rows down."""
    in_repeat = (row - first_rows - 1) % rows
    top = in_repeat if start == "top" else rows - 1 - in_repeat
    left = column - 1 if hand == "right" else COLUMNS - column
    lines = np.arange(top * PIXELS, (top + 2) * PIXELS) % len(codes)
    return light(codes)[lines][:, left * PIXELS : (left + 1) * PIXELS].mean(axis=(0, 1))


@pytest.mark.parametrize("first_rows", [0, 1, 2, 3])
@pytest.mark.parametrize("start", ["top", "bottom"])
@pytest.mark.parametrize("hand", ["right", "left"])
def test_each_bead_shows_the_mean_over_itself_across_the_seam_too(first_rows, start, hand):
    options = Options(
        columns=COLUMNS, repeat=3, first_rows=first_rows, start=start, hand=hand, style="photo", bead_sizes=SQUARE
    )
    flow = stage_flow(Source("motif.png", encoded(CODES)), None, options)
    grid, cells = flow["layout"].grid, flow["layout"].spread(flow["cells"].lab, np.nan)
    assert grid.rows == first_rows + 3 * ROWS
    for bead, (row, column) in enumerate(zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)):
        if row <= first_rows:
            assert np.isnan(cells[bead]).all()
            continue
        mean = shown(CODES, row, column, first_rows=first_rows, start=start, hand=hand, rows=ROWS)
        assert cells[bead] == pytest.approx(lab_from_linear(mean), abs=1e-3)


def test_a_crop_is_the_motif():
    wide = np.random.default_rng(5).integers(0, 256, (60, 50, 3)).astype(np.uint8)
    wide[7 : 7 + len(CODES), 11 : 11 + CODES.shape[1]] = CODES
    crop = Crop(11, 7, CODES.shape[1], len(CODES))
    cells = [
        cells_lab(Source("motif.png", encoded(codes)), None, Options(columns=6, repeat=2, bead_sizes=SQUARE, crop=box))
        for codes, box in ((wide, crop), (CODES, None))
    ]
    assert np.allclose(*cells, atol=1e-6)


def test_a_map_far_coarser_than_the_motif_is_cut_to_a_line_of_it():
    """The last hundredth of a map 10 pixels high is a tenth of a pixel: its last line is taken."""
    picture = np.full((1000, 500, 3), 120, np.uint8)
    heights = np.zeros((10, 5), np.uint8)
    heights[-1] = 255
    crop = Crop(0, 99.2, 4, 0.8, percent=True)
    sources = Source("motif.png", encoded(picture)), Source("map.png", encoded(heights))
    design = make_pattern(*sources, Options(columns=6, repeat=2, crop=crop, style="photo"), surface=False).design
    assert set(design.levels.tolist()) == {3}


def test_a_height_map_is_smoothed_over_the_seam():
    """A white band along the end of the map spreads into the begin of the next repeat as far as back into its own."""
    heights = np.zeros((ROWS * PIXELS, COLUMNS * PIXELS), np.uint8)
    heights[-2 * PIXELS :] = 255
    sources = Source("motif.png", encoded(CODES)), Source("map.png", encoded(heights))
    design = make_pattern(
        *sources, Options(columns=6, repeat=3, bead_sizes=SQUARE, blur_mm=1.5, thresholds=(0.15,)), surface=False
    ).design
    raised = {int(row) for row in design.grid.row_of[design.levels == 1]}
    # The band is two half-rows high, just those of row 9; 15 % of white is left two half-rows on, but not four.
    assert raised == {row + 10 * turn for turn in range(3) for row in (7, 8, 9, 10, 11)} - {31} | {1}


def test_sketched_lines_go_on_over_the_seam():
    """One line from top to bottom is a column of ink without gaps, in every repeat."""
    codes = np.full((60, 60, 3), 255, np.uint8)
    codes[:, 32:34] = 20
    design = make_pattern(
        Source("line.png", encoded(codes)), None, Options(columns=12, repeat=3, colours=2, style="lines"), surface=False
    ).design
    dark = [bead.lab[0] < 50 for bead in design.beads]
    inked = sorted(
        (int(row), int(column))
        for row, column, cell in zip(design.grid.row_of, design.grid.column_of, design.cells, strict=True)
        if dark[cell]
    )
    rows, columns = zip(*inked, strict=True)
    assert set(columns) == {7}
    assert list(rows) == list(range(rows[0], design.grid.rows + 1, 2))


def test_two_fifths_of_the_sample_are_its_motif():
    """Its design comes again every 60 rows of 25 columns (samples/README.md), so the motif laid end to end shows what
    the whole drawing shows, but for where beads fall on it: 60 rows are not quite two fifths of it."""
    source = Source("tide-pool.png", (SAMPLES / "tide-pool.png").read_bytes())
    crop = Crop(0, 0, 100, 40, percent=True)
    motif = make_pattern(source, None, Options(columns=25, crop=crop, repeat=2, style="photo"), surface=False)
    whole = make_pattern(source, None, Options(columns=25, rows=150, style="photo"), surface=False)
    assert motif.design.grid.rows == 120
    beads = motif.design.grid.row_slice(1, 120).stop
    one, other = (
        np.array([bead.lab for bead in design.beads])[design.cells[:beads]] for design in (motif.design, whole.design)
    )
    assert (np.abs(one - other).max(axis=1) < 5).mean() > 0.9


def test_a_finished_length_goes_in_whole_repeats():
    codes = np.full((60, 30, 3), 200, np.uint8)
    options = Options(
        columns=9, repeat="auto", length_mm=75.0, first_rows=2, domes=(parse_dome("diamond 15,5 r5"),), style="photo"
    )
    finished = make_pattern(Source("motif.png", encoded(codes)), None, options)
    rows = finished.design.grid.rows
    assert (rows - 2) % 30 == 0
    assert finished.prediction.found.length_mm <= 75.0 + 0.8
    assert any("whole repeats in" in notice for notice in finished.notices)
    longer = make_pattern(
        Source("motif.png", encoded(codes)),
        None,
        Options(columns=9, repeat=(rows - 2) // 30 + 1, first_rows=2, domes=options.domes, style="photo"),
    )
    assert longer.prediction.found.length_mm > 75.0 + 0.8
