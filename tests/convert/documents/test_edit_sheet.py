"""Designs edited elsewhere: written, changed as a person would with Pillow and csv, and read back."""

import csv
import io
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from size_levels import middle, rings
from strategies import SIZES, bead_of, designs, grids, lab_of

from convert.documents.edit_sheet.edit import edit_in_words
from convert.documents.edit_sheet.png import read_sheet_png, sheet_png
from convert.documents.edit_sheet.sheet import column_names, line_names, sheet_places, sheet_shape
from convert.documents.edit_sheet.table import read_sheet_csv, sheet_csv
from shared.design import Design
from shared.errors import BadFileError
from shared.grid import Grid
from shared.letters import letters_at


def picture_of(design):
    return Image.open(io.BytesIO(sheet_png(design)))


def saved(picture, **options):
    file = io.BytesIO()
    picture.save(file, "PNG", **options)
    return file.getvalue()


def read_picture(picture, design, *, new_colours=False):
    return read_sheet_png(saved(picture), design, source="sheet.png", new_colours=new_colours)


def lines_of(design):
    return list(csv.reader(io.StringIO(sheet_csv(design), newline="")))


def read_lines(lines, design, delimiter=","):
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows(lines)
    return read_sheet_csv(text.getvalue(), design, source="sheet.csv")


def limpet(rows=26, **turned):
    """A dome in two colours."""
    grid = Grid(9, rows, **turned)
    beads = (*(bead_of(3, level) for level in range(4)), bead_of(7, 0), bead_of(7, 1))
    levels = rings(grid, middle(grid), radii=(0.5, 1.5, 2.5))
    cells = np.where((levels < 2) & (grid.row_of < 8), levels + 4, levels)
    return Design("Limpet", grid, SIZES, beads, cells)


def at(design, row, column):
    """The line and place of a bead on its sheet, and its number."""
    bead = int(design.grid.bead_at(np.array(row), np.array(column)))
    line, place = sheet_places(design.grid)
    return int(line[bead]), int(place[bead]), bead


@given(grids(most_columns=20, most_rows=40))
def test_every_bead_has_a_place_of_its_own(grid):
    lines, places = sheet_places(grid)
    height, width = sheet_shape(grid)
    assert len(set(zip(lines.tolist(), places.tolist(), strict=True))) == grid.count
    assert (lines < height).all()
    assert (places < width).all()
    for bead in range(grid.count):
        assert str(grid.row_of[bead]) in line_names(grid)[lines[bead]].split("+")
        assert str(grid.column_of[bead]) == column_names(grid)[places[bead]]


@given(designs())
def test_a_sheet_that_nobody_edited_gives_the_design_back(design):
    by_picture = read_sheet_png(sheet_png(design), design, source="sheet.png", new_colours=False)
    by_table = read_sheet_csv(sheet_csv(design), design, source="sheet.csv")
    assert by_picture.design == design
    assert by_table.design == design
    assert edit_in_words(by_picture) == edit_in_words(by_table) == "nothing changed"


@given(designs(), st.sampled_from(["RGB", "RGBA", "P"]))
def test_a_picture_saved_by_a_paint_program_in_other_modes_is_the_same(design, mode):
    assert read_picture(picture_of(design).convert("RGBA").convert(mode), design).design == design


@given(designs(), st.data())
def test_painting_a_bead_changes_its_colour_alone(design, data):
    """The pixel takes the colour; size and every other bead stay."""
    cell = data.draw(st.integers(0, design.grid.count - 1))
    colour = data.draw(st.sampled_from(design.beads)).srgb
    line, place = (int(axis[cell]) for axis in sheet_places(design.grid))
    picture = picture_of(design).convert("RGBA")
    picture.putpixel((place, line), (*bytes.fromhex(colour[1:]), 255))
    after = read_picture(picture, design).design
    assert after.beads[after.cells[cell]].srgb == colour
    assert (after.levels == design.levels).all()
    keys = [[one.beads[c].kind for c in one.cells.tolist()] for one in (design, after)]
    assert [i for i in range(design.grid.count) if keys[0][i] != keys[1][i]] in ([], [cell])


@given(designs(), st.data())
def test_writing_a_key_changes_that_bead_alone(design, data):
    cell = data.draw(st.integers(0, design.grid.count - 1))
    letters = data.draw(st.sampled_from(design.beads)).kind.rstrip("0123456789")
    key = letters + data.draw(st.sampled_from(SIZES.marks))
    line, place = (int(axis[cell]) for axis in sheet_places(design.grid))
    lines = lines_of(design)
    lines[line + 1][place + 1] = f" {key.lower()} "
    after = read_lines(lines, design, data.draw(st.sampled_from(",;\t"))).design
    keys = [[one.beads[c].kind for c in one.cells.tolist()] for one in (design, after)]
    assert keys[1][cell] == key
    assert keys[0][:cell] + keys[0][cell + 1 :] == keys[1][:cell] + keys[1][cell + 1 :]


def test_the_picture_is_indexed_and_lies_as_the_work_does():
    design = limpet(rows=25)
    picture = picture_of(design)
    assert (picture.mode, picture.size) == ("P", (9, 13))
    rgba = np.asarray(picture.convert("RGBA"))
    assert rgba[0, 0, :3].tobytes().hex() == design.beads[4].srgb[1:]
    assert rgba[..., 3].astype(bool).sum() == design.grid.count
    assert (rgba[-1, :, 3] == [255, 0] * 4 + [255]).all()


def test_a_new_colour_is_refused_or_becomes_the_next_letter():
    design = limpet()
    line, place, bead = at(design, *middle(design.grid))
    picture = picture_of(design).convert("RGB")
    picture.putpixel((place, line), (255, 0, 254))
    row, column = middle(design.grid)
    with pytest.raises(BadFileError, match=rf"#ff00fe, at row {row} column {column}; .*--new-colours"):
        read_picture(picture, design)
    found = read_picture(picture, design, new_colours=True)
    new = found.design.beads[found.design.cells[bead]]
    assert (new.kind, new.srgb, new.size, new.lab) == (f"{letters_at(8)}6", "#ff00fe", "round 6/0", lab_of("#ff00fe"))
    assert new.name not in {one.name for one in design.beads}
    assert "D6" not in {one.kind for one in found.design.beads}
    told = edit_in_words(found)
    assert f"new bead {letters_at(8)}6: round 6/0, " in told
    assert "no longer used: D6" in told


def smoothed(picture):
    return (
        picture.convert("RGB").resize((30, 40), Image.Resampling.BICUBIC).resize(picture.size, Image.Resampling.BICUBIC)
    )


def rubbed_out(picture):
    picture = picture.convert("RGBA")
    picture.putpixel((3, 2), (0, 0, 0, 0))
    return picture


def half_covered(picture):
    picture = picture.convert("RGBA")
    picture.putpixel((3, 2), (*picture.getpixel((3, 2))[:3], 128))
    return picture


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda p: p.resize((18, 26)), r"18 x 26 pixels where the sheet has 9 x 13 \(it was enlarged 2 times\)"),
        (lambda p: p.crop((0, 0, 9, 12)), "9 x 12 pixels where the sheet has 9 x 13"),
        (smoothed, "colours .* at row 3 column 1, "),
        (rubbed_out, "no bead at row [56] column 4"),
        (half_covered, "half-transparent paint at row [56] column 4"),
        (lambda p: Image.new("I;16", p.size), "8-bit PNG"),
    ],
)
@pytest.mark.parametrize("new_colours", [False, True])
def test_a_picture_that_cannot_be_read_back_is_named_with_its_places(spoil, words, new_colours):
    if spoil is smoothed and new_colours:
        return
    design = limpet()
    with pytest.raises(BadFileError, match=words):
        read_picture(spoil(picture_of(design)), design, new_colours=new_colours)


@pytest.mark.parametrize("content", [b"", b"rows,1,2", b"\x89PNG\r\n\x1a\n", sheet_png(limpet())[:-40]])
def test_what_is_no_picture_is_refused(content):
    with pytest.raises(BadFileError, match="save the sheet as PNG"):
        read_sheet_png(content, limpet(), source="sheet.png", new_colours=False)


def test_paint_where_no_bead_lies_is_told_and_goes_unused():
    design = limpet(rows=25)
    picture = picture_of(design).convert("RGBA")
    picture.putpixel((1, 12), (1, 2, 3, 255))
    found = read_picture(picture, design)
    assert found.design == design
    assert "1 painted pixel lies where no bead is" in edit_in_words(found)


def test_a_size_that_breaks_the_size_step_rule_is_told_where():
    design = limpet()
    lines = lines_of(design)
    line, place, bead = at(design, 20, 4)
    lines[line + 1][place + 1] = "D8"
    found = read_lines(lines, design)
    touching = [near for near in design.grid.neighbours[bead].tolist() if near >= 0 and design.levels[near] == 0]
    assert sorted(map(tuple, found.broken.tolist())) == sorted(tuple(sorted((bead, near))) for near in touching)
    told = edit_in_words(found)
    assert f"broken in {len(touching)} places" in told
    assert "D8 at row 20 column 4" in told
    assert "D to D8: 1 (row 20 column 4)" in told


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda lines: lines[1:], "rows, 1 … 9"),
        (lambda lines: lines[:-1], "12 .* 13"),
        (lambda lines: [lines[0], *lines[:0:-1]], r"begins with '25\+26' where 1\+2 belongs"),
        (lambda lines: [[*line, "D"] if n == 4 else line for n, line in enumerate(lines)], "line 5: has 11 cells"),
        (
            lambda lines: [[c.replace("D6", "Q6") for c in line] for line in lines],
            "line 8, column 5: 'Q6' is no kind of this design; its colours are D, H",
        ),
        (
            lambda lines: [[c.replace("D6", "D7") for c in line] for line in lines],
            "line 8, column 5: 'D7' .* D, D11, D8, D6",
        ),
        (lambda lines: [[c.replace("D6", "") for c in line] for line in lines], "line 8, column 5: "),
    ],
)
def test_a_table_that_cannot_be_read_back_is_named_with_its_places(spoil, words):
    design = limpet()
    with pytest.raises(BadFileError, match=words):
        read_lines(spoil(lines_of(design)), design)


def test_a_bead_where_none_belongs_is_refused_in_a_table():
    design = limpet(rows=25)
    lines = lines_of(design)
    lines[-1][2] = "D"
    with pytest.raises(BadFileError, match="line 14, column 2: there is no bead here"):
        read_lines(lines, design)


def test_two_colours_that_look_the_same_keep_their_letters():
    design = limpet()
    twin = tuple(replace(bead, srgb=design.beads[0].srgb, lab=design.beads[0].lab) for bead in design.beads)
    alike = replace(design, beads=twin)
    assert read_picture(picture_of(alike).convert("RGB"), alike).design == alike
