"""Colours that can be bought, from the picture to the shopping list."""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_oracle import encoded

from convert.cells.cell_colours import CellColours
from convert.colouring.assemble_beads import assemble_beads
from convert.colouring.choices import Given
from convert.colouring.choose_colours import ColouredWork, choose_between, smooth_palette
from convert.image.decode import Source
from convert.layout.repeat import Layout
from convert.options import Options
from convert.pattern import make_pattern, review_colours
from convert.relief.height_map import Relief
from convert.shopping.packs import pack_of
from convert.shopping.shopping_list import beads_csv, shopping_list
from palettes.bundled import load
from palettes.colour import Supply, colour_from_hex
from palettes.palette import Palette
from shared.beads import default_bead_sizes
from shared.ciede2000 import ciede2000
from shared.colour import lab_from_codes
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.letters import letter_of
from shared.size_steps import keep_size_step_rule

SIZES = default_bead_sizes()
NAMES = [size.name for size in SIZES.sizes]


class Work(NamedTuple):
    """A work before its colours are chosen."""

    grid: Grid
    cells_lab: np.ndarray
    levels: np.ndarray


class Coloured(NamedTuple):
    """The same in few colours."""

    beads: tuple
    cells: np.ndarray
    work: ColouredWork

    @property
    def letters(self):
        return len({letter_of(bead.kind) for bead in self.beads})


def colour_each(work, options, numbers):
    """Colour a work with at most n colours, for each of several numbers."""
    seen, layout = CellColours(work.cells_lab, None, "photo", ()), Layout(None, work.grid)
    relief = Relief(work.levels, np.zeros_like(work.levels), work.levels, ())
    for palette in choose_between(options, seen, layout, SIZES, relief, numbers)[1]:
        done = smooth_palette(options, palette, seen, layout, SIZES, relief)
        yield Coloured(*assemble_beads(done.tints, done.labels, work.levels, SIZES), done)


def least_number(work, options):
    seen, layout = CellColours(work.cells_lab, None, "photo", ()), Layout(None, work.grid)
    relief = Relief(work.levels, np.zeros_like(work.levels), work.levels, ())
    return choose_between(options, seen, layout, SIZES, relief, [1])[0][0]


def work_of(seed, *, raised=True, columns=15, rows=24):
    rng = np.random.default_rng(seed)
    grid = Grid(columns, rows)
    middles = rng.integers(0, 256, (6, 3))
    patch = (grid.row_of // 6 + grid.column_of // 5 * 2) % 6
    codes = np.clip(middles[patch] + rng.normal(0, 12, (grid.count, 3)), 0, 255).astype(np.uint8)
    wanted = rng.integers(0, 4, grid.count) if raised else np.zeros(grid.count, dtype=np.int64)
    return Work(grid, lab_from_codes(codes), keep_size_step_rule(wanted, grid, slopes="widen"))


def palette_of(seed, count):
    rng = np.random.default_rng(seed)
    colours = []
    for place in range(count):
        sizes = NAMES if place < 3 else [name for name in NAMES if rng.random() < 0.6] or NAMES[:1]
        srgb = "#" + bytes(rng.integers(0, 256, 3).tolist()).hex()
        colours.append(colour_from_hex(f"tint {place}", srgb, tuple(Supply(name) for name in sizes)))
    return Palette("Tints", tuple(colours))


@settings(max_examples=25)
@given(
    seed=st.integers(0, 10_000),
    colours=st.integers(3, 9),
    tidy=st.sampled_from([0.0, 1.0, 3.0]),
    fewest=st.sampled_from([1, 20]),
)
def test_nothing_is_bought_that_is_not_made(seed, colours, tidy, fewest):
    """No shopping list ever holds a colour in a size that the palette does not list."""
    work, palette = work_of(seed), palette_of(seed + 1, 14)
    (finished,) = colour_each(work, Options(palette=palette, tidy=tidy, fewest=fewest), [colours])
    for bead in finished.beads:
        assert palette.find(bead.name).is_made_in(bead.size)
        assert bead.srgb == palette.find(bead.name).srgb
        assert bead.source == "Tints"
    assert finished.letters <= colours
    levels = np.array([SIZES.level_of[bead.size] for bead in finished.beads])
    assert np.array_equal(levels[finished.cells], work.levels)
    lab = np.array([bead.lab for bead in finished.beads])
    assert np.allclose(finished.work.errors, ciede2000(work.cells_lab, lab[finished.cells]), atol=1e-3)


def test_letters_fall_with_the_count_after_tidying():
    (finished,) = colour_each(work_of(3), Options(tidy=2.0), [6])
    counts = {}
    for bead, count in zip(finished.beads, np.bincount(finished.cells), strict=True):
        letter = bead.kind.rstrip("0123456789")
        counts[letter] = counts.get(letter, 0) + int(count)
    assert list(counts) == sorted(counts)
    assert list(counts.values()) == sorted(counts.values(), reverse=True)


def test_kept_and_unwanted_colours():
    work, coast = work_of(5, raised=False), load("coast")
    (plain,) = colour_each(work, Options(palette=coast), [6])
    unwanted = plain.beads[0].name
    other = next(c.name for c in coast.entries if c.name not in {b.name for b in plain.beads})
    options = Options(palette=coast, keep=(Given(other), Given("ink", "#20242a")), never=(unwanted,), tidy=0)
    (finished,) = colour_each(work, options, [6])
    names = {bead.name for bead in finished.beads}
    assert unwanted not in names
    assert len(names) <= 6


def test_a_kept_colour_has_its_own_name_in_a_free_palette():
    codes = np.repeat(np.array([[33, 37, 43], [200, 180, 140], [60, 120, 130]], dtype=np.uint8), 40, axis=0)
    grid = Grid(8, 30)
    work = Work(grid, lab_from_codes(codes), np.zeros(120, dtype=np.int64))
    (finished,) = colour_each(work, Options(keep=(Given("ink", "#20242a"),)), [3])
    assert ("ink", "#20242a") in {(bead.name, bead.srgb) for bead in finished.beads}


@pytest.mark.parametrize("palette", [None, load("coast")], ids=["free", "coast"])
def test_flat_background_gets_the_ground_colour_exactly(palette):
    rng = np.random.default_rng(1)
    pixels = np.clip(np.array([231, 222, 200]) + rng.normal(0, 3, (120, 60, 3)), 0, 255).astype(np.uint8)
    pixels[40:80, 20:40] = [150, 40, 40]
    options = Options(columns=15, colours=3, ground="#e7dec8", palette=palette, style="photo")
    design = make_pattern(Source("a.png", encoded(pixels)), None, options, surface=False).design
    corners = {design.beads[cell].name for cell in design.cells[[0, 5, -1]]}
    assert len(corners) == 1
    bead = design.beads[design.cells[0]]
    if palette is None:
        assert bead.srgb == "#e7dec8"
    else:
        table = ciede2000(palette.lab, lab_from_codes(np.array([231, 222, 200], dtype=np.uint8)))
        assert bead.name == palette.entries[int(table.argmin())].name


@pytest.mark.parametrize(("away", "is_ground"), [(4.9, True), (5.1, False)])
def test_a_flat_cell_is_background_up_to_5_ciede2000_from_the_ground(away, is_ground):
    """A shade that is so far from the ground, found by halving, next to the ground itself and another colour."""
    ground = lab_from_codes(np.array([231, 222, 200], dtype=np.uint8))
    low, high = 0.0, 40.0
    for _ in range(50):
        middle = (low + high) / 2
        low, high = (middle, high) if ciede2000(ground, ground - [middle, 0, 0]) < away else (low, middle)
    grid = Grid(8, 30)
    lab = np.tile(lab_from_codes(np.array([150, 40, 40], dtype=np.uint8)), (grid.count, 1))
    lab[:50], lab[50:90] = ground - [low, 0, 0], ground
    work = Work(grid, lab, np.zeros(grid.count, dtype=np.int64))
    (finished,) = colour_each(work, Options(ground="#e7dec8", tidy=0), [3])
    beads = [finished.beads[cell].srgb == "#e7dec8" for cell in finished.cells[:90:60]]
    assert beads == [is_ground, True]


@pytest.mark.parametrize("seed", range(6))
def test_rare_colours_are_given_up(seed):
    work = work_of(seed, raised=False)
    (all_of_them,) = colour_each(work, Options(tidy=0), [12])
    (fewer,) = colour_each(work, Options(tidy=0, fewest=15), [12])
    assert np.bincount(all_of_them.cells).min() < 15
    assert np.bincount(fewer.cells).min() >= 15
    assert fewer.work.errors.mean() >= all_of_them.work.errors.mean()
    kept = {bead.srgb for bead in fewer.beads}
    assert kept < {bead.srgb for bead in all_of_them.beads}


def test_rare_colours_that_are_kept_stay():
    """Ten green cells among grey ones: kept, green is not given up although it is rare."""
    work = work_of(5, raised=False)
    greys = np.random.default_rng(5).integers(0, 256, (work.grid.count, 1), dtype=np.uint8).repeat(3, axis=1)
    greys[:10] = 0, 255, 0
    options = Options(tidy=0, fewest=50, keep=(Given("weed", "#00ff00"),))
    (finished,) = colour_each(work._replace(cells_lab=lab_from_codes(greys)), options, [9])
    counts = np.bincount(finished.cells).tolist()
    names = {bead.name: count for bead, count in zip(finished.beads, counts, strict=True)}
    assert names.pop("weed") == 10
    assert min(names.values()) >= 50
    assert finished.work.given_up > 0


def test_the_number_of_beads_begins_with_what_every_size_takes():
    work = work_of(3)
    options = Options(palette=load("half-tide"), count="kinds", colours="auto")
    least = least_number(work, options)
    assert least == len(np.unique(work.levels))
    (finished,) = colour_each(work, options, [least])
    assert len(finished.beads) <= least


@pytest.mark.parametrize("tidy", [0.0, 1.0, 3.0])
@pytest.mark.parametrize("seed", range(8))
def test_beads_to_buy_can_be_counted_instead_of_colours(seed, tidy):
    options = Options(palette=load("coast"), count="kinds", tidy=tidy, fewest=25)
    assert all(
        len(finished.beads) <= most
        for most, finished in zip((4, 7, 9), colour_each(work_of(seed), options, (4, 7, 9)), strict=True)
    )


@pytest.mark.parametrize(
    ("choices", "words"),
    [
        ({"keep": (Given("kelp"),)}, "give --palette"),
        ({"never": ("kelp",)}, "give --palette"),
        ({"count": "kinds"}, "give --palette"),
        ({"tidy": 4.0}, "give 0 to 3"),
        ({"tidy": float("nan")}, "give 0 to 3"),
    ],
)
def test_wishes_that_cannot_be_are_refused(choices, words):
    with pytest.raises(BadChoiceError, match=words):
        Options(**choices)


def test_a_size_that_does_not_exist_is_said_plainly():
    work, palette = work_of(2), palette_of(1, 8)
    small = replace(
        palette,
        entries=tuple(colour_from_hex(c.name, c.srgb, (Supply(NAMES[0]), Supply(NAMES[1]))) for c in palette.entries),
    )
    with pytest.raises(BadChoiceError, match="8/0"):
        list(colour_each(work, Options(palette=small), [6]))


def test_packs_and_cost_follow_from_the_palette():
    supplies = (Supply(NAMES[0], pack_grams=5.0, price=3.2), Supply(NAMES[1], pack_grams=8.0, price=2.5))
    palette = Palette(
        "Shop", (colour_from_hex("sand", "#d8c7a0", supplies), colour_from_hex("kelp", "#3c5a2e", supplies))
    )
    work = work_of(4)
    work = work._replace(levels=np.minimum(work.levels, 1))
    pixels = np.full((90, 40, 3), [216, 199, 160], dtype=np.uint8)
    design = make_pattern(
        Source("a.png", encoded(pixels)), None, Options(columns=40, palette=palette), surface=False
    ).design
    (line,) = shopping_list(design, spare_percent=10, pack_of=pack_of(palette))
    grams = -(-line.needed * 11 // 10) / 200
    assert line.packs == -(-grams // 5)
    assert line.cost * 10 == line.packs * 32
    assert f",{line.packs},{float(line.cost):.2f}\r\n" in beads_csv((line,))


def test_the_review_takes_the_same_wishes():
    pixels = np.random.default_rng(2).integers(0, 256, (60, 30, 3)).astype(np.uint8)
    coast = load("coast")
    review = review_colours(Source("a.png", encoded(pixels)), None, Options(columns=12, palette=coast), range(2, 6))
    for choice in review.choices:
        assert all(coast.find(bead.name).srgb == bead.srgb for bead in choice.design.beads)
