"""A motif that comes again: the laws of the finished work, read off the design alone."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_oracle import encoded

from convert.colouring.choices import Given
from convert.image.decode import Source
from convert.options import Options
from convert.pattern import Pattern, make_pattern
from convert.relief.dome_syntax import parse_dome
from shared.design import Design
from shared.errors import BadChoiceError

TOUCHING = ((2, 0), (1, 1), (1, -1), (0, 1))
"""Half of the steps in row and column between beads in contact; in one row only pairs of two-drop touch."""


def kinds_of(design: Design) -> dict[tuple[int, int], str]:
    """Return the kind at each row and column, the lattice worked out from the rule of (pairs of) columns alone."""
    grid = design.grid
    places = [
        (row, column)
        for row in range(1, grid.rows + 1)
        for column in range(1, grid.columns + 1)
        if (grid.columns // grid.drop - (column + grid.drop - 1) // grid.drop + row) % 2
    ]
    return dict(zip(places, [design.beads[cell].kind for cell in design.cells], strict=True))


def row_of(found: dict[tuple[int, int], str], row: int) -> dict[int, str]:
    return {column: kind for (each, column), kind in found.items() if each == row}


def level(kind: str) -> int:
    return ("", "11", "8", "6").index(kind.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ"))


def made(seed: int, *, heights: bool = True, size: tuple[int, int] = (30, 60), **choices: Any) -> Pattern:
    """Make a pattern of a picture at random whose top and bottom differ strongly."""
    rng = np.random.default_rng(seed)
    width, height = size
    picture = rng.integers(0, 256, (6, 3, 3)).astype(np.uint8).repeat(height // 6, axis=0).repeat(width // 3, axis=1)
    picture[: height // 2] //= 3
    levels = rng.choice([0, 90, 160, 255], (6, 3)).astype(np.uint8)
    levels[0], levels[-1] = 0, 255
    drawn = levels.repeat(height // 6, axis=0).repeat(width // 3, axis=1)
    map_source = Source("map.png", encoded(drawn)) if heights else None
    return make_pattern(
        Source("motif.png", encoded(picture)),
        map_source,
        Options(**({"style": "photo", "colours": 4} | choices)),
        surface=False,
    )


@st.composite
def repeats(draw: Any) -> dict[str, Any]:
    drop = draw(st.sampled_from([1, 2]))
    mirrored = draw(st.booleans())
    first_rows = draw(st.integers(0, 4))
    choices = {
        "drop": drop,
        "columns": drop * draw(st.integers(2, 10 // drop)),
        "repeat": 2 * draw(st.integers(1, 2)) if mirrored else draw(st.integers(1, 4)),
        "first_rows": first_rows,
        "last_rows": first_rows if mirrored else draw(st.integers(0, 3)),
        "mirror_half": mirrored,
        "hand": draw(st.sampled_from(["right", "left"])),
        "start": draw(st.sampled_from(["top", "bottom"])),
        "slopes": draw(st.sampled_from(["trim", "widen"])),
        "ground": draw(st.sampled_from([None, "#ead3a2"])),
        "style": draw(st.sampled_from(["photo", "photo", "flat", "lines"])),
        "fewest": draw(st.sampled_from([1, 8])),
    }
    if draw(st.booleans()):
        choices["domes"] = (parse_dome("diamond 1,1 r3"),)
    return choices


@settings(max_examples=25, deadline=None)
@given(repeats(), st.integers(0, 2**32 - 1))
def test_repeats_are_alike_and_the_size_step_rule_holds_everywhere(choices: dict[str, Any], seed: int) -> None:
    design = made(seed, **choices).design
    found, rows = kinds_of(design), design.grid.rows
    first_rows, end, times = choices["first_rows"], choices["last_rows"], choices["repeat"]
    mirrored = choices["mirror_half"]
    period, rest = divmod(rows - first_rows - end - mirrored, times)
    assert (rest, period % 2) == (0, 0)
    last = (rows + 1) // 2 if mirrored else rows - end
    for row in range(first_rows + period + 1, last + 1):
        assert row_of(found, row) == row_of(found, row - period)
    if mirrored:
        assert rows % 2 == 1
        assert all(row_of(found, row) == row_of(found, rows + 1 - row) for row in range(1, rows + 1))
    plain = {kind for (row, _), kind in found.items() if row <= first_rows or row > rows - end}
    assert len(plain) <= 1
    assert all(level(kind) == 0 for kind in plain)
    if choices["ground"] and plain and choices["fewest"] == 1:
        assert {bead.kind: bead.srgb for bead in design.beads}[plain.pop()] == choices["ground"]
    for (row, column), kind in found.items():
        for down, across in TOUCHING:
            other = found.get((row + down, column + across), kind)
            assert abs(level(kind) - level(other)) <= 1, (row, column)


@settings(max_examples=25, deadline=None)
@given(repeats(), st.integers(0, 2**32 - 1))
def test_trim_is_the_highest_field_whose_repeats_are_alike(choices: dict[str, Any], seed: int) -> None:
    """No bead of the motif could be a level higher, in all repeats at once, without exceeding what is wanted there or
    breaking the rule."""
    pattern = made(seed, **(choices | {"slopes": "trim", "fewest": 1}))
    grid, levels = pattern.design.grid, pattern.design.levels
    wanted = levels - pattern.moved
    rows, first_rows, end = grid.rows, choices["first_rows"], choices["last_rows"]
    period = (rows - first_rows - end - choices["mirror_half"]) // choices["repeat"]
    row = np.minimum(grid.row_of, rows + 1 - grid.row_of) if choices["mirror_half"] else grid.row_of
    plain = (row <= first_rows) | (row > rows - end)
    place = np.where(plain, -1, (row - first_rows - 1) % period * 1000 + grid.column_of)
    near = [(bead, other) for bead, around in enumerate(grid.neighbours.tolist()) for other in around if other >= 0]
    one, other = np.array(near, dtype=int).reshape(-1, 2).T
    for each in np.unique(place[place >= 0]):
        higher = levels + (place == each)
        broken = (np.abs(higher[one] - higher[other]) > 1).any()
        assert broken or (higher > wanted).any()


def test_without_first_rows_the_plain_rows_take_the_commonest_flat_colour() -> None:
    picture = np.full((40, 20, 3), [200, 60, 40], np.uint8)
    picture[:12] = [30, 60, 90]
    pattern = make_pattern(
        Source("motif.png", encoded(picture)),
        None,
        Options(columns=8, repeat=3, first_rows=3, last_rows=2, colours=2, style="photo", tidy=0),
        surface=False,
    )
    design = pattern.design
    colour = {bead.kind: bead.srgb for bead in design.beads}
    assert {colour[kind] for (row, _), kind in kinds_of(design).items() if row <= 3 or row > design.grid.rows - 2} == {
        "#c83c28"
    }


@pytest.mark.parametrize(("rows", "mirrored"), [(90, False), (81, False), (80, False), (55, False), (96, True)])
def test_auto_takes_as_many_whole_repeats_as_the_rows_hold(rows: int, *, mirrored: bool) -> None:
    """8 columns of 1.3 mm on a motif twice as long as wide are 20.8 mm, 26 half-rows of 0.8 mm."""
    pattern = made(7, columns=8, repeat="auto", rows=rows, first_rows=3, mirror_half=mirrored)
    besides = 7 if mirrored else 3
    times = (rows - besides) // 26
    times -= times % 2 if mirrored else 0
    assert pattern.design.grid.rows == besides + times * 26
    assert any(f"--repeat auto: {times} repeat" in notice for notice in pattern.notices)


def test_auto_counts_a_length_as_flat_rows() -> None:
    """50 mm are 61 rows of 0.8 mm and half a bead more: two repeats of 26."""
    pattern = made(7, columns=8, repeat="auto", length_mm=50.0, heights=False)
    assert pattern.design.grid.rows == 52


@pytest.mark.parametrize(("width", "rows"), [(6, 20), (8, 26), (10, 32)])
def test_the_rows_of_a_repeat_are_the_nearest_even_number_and_told(width: int, rows: int) -> None:
    """A motif twice as long as wide: 2 x 1.3 / 0.8 = 3.25 rows to a column: 19.5, 26 and 32.5 rows."""
    pattern = made(7, columns=width, repeat=1, heights=False)
    assert pattern.design.grid.rows == rows
    assert any(
        f"has {rows} rows: the even number nearest to the picture's proportions ({3.25 * width:.1f})" in notice
        for notice in pattern.notices
    )


def test_a_motif_wider_than_long_is_not_turned() -> None:
    pattern = made(3, size=(60, 30), columns=17, repeat=2)
    assert pattern.design.grid.rows == 2 * 14
    assert not any("turned" in notice for notice in pattern.notices)
    assert any("--turn 90" in notice for notice in pattern.notices)


WRONG = [
    ({"repeat": 0}, "give more"),
    ({"repeat": 2, "first_rows": -1}, "give more"),
    ({"first_rows": 3}, "give --repeat too"),
    ({"last_rows": 1}, "give --repeat too"),
    ({"mirror_half": True}, "give --repeat too"),
    ({"repeat": "auto"}, "give --length or --rows"),
    ({"repeat": 5, "rows": 100}, "leave --rows and --length out"),
    ({"repeat": 5, "length_mm": 100.0}, "leave --rows and --length out"),
    ({"repeat": 3, "mirror_half": True}, "give 4"),
    ({"repeat": 2, "mirror_half": True, "first_rows": 2, "last_rows": 1}, "leave --last-rows out"),
]


@pytest.mark.parametrize(("choices", "remedy"), WRONG)
def test_choices_that_contradict_each_other_are_refused(choices: dict[str, Any], remedy: str) -> None:
    with pytest.raises(BadChoiceError, match=remedy):
        Options(**choices)


def test_a_length_that_holds_no_repeat_is_refused() -> None:
    with pytest.raises(BadChoiceError, match="20 rows do not hold 1 repeat of 26 rows and 3 rows next to it"):
        made(7, columns=8, repeat="auto", rows=20, first_rows=3)


@pytest.mark.parametrize(("row", "column"), [(1, 5), (30, 4)])
def test_domes_are_placed_in_the_motif_and_reach_over_its_seam(row: int, column: int) -> None:
    """A diamond in the first or last row of the motif is whole where two repeats meet: as high above as below."""
    domes = (parse_dome(f"diamond {row},{column} r4"),)
    design = made(5, heights=False, columns=9, repeat=3, domes=domes).design
    assert design.grid.rows == 3 * 30
    found = kinds_of(design)
    middle = row + 30
    assert level(found[middle, column]) == 3
    for (each, across), kind in found.items():
        if abs(each - middle) < 15:
            assert level(found[2 * middle - each, across]) == level(kind)
            assert level(found.get((each, 2 * column - across), kind)) == level(kind)


def test_the_design_records_how_it_was_repeated() -> None:
    options = made(2, columns=6, repeat=2, first_rows=3, last_rows=1).design.provenance["options"]
    assert (options["repeat"], options["first_rows"], options["last_rows"]) == (2, 3, 1)
    assert options["mirror_half"] is False


def colours_of(design: Design, rows: range) -> list[tuple[int, int, str, str]]:
    """Return row within the range, column, colour and size of each bead there."""
    found = kinds_of(design)
    look = {bead.kind: (bead.srgb, bead.size) for bead in design.beads}
    return sorted((row - rows.start, column, *look[kind]) for (row, column), kind in found.items() if row in rows)


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(1, 11), st.sampled_from(["photo", "flat"]))
def test_the_seam_of_a_motif_is_no_place_of_its_own(seed: int, pairs: int, style: Any) -> None:
    # A motif that is rolled along its length, so that the seam lies elsewhere, is the same work seen from another row:
    # colours, tidying and heights must not know where the picture ends. 13 x 8 pixels to a bead of 1.3 x 0.8 mm a row.
    rng = np.random.default_rng(seed)
    picture = rng.integers(0, 256, (6, 3, 3)).astype(np.uint8).repeat(32, axis=0).repeat(39, axis=1)
    picture = np.clip(picture + rng.normal(0, 20, picture.shape), 0, 255).astype(np.uint8)
    heights = rng.choice([0, 90, 160, 255], (6, 3)).astype(np.uint8).repeat(32, axis=0).repeat(39, axis=1)
    # The colours are given, for the search for free ones may begin elsewhere.
    given = tuple(Given(code, code) for code in ("#20304a", "#d8c090", "#b04030", "#60a090"))
    options = Options(style=style, colours=4, keep=given, columns=9, repeat=3)
    straight, rolled = (
        make_pattern(
            Source("motif.png", encoded(np.roll(picture, shift, axis=0))),
            Source("map.png", encoded(np.roll(heights, shift, axis=0))),
            options,
            surface=False,
        ).design
        for shift in (0, -16 * pairs)
    )
    assert straight.grid.rows == 72
    assert colours_of(rolled, range(25, 49)) == colours_of(straight, range(25 + 2 * pairs, 49 + 2 * pairs))
