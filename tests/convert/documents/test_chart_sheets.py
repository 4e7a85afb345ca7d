"""How a chart is cut into sheets of paper, and what is drawn on them."""

import re

import numpy as np
import pytest
from booklets import KINDS, pdf_of, random_design, repeated_design, text_of
from hypothesis import given
from hypothesis import settings as limited
from hypothesis import strategies as st

from convert.chart.part import part_extent, part_scene
from convert.chart.row_numbers import Part
from convert.chart.scene import chart_scene
from convert.chart.shapes import Text, extent_of, union
from convert.chart.svg import chart_svg
from convert.documents.booklet import chart_sheets as sheets
from convert.documents.booklet.chart_sheets import COLUMNS_AGAIN, ROWS_AGAIN, cut_chart
from convert.documents.booklet.layout import layout_for
from convert.rows.find_repeat import find_repeat
from shared.errors import BadChoiceError


def works():
    return st.builds(
        random_design,
        st.integers(2, 60).map(lambda pairs: 2 * pairs),
        st.integers(2, 300),
        kinds=st.integers(1, 9),
        hand=st.sampled_from(["right", "left"]),
        start=st.sampled_from(["top", "bottom"]),
        drop=st.sampled_from([1, 2]),
    )


@limited(max_examples=40)
@given(works(), st.sampled_from(["a4", "letter"]), st.booleans())
def test_every_bead_is_on_a_sheet_and_large_enough(design, paper, large_print):
    layout = layout_for(paper, large_print=large_print)
    cut = cut_chart(design, layout)
    base, grid = design.bead_sizes.flat, design.grid
    assert cut.enlargement * min(base.length_mm, base.diameter_mm) >= (3.5 if large_print else 2.0) - 1e-9
    shown = np.zeros((grid.rows + 1, grid.columns + 1), dtype=int)
    for sheet in cut.sheets:
        rows, columns = sheet.part
        shown[np.ix_(list(set(rows) - set(sheet.again)), list(set(columns) - set(sheet.columns_again)))] += 1
        box = part_extent(design, sheet.part)
        assert box.width * cut.enlargement <= layout.line_mm + 1e-6
        key = cut.kind_list.height_mm(sheet.kinds)
        assert box.height * cut.enlargement + key <= layout.column_mm
        assert len(sheet.again) in (0, ROWS_AGAIN)
        assert len(sheet.columns_again) in (0, COLUMNS_AGAIN)
    assert (shown[1:, 1:] == 1).all()


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_shows_the_beads_of_its_rows_the_others_pale(kind):
    design = KINDS[kind]()
    grid = design.grid
    part = Part(range(3, min(grid.rows, 20) + 1), range(1, grid.columns + 1))
    again = range(3, 7)
    whole = chart_scene(design)
    scene = part_scene(whole, design, part, ink="colour", again=again, enlargement=3.0)
    inside = (grid.row_of >= 3) & (grid.row_of <= 20)
    pale = (grid.row_of >= 3) & (grid.row_of < 7)
    assert scene.kind_of.size == inside.sum()
    assert (scene.kind_of >= len(design.beads)).sum() == pale.sum()
    counts = np.bincount(scene.kind_of % len(design.beads), minlength=len(design.beads))
    assert counts.tolist() == np.bincount(design.cells[inside], minlength=len(design.beads)).tolist()


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("columns", [2, 4, 9, 10, 13, 15, 17, 40])
def test_tail_and_label_lie_on_the_paper_of_the_first_sheet(columns, hand):
    design = random_design(columns, 20, hand=hand)
    part = Part(range(1, 21), range(1, columns + 1))
    scene = part_scene(chart_scene(design), design, part, ink="colour", again=range(0), enlargement=3.0)
    (tail,) = [group for group in scene.over if group.name == "tail"]
    inner, paper = union(extent_of(mark) for mark in tail.marks), scene.extent
    assert "strung" in "".join(mark.text for mark in tail.marks if isinstance(mark, Text)) or columns < 20
    assert paper == part_extent(design, part)
    assert paper.left <= inner.left < inner.right <= paper.right
    assert paper.top <= inner.top < inner.bottom <= paper.bottom


@pytest.mark.parametrize("turned", [{}, {"hand": "left"}, {"start": "bottom"}], ids=str)
def test_the_repeat_is_bracketed_on_the_sheets_that_show_its_first_round(turned):
    """Rows 4 to 19 are the first round; arms stand where it begins and ends, and nowhere else."""
    design = repeated_design(first_rows=3, period=16, rows=67, **turned)
    repeat, whole = find_repeat(design), chart_scene(design)
    d = design.bead_sizes.flat.diameter_mm

    def bracket(first, last, columns=9):
        part = Part(range(first, last + 1), range(1, columns + 1))
        scene = part_scene(whole, design, part, ink="colour", again=range(0), enlargement=3.0, repeat=repeat)
        (group,) = [group for group in scene.over if group.name == "repeat"]
        for mark in group.marks:
            inner = extent_of(mark)
            assert scene.extent.left <= inner.left < inner.right <= scene.extent.right
        return [mark.points for mark in group.marks]

    (full,) = bracket(1, 67)
    assert len(full) == 4
    assert abs(full[1][1] - full[2][1]) == pytest.approx((19 - 4 + 2) * d / 2)
    assert abs(full[0][0] - full[1][0]) > d / 2
    assert (len(bracket(1, 10)[0]), len(bracket(10, 14)[0]), len(bracket(8, 40)[0])) == (3, 2, 3)
    assert bracket(20, 67) == bracket(1, 67, columns=8) == []


def test_strips_of_very_large_beads_keep_to_the_paper():
    layout = layout_for("a4", large_print=False)
    design, cut_by = random_design(14, 12), 0
    for least in (6.0, 7.0, 8.0, 9.0, 10.0):
        try:
            cut = cut_chart(design, layout, least_bead_mm=least)
        except BadChoiceError:
            continue
        cut_by += 1
        for sheet in cut.sheets:
            assert part_extent(design, sheet.part).width * cut.enlargement <= layout.line_mm + 1e-6
    assert cut_by


def test_columns_of_the_strip_before_are_pale_as_well():
    design = random_design(20, 12, hand="left")
    grid, kinds = design.grid, len(design.beads)
    part = Part(range(1, 13), range(9, 21))
    scene = part_scene(
        chart_scene(design),
        design,
        part,
        ink="colour",
        again=range(1, 5),
        enlargement=3.0,
        columns_again=range(9, 11),
    )
    pale = (grid.column_of >= 9) & ((grid.column_of <= 10) | (grid.row_of <= 4))
    assert (scene.kind_of >= kinds).sum() == pale.sum()
    faded = np.bincount(scene.kind_of[scene.kind_of >= kinds] - kinds, minlength=kinds)
    assert faded.tolist() == np.bincount(design.cells[pale], minlength=kinds).tolist()


def test_a_smaller_bead_has_to_be_asked_for():
    design = random_design(120, 40)
    layout = layout_for("a4", large_print=False)
    usual, asked = cut_chart(design, layout), cut_chart(design, layout, least_bead_mm=1.0)
    assert len(usual.sheets) > len(asked.sheets) == 1
    assert asked.enlargement < usual.enlargement


def test_large_print_has_a_wide_chart_in_strips_with_larger_beads_and_numbers():
    """Figures of numbers are at least 11 points in large print: 0.95 of a row of 4.3 mm."""
    design = random_design(61, 40)
    usual, large = (cut_chart(design, layout_for("a4", large_print=large)) for large in (False, True))
    base = design.bead_sizes.flat
    assert large.enlargement * base.length_mm >= 3.5 - 1e-9 > usual.enlargement * base.length_mm
    assert {sheet.part.columns[0] for sheet in large.sheets} > {1}
    number_mm = min(large.number_mm, 0.95 * base.diameter_mm * large.enlargement)
    assert number_mm > 11 * 25.4 / 72
    assert number_mm > 1.7 * usual.number_mm


def test_beads_too_large_for_the_paper_are_refused():
    with pytest.raises(BadChoiceError, match="--least-bead"):
        cut_chart(random_design(9, 10), layout_for("a4", large_print=False), least_bead_mm=20)


def test_where_names_leave_no_room_the_key_has_letters_alone():
    design, layout = random_design(131, 90, kinds=40), layout_for("a4", large_print=True)
    cut = cut_chart(design, layout)
    assert not any(cut.kind_list.words)
    assert cut.kind_list.note
    for sheet in cut.sheets:
        assert set(sheet.kinds) == set(range(40))
        height = part_extent(design, sheet.part).height * cut.enlargement
        assert height + cut.kind_list.height_mm(sheet.kinds) <= layout.column_mm


def test_more_keys_than_any_page_holds_are_refused():
    with pytest.raises(BadChoiceError, match="fewer colours"):
        cut_chart(random_design(200, 200, kinds=5000), layout_for("a4", large_print=True))


def test_figures_in_a_chart_are_drawn_not_written():
    design = KINDS["domes"]()
    part = Part(range(1, 45), range(1, 16))
    scene = part_scene(chart_scene(design), design, part, ink="colour", again=range(0), enlargement=3.0)
    assert not re.search(r"<text[^>]*>\d+</text>", chart_svg(scene))
    assert "<text" in chart_svg(chart_scene(design))


def test_in_black_ink_nothing_is_coloured():
    design = KINDS["domes"]()
    part = Part(range(5, 45), range(1, 16))
    drawn = chart_svg(
        part_scene(chart_scene(design, ink="black"), design, part, ink="black", again=range(5, 9), enlargement=3.0)
    )
    for colour in set(re.findall("#[0-9a-f]{6}", drawn)):
        assert colour[1:3] == colour[3:5] == colour[5:7]


@pytest.mark.outside
@pytest.mark.parametrize("choices", [{}, {"ink": "black"}, {"large_print": True}, {"paper": "letter"}], ids=str)
@pytest.mark.parametrize("kind", ["domes", "repeat", "from the bottom"])
def test_every_key_stands_on_every_page_of_the_chart(kind, choices, tmp_path):
    design = KINDS[kind]()
    pages = text_of(pdf_of(kind, **choices), tmp_path)
    cut = cut_chart(design, layout_for(choices.get("paper", "a4"), large_print=choices.get("large_print", False)))
    charts = [page for page in pages if re.search(r"^Rows \d+ to \d+", page, re.MULTILINE)]
    assert len(charts) == len(cut.sheets)
    for page in charts:
        for bead in design.beads:
            assert re.search(rf"\b{bead.kind}\b\s+{bead.name}, {bead.size}", page), bead.kind


def test_a_long_chart_is_cut_without_trying_every_length(monkeypatch):
    tried = []

    def noted(*words):
        tried.append(words)
        return part_extent(*words)

    monkeypatch.setattr(sheets, "part_extent", noted)
    cut = cut_chart(random_design(8, 9000, kinds=3), layout_for("a4", large_print=False))
    assert len(tried) < 20 * len(cut.sheets)
