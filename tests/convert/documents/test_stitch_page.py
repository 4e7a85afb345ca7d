"""The stitch page as a file: what it holds, and what it may not do."""

import base64
import re
from dataclasses import replace
from itertools import groupby

import numpy as np
import pytest
from hypothesis import given, settings
from page_reader import HOSTILE, Reader, check_policy
from size_levels import random_levels
from stitch_page_oracle import data_of, page_of, planned, sayings, waves
from strategies import SIZES, bead_of, designs

from convert.documents.html import pack
from convert.documents.stitch_page.page import page_data, plan_steps, quantise_mm, stitch_page, work_hash
from convert.documents.stitch_page.shape import lying_of, predict_lying
from convert.rows.checkpoints import find_checkpoints
from convert.rows.find_repeat import find_repeat
from convert.surface.solve import solve_surface
from convert.surface.spring_net import make_net
from convert.surface.support import Tabletop
from convert.surface.surface import Surface
from shared.design import Design
from shared.grid import Grid


@pytest.fixture(scope="module")
def design():
    return waves()


@pytest.fixture(scope="module")
def page(design):
    return page_of(design)


def unpacked(text, kind):
    return np.frombuffer(base64.b64decode(text), kind)


def test_the_policy_allows_the_two_texts_of_the_page_and_nothing_else(page):
    check_policy(page)


def test_nothing_is_fetched_and_nothing_runs_from_an_attribute(page):
    for tag, attributes in Reader(page).tags:
        assert tag not in {"link", "img", "iframe", "object", "embed", "base", "a", "use"}
        for name in attributes:
            assert not name.startswith("on"), (tag, name)
            assert name not in {"src", "href", "style", "action", "srcset", "poster"}, (tag, name)
    assert not re.search(r"https?:|url\(|@import|fetch\(|eval\(|innerHTML|XMLHttp|WebSocket", page)


def test_hostile_words_are_shown_as_they_are():
    work = waves(title=HOSTILE)
    beads = (replace(work.beads[0], name=HOSTILE), *work.beads[1:])
    text = page_of(replace(work, beads=beads))
    reader = Reader(text)
    assert [attributes.get("type") for tag, attributes in reader.tags if tag == "script"] == ["application/json", None]
    assert not any(tag == "b" for tag, _ in reader.tags)
    assert "".join(reader.texts["title"]) == f"{HOSTILE}: stitch page"
    assert "".join(reader.texts["h1"]) == HOSTILE
    data = data_of(text)
    assert data["title"] == HOSTILE
    assert data["kinds"][0][1] == HOSTILE


def test_the_data_cannot_end_its_element(page):
    (text,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    assert not set(text) & set("<>&'")


@given(designs())
@settings(max_examples=60)
def test_every_row_of_the_data_is_what_the_stitched_piece_has(work):
    data = page_data(work, plan_steps(work), None)
    for step, said in zip(data["steps"], sayings(work), strict=True):
        first, last, direction, special, flat = step
        assert said.name == (f"Row {first}" if first == last else f"Rows {first} and {last}")
        runs = zip(flat[::2], flat[1::2], strict=True)
        assert tuple(f"{count} {data['kinds'][kind][0]}" for count, kind in runs) == said.runs
        assert direction == {"left to right": ">", "right to left": "<"}[said.direction]
        assert bool(special) == said.odd_count_turn


@given(designs())
@settings(max_examples=60)
def test_beads_stand_where_the_chart_has_them(work):
    """Half-rows from the top and columns from the left, in the order in which the needle takes the beads."""
    data = page_data(work, plan_steps(work), None)
    places = unpacked(data["places"], "<u2").reshape(-1, 2).tolist()
    seen = iter(places)
    width, grid = work.grid.columns, work.grid
    held = {
        row: [c for c in range(1, width + 1) if (width // grid.drop - (c - 1) // grid.drop - 1 + row) % 2]
        for row in (1, 2)
    }
    for row in (0, *range(3, grid.rows + 1)):
        away = row % 2 == 0
        for column in range(1, width + 1) if away else range(width, 0, -1):
            in_row = row or (1 if column in held[1] else 2)
            if column not in held[2 - in_row % 2]:
                continue
            down = in_row - 1 if grid.start == "top" else grid.rows - in_row
            right = column - 1 if grid.hand == "right" else width - column
            assert next(seen) == [down, right]
    assert next(seen, None) is None


def test_places_in_space_are_those_of_the_prediction(design, page):
    """Decoded by the rule of the data: whole steps of one quantum from the middle of the work."""
    surface = solve_surface(design.grid, design.bead_sizes, design.levels)
    shape = data_of(page)["shape"]
    decoded = unpacked(shape["places"], "<i2").reshape(-1, 3) * shape["quantum"]
    x, y, z = surface.centres_mm[design.grid.needle_order].T
    upright = np.stack([x, z, y], axis=1)
    expected = upright - (upright.min(axis=0) + upright.max(axis=0)) / 2
    assert np.abs(decoded - expected).max() <= shape["quantum"]
    assert shape["quantum"] < 0.005
    assert np.ptp(decoded[:, 1]) > 1  # the domes stand up
    axes = unpacked(shape["axes"], "i1").reshape(-1, 3) / 127
    assert np.linalg.norm(axes, axis=1) == pytest.approx(1, abs=0.02)
    flat = np.abs(decoded[:, 1] - np.median(decoded[:, 1])) < 1e-3
    assert np.abs(axes[flat][:, 0]).min(initial=1) > 0.9


def test_same_design_same_bytes(design, page):
    assert page_of(waves()) == page == page_of(design)


def test_her_place_belongs_to_what_is_stitched(design):
    other = replace(
        design,
        title="Other",
        provenance={"version": "2"},
        beads=(replace(design.beads[0], name="sky"), *design.beads[1:]),
    )
    assert work_hash(other) == work_hash(design)
    mirrored = replace(design, grid=Grid(9, 160, hand="left"))
    moved = replace(design, cells=np.roll(design.cells, 1))
    assert len({work_hash(design), work_hash(mirrored), work_hash(moved)}) == 3


def test_without_a_surface_there_is_no_view(design):
    page = stitch_page(design, planned(design), None).decode()
    assert data_of(page)["shape"] is None
    assert 'id="space"' not in page
    assert 'id="space"' in page_of(design)


def test_repeats_and_checks_are_left_out_where_there_are_none(design):
    page = page_of(design, plan_steps(design)._replace(repeat=None, checks={}))
    data = data_of(page)
    assert (data["repeats"], data["checks"]) == (None, {})
    assert 'id="tally"' not in page


def test_repeats_and_checks_are_those_of_the_word_rows(design):
    data = data_of(page_of(design, plan_steps(design)))
    repeat = find_repeat(design)
    assert data["repeats"] == [repeat.first, repeat.period, repeat.rows - repeat.end]
    told = {check.rows[-1] for check in find_checkpoints(design)}
    assert told
    assert {int(row) for row in data["checks"]} == told


def test_work_of_one_size_lies_flat():
    grid = Grid(6, 10)
    lying, why_not = predict_lying(Design("Flat", grid, SIZES, (bead_of(0, 0),), np.zeros(grid.count)))
    assert why_not == ""
    assert lying.flat
    assert np.ptp(lying.centres_mm[:, 1]) == 0


@pytest.mark.parametrize("turned", [{}, {"hand": "left", "start": "bottom"}])
def test_two_drop_of_one_size_lies_flat_where_the_chart_has_its_beads(turned):
    grid = Grid(8, 10, drop=2, **turned)
    work = Design("Pairs", grid, SIZES, (bead_of(0, 2), bead_of(1, 2)), np.arange(grid.count) % 2)
    page = page_of(work)
    data = data_of(page)
    decoded = unpacked(data["shape"]["places"], "<i2").reshape(-1, 3) * data["shape"]["quantum"]
    size = SIZES.sizes[2]
    down, right = unpacked(data["places"], "<u2").reshape(-1, 2).T
    x, z = right * size.length_mm, down * size.diameter_mm / 2
    assert decoded[:, 0] == pytest.approx(x - (x.min() + x.max()) / 2, abs=0.01)
    assert decoded[:, 2] == pytest.approx(z - (z.min() + z.max()) / 2, abs=0.01)
    assert (decoded[:, 1] == 0).all()
    assert (unpacked(data["shape"]["axes"], "i1").reshape(-1, 3) == [127, 0, 0]).all()
    assert data["shape"]["flat"]
    assert "No view in space" not in page


def test_two_drop_of_several_sizes_has_no_view_and_the_page_says_why():
    work = waves(10, 24, drop=2)
    lying, why_not = predict_lying(work)
    assert lying is None
    page = page_of(work)
    assert data_of(page)["shape"] is None
    assert 'id="space"' not in page
    assert f"<p>No view in space: {why_not}.</p>" in page
    assert why_not == "the shape of two-drop work is predicted only where all beads are of one size"


def test_a_shape_that_does_not_come_to_rest_is_not_shown(design, monkeypatch):
    def restless(grid, bead_sizes, levels, **_):
        centres = np.zeros((grid.count, 3))
        return Surface(grid, bead_sizes, levels, make_net(grid, bead_sizes, levels), Tabletop(), centres, False, 9)

    monkeypatch.setattr("convert.documents.stitch_page.shape.solve_surface", restless)
    lying, why_not = predict_lying(design)
    assert lying is None
    assert "did not come to rest" in why_not


def test_twelve_thousand_beads_stay_small():
    grid = Grid(60, 400)
    levels = random_levels(grid, 1)
    kinds = np.random.default_rng(2).integers(0, 12, grid.count) * 4 + levels
    used, cells = np.unique(kinds, return_inverse=True)
    work = Design("Large", grid, SIZES, tuple(bead_of(*divmod(kind, 4)) for kind in used.tolist()), cells)
    flat = solve_surface(grid, SIZES, np.zeros_like(levels))
    surface = Surface(grid, SIZES, levels, flat.net, flat.ground, np.array(flat.centres_mm), True, 0)
    assert grid.count == 12_000
    assert len(stitch_page(work, plan_steps(work), lying_of(surface))) <= 1_500_000


def test_numbers_are_packed_lowest_byte_first():
    assert base64.b64decode(pack(np.array([1, 258, -2]), "i2")) == bytes([1, 0, 2, 1, 254, 255])
    with pytest.raises(OverflowError, match="between -128 and 127"):
        pack(np.array([128]), "i1")


def test_a_quantum_reaches_the_farthest_point():
    steps, quantum = quantise_mm(np.array([[0.0, -80.0, 3.0]]))
    assert steps.min() == -32767
    assert np.abs(steps * quantum - [[0, -80, 3]]).max() <= quantum / 2


def test_runs_of_a_step_do_not_touch(design):
    for step in plan_steps(design).steps:
        kinds = [run.kind for run in step.runs]
        assert [kind for kind, _ in groupby(kinds)] == kinds
