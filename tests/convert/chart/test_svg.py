from collections import Counter
from dataclasses import replace
from xml.etree import ElementTree as ET

import numpy as np
import pytest
from hypothesis import given, settings
from strategies import SIZES, bead_of, designs

from convert.chart.scene import chart_scene
from convert.chart.svg import chart_svg, number
from shared.design import Design
from shared.grid import Grid

SVG = "{http://www.w3.org/2000/svg}"


def drawn(design, ink="colour"):
    return ET.fromstring(chart_svg(chart_scene(design, ink=ink)))  # noqa: S314 - our own text


def group(root, name):
    (found,) = [g for g in root.iter(f"{SVG}g") if g.get("id") == name]
    return found


def texts(element):
    return [t.text for t in element.iter(f"{SVG}text")]


def striped(columns, rows, kinds=((0, 0), (1, 1), (2, 2), (3, 3)), **grid):
    grid = Grid(columns, rows, **grid)
    beads = tuple(bead_of(*kind) for kind in kinds)
    return Design("Tide pool", grid, SIZES, beads, np.arange(grid.count) % len(beads))


@settings(max_examples=60)
@given(design=designs())
def test_every_bead_is_used_once_at_its_place_on_the_lattice(design, placed):
    uses = list(drawn(design).iter(f"{SVG}use"))
    assert len(uses) == design.grid.count
    found = {(float(u.get("x")), float(u.get("y"))): u.get("href") for u in uses}
    assert found == {place: f"#{design.beads[cell].kind}" for place, cell in placed(design).items()}


@pytest.mark.parametrize("ink", ["colour", "black"])
def test_larger_beads_are_painted_after_smaller_ones(ink):
    sizes = [u.get("href")[2:] for u in drawn(striped(9, 12), ink).iter(f"{SVG}use")]
    levels = [("", "11", "8", "6").index(mark) for mark in sizes]
    assert levels == sorted(levels)


@settings(max_examples=40)
@given(design=designs())
def test_each_row_is_numbered_once_where_the_needle_begins_it(design):
    grid, base = design.grid, design.bead_sizes.flat
    width = grid.columns * base.length_mm
    numbers = list(group(drawn(design), "row-numbers").iter(f"{SVG}text"))
    assert sorted(int(t.text) for t in numbers) == list(range(1, grid.rows + 1))
    for text in numbers:
        row, x, y = int(text.text), float(text.get("x")), float(text.get("y"))
        # Rows 1 and 2 end on the side where row 3 begins, away from the tail; so even rows begin at the tail.
        at_left = (row % 2 == 0) == (grid.hand == "right")
        assert (x < 0 and text.get("text-anchor") == "end") if at_left else x > width
        down = row if grid.start == "top" else grid.rows + 1 - row
        assert 0 < y - down * base.diameter_mm / 2 < base.diameter_mm / 2


def test_every_tenth_row_number_is_bold_and_larger_and_has_a_front():
    root = drawn(striped(5, 41))
    numbers = {int(t.text): t for t in group(root, "row-numbers").iter(f"{SVG}text")}
    bold = {row for row, text in numbers.items() if text.get("font-weight") == "bold"}
    assert bold == {10, 20, 30, 40}
    assert float(numbers[10].get("font-size")) > 1.2 * float(numbers[9].get("font-size"))
    dark = [p for p in group(root, "row-fronts").iter(f"{SVG}path") if p.get("stroke") != "#ffffff"]
    assert len(dark) == 4
    # The front of row 10 of five columns (rows of 3, 2, 3 … beads): row 10 holds columns 2 and 4, so the edge
    # lies at 10 · 1.6 / 2 = 8 mm, and half a diameter lower under those.
    assert dark[0].get("d") == "M0 8H1.3V8.8H2.6V8H3.9V8.8H5.2V8H6.5"


@pytest.mark.parametrize(("hand", "expected"), [("right", [0.65, 5.85, 12.35]), ("left", [12.35, 7.15, 0.65])])
def test_columns_are_numbered_from_the_tail_side(hand, expected):
    numbers = list(group(drawn(striped(10, 6, hand=hand)), "column-numbers").iter(f"{SVG}text"))
    assert [t.text for t in numbers] == ["1", "5", "10"]
    assert [float(t.get("x")) for t in numbers] == expected
    assert all(float(t.get("y")) < 0 for t in numbers)


@pytest.mark.parametrize("hand", ["right", "left"])
@pytest.mark.parametrize("start", ["top", "bottom"])
def test_the_tail_lies_outside_row_one_on_the_tail_side(hand, start):
    tail = group(drawn(striped(10, 6, hand=hand, start=start)), "tail")
    word, label = tail.iter(f"{SVG}text")
    assert (word.text, label.text) == ("tail", "rows 1 + 2, strung together")
    x, y = float(word.get("x")), float(word.get("y"))
    assert x < 0 if hand == "right" else x > 13
    assert y < 0 if start == "top" else y > 7 * 0.8
    (head,) = [p.get("d") for p in tail.iter(f"{SVG}path") if p.get("d").endswith("Z")]
    tip, barb = (float(part.split()[0]) for part in head.removeprefix("M").removesuffix("Z").split("L")[:2])
    assert tip > barb if hand == "right" else tip < barb


def test_the_legend_lists_kind_name_size_and_count():
    design = striped(30, 90)
    legend = group(drawn(design), "legend")
    lines = {}
    for text in legend.iter(f"{SVG}text"):
        lines.setdefault(text.get("y"), []).append(text.text)
    counts = Counter(design.cells.tolist())
    for place, bead in enumerate(design.beads):
        (line,) = [line for line in lines.values() if bead.kind in line]
        at = line.index(bead.kind)
        assert line[at : at + 4] == [bead.kind, bead.name, bead.size, f"{counts[place]:,}"]
    assert f"{design.grid.count:,} beads of 4 kinds" in texts(legend)


def test_a_long_colour_name_ends_in_an_ellipsis():
    beads = (bead_of(0, 0, "pale kelp under a long slow swell at dusk"), bead_of(1, 0))
    grid = Grid(6, 6)
    names = texts(group(drawn(Design("Kelp", grid, SIZES, beads, np.arange(grid.count) % 2)), "legend"))
    assert "sand 2" in names
    (short,) = [n for n in names if n.startswith("pale kelp")]
    assert short.endswith("…")
    assert beads[0].name.startswith(short[:-1])


def test_scale_bars_are_true():
    legend = group(drawn(striped(60, 40)), "legend")
    widths = {float(r.get("width")) for r in legend.iter(f"{SVG}rect")}
    labels = [t.split() for t in texts(legend) if t and t.endswith((" cm", " in"))]
    assert {unit for _, unit in labels} == {"cm", "in"}
    # The inch is 25.4 mm by the international yard and pound agreement of 1959.
    for count, unit in labels:
        assert int(count) * {"cm": 10, "in": 25.4}[unit] in widths


def test_title_and_names_are_escaped():
    title = 'Foam & "rust" <b>cuff</b> \'24'
    beads = (replace(bead_of(0, 0), name="salt & <spray>"),)
    design = Design(title, Grid(30, 4), SIZES, beads, np.zeros(60, dtype=int))
    root = drawn(design)
    assert root.find(f"{SVG}title").text == title
    assert title in texts(group(root, "heading"))
    assert "salt & <spray>" in texts(group(root, "legend"))
    assert "salt & <spray>" in root.find(f"{SVG}desc").text


def test_the_heading_gives_the_size_in_beads_and_mm():
    # 21 columns of 1.3 mm; 160 rows: 161 half rows of 0.8 mm.
    heading = " ".join(texts(group(drawn(striped(21, 160)), "heading")))
    for fact in ("21 columns", "160 rows", "27.3 × 128.8 mm", "1.07 × 5.07 in", "flat, estimate", "3 : 1"):  # noqa: RUF001
        assert fact in heading


@settings(max_examples=20)
@given(design=designs())
def test_the_document_prints_at_three_times_the_work_and_needs_nothing_from_outside(design):
    text = chart_svg(chart_scene(design))
    root = ET.fromstring(text)  # noqa: S314 - our own text
    _, _, width, height = map(float, root.get("viewBox").split())
    assert float(root.get("width").removesuffix("mm")) == pytest.approx(3 * width, abs=0.01)
    assert float(root.get("height").removesuffix("mm")) == pytest.approx(3 * height, abs=0.01)
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    allowed = {"svg", "title", "desc", "defs", "g", "use", "rect", "ellipse", "path", "text"}
    assert {e.tag.removeprefix(SVG) for e in root.iter()} <= allowed
    assert text.count("http") == 1


def test_eighteen_thousand_beads_stay_under_a_megabyte():
    design = striped(90, 400)
    text = chart_svg(chart_scene(design))
    assert design.grid.count == 18_000
    assert len(text.encode()) < 1_000_000
    assert text == chart_svg(chart_scene(design))


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.65, ".65"), (-0.65, "-.65"), (-0.0001, "0"), (12.0, "12"), (100.0, "100"), (1.23456, "1.235"), (0.0, "0")],
)
def test_numbers_are_written_short(value, text):
    assert number(value) == text
