from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.bundled import load
from palettes.colour import Supply, colour_from_hex, colour_from_lab
from palettes.match import choose, choose_each
from palettes.match_request import Cells, Wishes
from palettes.palette import Palette
from palettes.sizes import parse_sizes
from shared.beads import default_bead_sizes
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.errors import BadChoiceError
from shared.grid import Grid

LADDER = default_bead_sizes()
SIZES = [size.name for size in LADDER.sizes]
HALF_TIDE = load("half-tide")


def colour(name, srgb, sizes="all"):
    return colour_from_hex(name, srgb, tuple(Supply(size) for size in parse_sizes(sizes)))


def cells_of(*colours, levels=None, **more):
    lab = np.stack([lab_from_codes(codes_from_hex(srgb)) for srgb in colours])
    return Cells(lab, np.zeros(len(lab), dtype=np.int64) if levels is None else np.array(levels), **more)


def named(matched):
    return [matched.colours[label].name for label in matched.labels]


SHORE = Palette(
    "shore",
    (
        colour("ink", "#101418"),
        colour("foam", "#f0f4f4"),
        colour("coral", "#e66c57", "11c 11"),
        colour("brick", "#a0402c", "8 6"),
        colour("pool", "#48a0a8", "11c"),
    ),
)


def test_each_cell_takes_its_own_colour_and_the_most_used_comes_first():
    matched = choose(cells_of("#48a0a8", "#101418", "#101418", "#48a0a8", "#48a0a8", "#f0f4f4"), SHORE, LADDER, 3)
    assert named(matched) == ["pool", "ink", "ink", "pool", "pool", "foam"]
    assert [entry.name for entry in matched.colours] == ["pool", "ink", "foam"]
    assert matched.errors.max() < 0.01


def test_a_cell_takes_only_what_is_made_in_its_size():
    work = cells_of("#e66c57", "#e66c57", "#e66c57", "#e66c57", levels=[0, 1, 2, 3])
    assert named(choose(work, SHORE, LADDER, 2)) == ["coral", "coral", "brick", "brick"]
    assert set(named(choose(work, SHORE, LADDER, 1))) < {"ink", "foam"}


def test_beads_count_a_colour_once_for_each_size():
    work = cells_of("#101418", "#f0f4f4", "#101418", "#f0f4f4", "#f0f4f4", levels=[0, 0, 2, 2, 2])
    assert named(choose(work, SHORE, LADDER, 2)) == ["ink", "foam", "ink", "foam", "foam"]
    beads = choose(work, SHORE, LADDER, 3, Wishes(count="kinds"))
    assert named(beads)[2:] == ["ink", "foam", "foam"]
    assert len(set(named(beads)[:2])) == 1


def test_a_kept_colour_is_in_and_counts():
    work = cells_of("#48a0a8", "#48a0a8", "#101418")
    matched = choose(work, SHORE, LADDER, 2, Wishes(keep=("Coral",)))
    assert [entry.name for entry in matched.colours] == ["pool", "coral"]
    alone = choose(cells_of("#48a0a8"), SHORE, LADDER, 2, Wishes(keep=("foam",)))
    assert [entry.name for entry in alone.colours] == ["pool", "foam"]


def test_a_kept_colour_is_one_bead_at_least_when_beads_count():
    work = cells_of("#101418", "#101418", "#101418", "#101418", levels=[0, 1, 2, 3])
    matched = choose(work, SHORE, LADDER, 4, Wishes(count="kinds", keep=("foam",)))
    assert sorted(named(matched)) == ["foam", "ink", "ink", "ink"]


def test_a_colour_kept_out_is_out():
    work = cells_of("#48a0a8", "#101418", "#e66c57")
    assert "pool" not in named(choose(work, SHORE, LADDER, 3, Wishes(never=("pool",))))


def test_ground_cells_take_the_ground_colour_whatever_they_look_like():
    work = cells_of("#48a0a8", "#101418", "#f0f4f4", ground=np.array([True, False, False]))
    matched = choose(work, SHORE, LADDER, 2, Wishes(ground="foam"))
    assert named(matched) == ["foam", "ink", "foam"]
    assert matched.errors[0] == pytest.approx(ciede2000(work.lab[0], SHORE.find("foam").lab), abs=1e-3)
    assert named(choose(work, SHORE, LADDER, 1, Wishes(ground="foam"))) == ["foam"] * 3


@pytest.mark.parametrize("count", ["colours", "kinds"])
def test_a_ground_colour_that_is_kept_too_counts_once(count):
    work = cells_of("#48a0a8", "#101418", ground=np.array([True, False]))
    assert named(choose(work, SHORE, LADDER, 1, Wishes(count, keep=("foam",), ground="foam"))) == ["foam", "foam"]


@pytest.mark.parametrize("most", [1, 4])
def test_a_work_of_ground_alone_takes_one_colour(most):
    work = cells_of("#48a0a8", "#101418", ground=np.array([True, True]))
    matched = choose(work, SHORE, LADDER, most, Wishes(ground="pool"))
    assert [entry.name for entry in matched.colours] == ["pool"]


def test_ground_cells_do_not_pull_other_colours():
    """Were they free, the many ground cells would take the second colour."""
    work = cells_of(*["#48a0a8"] * 50, "#101418", "#e66c57", ground=np.arange(52) < 50)
    assert named(choose(work, SHORE, LADDER, 3, Wishes(ground="foam")))[50:] == ["ink", "coral"]


def test_wishes_about_a_ground_that_no_cell_has_change_nothing():
    work = cells_of("#48a0a8", "#101418")
    assert named(choose(work, SHORE, LADDER, 2, Wishes(ground="foam"))) == ["pool", "ink"]


@pytest.mark.parametrize(
    ("levels", "most", "wishes", "words"),
    [
        ([0, 0], 0, Wishes(), "0 colours cannot serve every size of the work; shore needs 1 colour"),
        (
            [0, 2],
            1,
            Wishes(never=("ink", "foam")),
            "1 colour cannot serve every size of the work; shore needs 2 colours",
        ),
        ([0, 2], 1, Wishes(count="kinds"), "needs 2 beads (a colour in two sizes is two beads): allow so many"),
        ([0, 0], 1, Wishes(keep=("ink", "foam")), "shore needs 2 colours, ink, foam among them: allow so many"),
        ([0, 2], 1, Wishes(keep=("coral",)), "shore needs 2 colours, coral among them"),
        ([0, 2], 1, Wishes(ground="coral"), "shore needs 2 colours, coral among them"),
        (
            [0, 2],
            2,
            Wishes(count="kinds", keep=("ink", "coral", "foam")),
            "shore needs 3 beads, ink, coral, foam among",
        ),
        ([0, 0], 2, Wishes(keep=("sky",)), "shore has no colour called 'sky'; its names are"),
        ([0, 0], 2, Wishes(never=("inc",)), "shore has no colour called 'inc'; did you mean ink or brick?"),
        ([0, 0], 2, Wishes(ground="sky"), "shore has no colour called 'sky'"),
        ([0, 0], 2, Wishes(keep=("INK",), never=("ink",)), "ink is to be kept and is never to be used"),
        ([0, 0], 2, Wishes(ground="ink", never=("ink",)), "ink is the ground and is never to be used"),
        (
            [0, 1],
            2,
            Wishes(keep=("brick",)),
            "brick is to be kept, but it is made in round 8/0, round 6/0 and the work",
        ),
        ([2, 0], 2, Wishes(ground="coral"), "the ground is to be coral, which is not made in round 8/0"),
        (
            [3, 2],
            2,
            Wishes(never=("ink", "foam", "brick")),
            "can be had in round 8/0 (1 cell, row 1, column 3) or in round 6/0 (1 cell, row 1, column 1); add one",
        ),
    ],
)
def test_what_cannot_be_done_is_said_plainly(levels, most, wishes, words):
    levels = [*levels, 0, 0, 0, 0]
    work = cells_of(*["#48a0a8"] * 6, levels=levels, grid=Grid(3, 4), ground=np.arange(6) < 1)
    with pytest.raises(BadChoiceError) as caught:
        choose(work, SHORE, LADDER, most, wishes)
    assert words in str(caught.value)
    assert "\n" not in str(caught.value)


def test_cells_without_a_bead_are_named_by_rows_and_columns():
    grid = Grid(7, 12)
    levels = np.where((grid.row_of >= 5) & (grid.row_of <= 8) & (grid.column_of >= 3), 3, 0)
    lab = np.tile([50.0, 0, 0], (grid.count, 1))
    small = Palette("small", (colour("ink", "#101418", "11c 11 8"),))
    with pytest.raises(BadChoiceError) as caught:
        choose(Cells(lab, levels, grid=grid), small, LADDER, 2)
    assert str(caught.value).startswith(
        f"no colour of small can be had in round 6/0 ({(levels == 3).sum()} cells, rows 5 to 8, columns 3 to 7); "
    )


def test_enough_beads_are_found_although_few_serve_the_rare_size():
    """The best colours for nearly all cells are not made in 6/0; one that is must be among those chosen."""
    rng = np.random.default_rng(4)
    exists = HALF_TIDE.exists(LADDER)
    lab = HALF_TIDE.lab[~exists[:, 3]][rng.integers(0, 6, 400)]
    levels = np.where(np.arange(400) == 7, 3, 0)
    for most in (1, 2, 6):
        matched = choose(Cells(lab, levels), HALF_TIDE, LADDER, most)
        assert matched.colours[matched.labels[7]].is_made_in("round 6/0")
        assert len(matched.colours) == most


@st.composite
def works(draw):
    """Cells, a palette of few sizes, and wishes."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    count, beads, levels = draw(st.integers(1, 60)), draw(st.integers(1, 12)), draw(st.integers(1, 4))
    lab = rng.uniform([5, -60, -60], [95, 60, 60], (count, 3))
    levels = rng.integers(0, levels, count)
    names = [f"bead {place}" for place in range(beads)]
    sizes = [" ".join(rng.choice(["11c", "11", "8", "6"], rng.integers(1, 5), replace=False)) for _ in names]
    entries = tuple(
        colour(name, f"#{rng.integers(0, 1 << 24):06x}", made) for name, made in zip(names, sizes, strict=True)
    )
    names_or_none = st.lists(st.sampled_from(names), max_size=2, unique=True)
    wishes = Wishes(
        draw(st.sampled_from(["colours", "kinds"])),
        tuple(draw(names_or_none)),
        tuple(draw(names_or_none)),
        draw(st.sampled_from(["", *names])),
    )
    ground = rng.random(count) < 0.2 if draw(st.booleans()) else None
    return Cells(lab, levels, ground), Palette("any", entries), draw(st.integers(1, 8)), wishes


@given(works())
def test_no_colour_is_ever_used_in_a_size_that_the_palette_does_not_list(work):
    cells, palette, most, wishes = work
    with suppress(BadChoiceError):
        matched = choose(cells, palette, LADDER, most, wishes)
        pairs = {
            (matched.colours[label], SIZES[level]) for label, level in zip(matched.labels, cells.levels, strict=True)
        }
        assert all(size in palette.find(entry.name).sizes for entry, size in pairs)
        assert len(pairs if wishes.count == "kinds" else matched.colours) <= most
        names = {entry.name for entry in matched.colours}
        assert names.isdisjoint(wishes.never)
        assert names >= set(wishes.keep)
        if cells.ground is not None and wishes.ground:
            assert {matched.colours[label].name for label in matched.labels[cells.ground]} <= {wishes.ground}


@given(works())
def test_all_the_colours_asked_for_come_back_if_they_are_of_use(work):
    cells, palette, most, _ = work
    with suppress(BadChoiceError):
        matched = choose(cells, palette, LADDER, most)
        usable = palette.exists(LADDER).T[cells.levels]
        best = np.where(usable, ciede2000(cells.lab[:, None], palette.lab), np.inf).argmin(axis=1)
        assert len(matched.colours) >= min(most, len(np.unique(best)))


@given(works(), st.randoms(use_true_random=False))
def test_the_order_of_cells_does_not_matter(work, shuffle):
    cells, palette, most, wishes = work
    order = list(range(len(cells.lab)))
    shuffle.shuffle(order)
    ground = None if cells.ground is None else cells.ground[order]
    with suppress(BadChoiceError):
        one = choose(cells, palette, LADDER, most, wishes)
        other = choose(Cells(cells.lab[order], cells.levels[order], ground), palette, LADDER, most, wishes)
        assert one.colours == other.colours
        assert np.array_equal(one.labels[order], other.labels)


def test_many_cells_are_merged_but_assigned_one_by_one():
    """12,000 different cells in three sizes: each takes the nearest of the chosen that is made in its size."""
    rng = np.random.default_rng(12)
    lab = np.clip(rng.normal([55, 5, 5], [18, 25, 25], (12_000, 3)), [0, -90, -90], [100, 90, 90])
    levels = rng.integers(0, 3, 12_000)
    for count, most in (("colours", 12), ("beads", 16)):
        matched = choose(Cells(lab, levels), HALF_TIDE, LADDER, most, Wishes(count))
        pairs = np.unique(matched.labels * 3 + levels)
        assert len(pairs if count == "kinds" else matched.colours) == most
        table = ciede2000(lab[:, None], np.array([entry.lab for entry in matched.colours]))
        allowed = np.zeros((3, len(matched.colours)), dtype=bool)
        allowed[pairs % 3, pairs // 3] = True
        if count == "colours":
            allowed = np.array([[entry.is_made_in(size) for entry in matched.colours] for size in SIZES[:3]])
        assert matched.errors == pytest.approx(np.where(allowed[levels], table, np.inf).min(axis=1), abs=1e-3)


def test_a_colour_that_serves_no_cell_after_all_gives_its_place_to_another():
    """Cells beside two beads are merged to a mean where a third lies, which then serves none of them.

    The many other cells, all different, make the search merge within the coarsest grain, 8 Lab units.
    """
    rng = np.random.default_rng(3)
    others = rng.uniform([0, -60, -30], [100, 60, 60], (9000, 3))
    others = others[np.abs(others[:, 1]) > 15]
    beside = np.repeat([[48, -4.1, 0], [48, -1.9, 0], [48, 1.9, 0], [48, 4.1, 0]], 20_000, axis=0)
    lab = np.concatenate([others, beside])
    made = (Supply("all"),)
    labs = [(48, -3.6, 0), (48, 0, 0), (48, 3.6, 0), *map(tuple, rng.uniform([10, -50, -50], [90, 50, 50], (20, 3)))]
    palette = Palette("trial", tuple(colour_from_lab(f"bead {i}", lab, made) for i, lab in enumerate(labs)))
    matched = choose(Cells(lab, np.zeros(len(lab), dtype=np.int64)), palette, LADDER, 10)
    names = {entry.name for entry in matched.colours}
    assert names >= {"bead 0", "bead 2"}
    assert "bead 1" not in names
    assert len(names) == len(np.unique(matched.labels)) == 10


def test_a_range_of_numbers_gives_what_each_gives_alone():
    rng = np.random.default_rng(2)
    work = Cells(rng.uniform([5, -60, -60], [95, 60, 60], (300, 3)), rng.integers(0, 4, 300))
    for number, matched in zip((2, 5, 9), choose_each(work, HALF_TIDE, LADDER, (2, 5, 9)), strict=True):
        alone = choose(work, HALF_TIDE, LADDER, number)
        assert alone.colours == matched.colours
        assert np.array_equal(alone.labels, matched.labels)


def test_cells_that_do_not_fit_together_are_a_fault():
    with pytest.raises(ValueError, match="do not fit together"):
        Cells(np.zeros((3, 3)), np.zeros(2, dtype=np.int64))
