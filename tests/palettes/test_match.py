import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.bundled import load
from palettes.colour import Supply, colour_from_hex, colour_from_lab
from palettes.match import fewest_possible, match_each
from palettes.match_request import CellsToMatch, Wishes
from palettes.palette import Palette
from palettes.sizes import parse_sizes
from shared.beads import default_bead_sizes
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.errors import BadChoiceError
from shared.grid import Grid

SIZES = default_bead_sizes()
SIZE_NAMES = [size.name for size in SIZES.sizes]
HALF_TIDE = load("half-tide")


def colour(name, srgb, sizes="all"):
    return colour_from_hex(name, srgb, tuple(Supply(size) for size in parse_sizes(sizes)))


def cells_of(*colours, levels=None, **more):
    lab = np.stack([lab_from_codes(codes_from_hex(srgb)) for srgb in colours])
    return CellsToMatch(lab, np.zeros(len(lab), dtype=np.int64) if levels is None else np.array(levels), **more)


def named(matched):
    return [matched.colours[label].name for label in matched.labels]


def match(cells, palette, bead_sizes, most, wishes=None):
    return match_each(cells, palette, bead_sizes, [most], wishes)[0]


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
    matched = match(cells_of("#48a0a8", "#101418", "#101418", "#48a0a8", "#48a0a8", "#f0f4f4"), SHORE, SIZES, 3)
    assert named(matched) == ["pool", "ink", "ink", "pool", "pool", "foam"]
    assert [entry.name for entry in matched.colours] == ["pool", "ink", "foam"]
    assert matched.errors.max() < 0.01


def test_a_cell_takes_only_what_is_made_in_its_size():
    work = cells_of("#e66c57", "#e66c57", "#e66c57", "#e66c57", levels=[0, 1, 2, 3])
    assert named(match(work, SHORE, SIZES, 2)) == ["coral", "coral", "brick", "brick"]
    assert set(named(match(work, SHORE, SIZES, 1))) < {"ink", "foam"}


def test_beads_count_a_colour_once_for_each_size():
    work = cells_of("#101418", "#f0f4f4", "#101418", "#f0f4f4", "#f0f4f4", levels=[0, 0, 2, 2, 2])
    assert named(match(work, SHORE, SIZES, 2)) == ["ink", "foam", "ink", "foam", "foam"]
    beads = match(work, SHORE, SIZES, 3, Wishes(count="kinds"))
    assert named(beads)[2:] == ["ink", "foam", "foam"]
    assert len(set(named(beads)[:2])) == 1


def test_a_kept_colour_is_in_and_counts():
    work = cells_of("#48a0a8", "#48a0a8", "#101418")
    matched = match(work, SHORE, SIZES, 2, Wishes(keep=("Coral",)))
    assert [entry.name for entry in matched.colours] == ["pool", "coral"]
    alone = match(cells_of("#48a0a8"), SHORE, SIZES, 2, Wishes(keep=("foam",)))
    assert [entry.name for entry in alone.colours] == ["pool", "foam"]


def test_a_kept_colour_is_one_bead_at_least_when_beads_count():
    work = cells_of("#101418", "#101418", "#101418", "#101418", levels=[0, 1, 2, 3])
    matched = match(work, SHORE, SIZES, 4, Wishes(count="kinds", keep=("foam",)))
    assert sorted(named(matched)) == ["foam", "ink", "ink", "ink"]


def test_a_colour_kept_out_is_out():
    work = cells_of("#48a0a8", "#101418", "#e66c57")
    assert "pool" not in named(match(work, SHORE, SIZES, 3, Wishes(never=("pool",))))


def test_ground_cells_take_the_ground_colour_whatever_they_look_like():
    work = cells_of("#48a0a8", "#101418", "#f0f4f4", ground=np.array([True, False, False]))
    matched = match(work, SHORE, SIZES, 2, Wishes(ground="foam"))
    assert named(matched) == ["foam", "ink", "foam"]
    assert matched.errors[0] == pytest.approx(ciede2000(work.lab[0], SHORE.find("foam").lab), abs=1e-3)
    assert named(match(work, SHORE, SIZES, 1, Wishes(ground="foam"))) == ["foam"] * 3


@pytest.mark.parametrize("count", ["colours", "kinds"])
def test_a_ground_colour_that_is_kept_too_counts_once(count):
    work = cells_of("#48a0a8", "#101418", ground=np.array([True, False]))
    assert named(match(work, SHORE, SIZES, 1, Wishes(count, keep=("foam",), ground="foam"))) == ["foam", "foam"]


@pytest.mark.parametrize("most", [1, 4])
def test_a_work_of_ground_alone_takes_one_colour(most):
    work = cells_of("#48a0a8", "#101418", ground=np.array([True, True]))
    matched = match(work, SHORE, SIZES, most, Wishes(ground="pool"))
    assert [entry.name for entry in matched.colours] == ["pool"]


def test_ground_cells_do_not_pull_other_colours():
    """Were they free, the many ground cells would take the second colour."""
    work = cells_of(*["#48a0a8"] * 50, "#101418", "#e66c57", ground=np.arange(52) < 50)
    assert named(match(work, SHORE, SIZES, 3, Wishes(ground="foam")))[50:] == ["ink", "coral"]


def test_wishes_about_a_ground_that_no_cell_has_change_nothing():
    work = cells_of("#48a0a8", "#101418")
    assert named(match(work, SHORE, SIZES, 2, Wishes(ground="foam"))) == ["pool", "ink"]


@pytest.mark.parametrize(
    ("levels", "most", "wishes", "facts"),
    [
        ([0, 0], 0, Wishes(), ["0 colours", "needs 1 colour"]),
        ([0, 2], 1, Wishes(never=("ink", "foam")), ["needs 2 colours"]),
        ([0, 2], 1, Wishes(count="kinds"), ["needs 2 kinds"]),
        ([0, 0], 1, Wishes(keep=("ink", "foam")), ["needs 2 colours", "ink, foam"]),
        ([0, 2], 1, Wishes(keep=("coral",)), ["needs 2 colours", "coral"]),
        ([0, 2], 1, Wishes(ground="coral"), ["needs 2 colours", "coral"]),
        ([0, 2], 2, Wishes(count="kinds", keep=("ink", "coral", "foam")), ["needs 3 kinds", "ink, coral, foam"]),
        ([0, 0], 2, Wishes(keep=("sky",)), ["'sky'"]),
        ([0, 0], 2, Wishes(never=("inc",)), ["'inc'", "ink or brick"]),
        ([0, 0], 2, Wishes(ground="sky"), ["'sky'"]),
        ([0, 0], 2, Wishes(keep=("INK",), never=("ink",)), ["ink", "kept"]),
        ([0, 0], 2, Wishes(ground="ink", never=("ink",)), ["ink", "ground"]),
        ([0, 1], 2, Wishes(keep=("brick",)), ["brick", "round 8/0, round 6/0"]),
        ([2, 0], 2, Wishes(ground="coral"), ["coral", "round 8/0"]),
        (
            [3, 2],
            2,
            Wishes(never=("ink", "foam", "brick")),
            ["round 8/0 (1 cell, row 1, column 3) or in round 6/0 (1 cell, row 1, column 1)"],
        ),
    ],
)
def test_what_cannot_be_done_is_refused_with_its_facts(levels, most, wishes, facts):
    levels = [*levels, 0, 0, 0, 0]
    work = cells_of(*["#48a0a8"] * 6, levels=levels, grid=Grid(3, 4), ground=np.arange(6) < 1)
    with pytest.raises(BadChoiceError) as caught:
        match(work, SHORE, SIZES, most, wishes)
    assert all(fact in str(caught.value) for fact in facts), str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_number_too_small_is_refused_in_one_sentence():
    with pytest.raises(BadChoiceError) as caught:
        match(cells_of("#48a0a8", "#48a0a8", levels=[0, 2]), SHORE, SIZES, 1, Wishes("kinds", keep=("coral",)))
    assert str(caught.value) == (
        "1 kind cannot serve every size of the work; shore needs 2 kinds, coral among them "
        "(a colour in two sizes is two kinds): allow at least 2"
    )


def test_cells_without_a_bead_are_named_by_rows_and_columns():
    grid = Grid(7, 12)
    levels = np.where((grid.row_of >= 5) & (grid.row_of <= 8) & (grid.column_of >= 3), 3, 0)
    lab = np.tile([50.0, 0, 0], (grid.count, 1))
    small = Palette("small", (colour("ink", "#101418", "11c 11 8"),))
    with pytest.raises(BadChoiceError) as caught:
        match(CellsToMatch(lab, levels, grid=grid), small, SIZES, 2)
    assert f"round 6/0 ({(levels == 3).sum()} cells, rows 5 to 8, columns 3 to 7)" in str(caught.value)


def test_enough_beads_are_found_although_few_serve_the_rare_size():
    """The best colours for nearly all cells are not made in 6/0; one that is must be among those chosen."""
    rng = np.random.default_rng(4)
    exists = HALF_TIDE.exists(SIZES)
    lab = HALF_TIDE.lab[~exists[:, 3]][rng.integers(0, 6, 400)]
    levels = np.where(np.arange(400) == 7, 3, 0)
    for most in (1, 2, 6):
        matched = match(CellsToMatch(lab, levels), HALF_TIDE, SIZES, most)
        assert matched.colours[matched.labels[7]].is_made_in("round 6/0")
        assert len(matched.colours) == most


@st.composite
def works(draw):
    """Cells, a palette of few sizes, wishes that can be fulfilled, and a number that is enough for them."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    count, beads, levels = draw(st.integers(1, 60)), draw(st.integers(1, 12)), draw(st.integers(1, 4))
    lab = rng.uniform([5, -60, -60], [95, 60, 60], (count, 3))
    levels = rng.integers(0, levels, count)
    names = [f"bead {place}" for place in range(beads)]
    sizes = [" ".join(rng.choice(["11c", "11", "8", "6"], rng.integers(1, 5), replace=False)) for _ in names]
    sizes[0] = "all"
    entries = tuple(
        colour(name, f"#{rng.integers(0, 1 << 24):06x}", made) for name, made in zip(names, sizes, strict=True)
    )
    ground = rng.random(count) < 0.2 if draw(st.booleans()) else np.zeros(count, dtype=bool)
    needed = {SIZE_NAMES[level] for level in levels}
    under = {SIZE_NAMES[level] for level in levels[ground]}
    never = draw(st.lists(st.sampled_from(names[1:]), max_size=2, unique=True)) if beads > 1 else []
    left = [entry for entry in entries if entry.name not in never]
    keep = draw(st.lists(st.sampled_from([e.name for e in left if any(map(e.is_made_in, needed))]), max_size=2))
    grounds = [entry.name for entry in left if all(map(entry.is_made_in, under))]
    wishes = Wishes(
        draw(st.sampled_from(["colours", "kinds"])), tuple(keep), tuple(never), draw(st.sampled_from(["", *grounds]))
    )
    cells, palette = CellsToMatch(lab, levels, ground), Palette("any", entries)
    return cells, palette, fewest_possible(cells, palette, SIZES, wishes) + draw(st.integers(0, 5)), wishes


@given(works())
def test_no_colour_is_ever_used_in_a_size_that_the_palette_does_not_list(work):
    cells, palette, most, wishes = work
    matched = match(cells, palette, SIZES, most, wishes)
    pairs = {
        (matched.colours[label], SIZE_NAMES[level]) for label, level in zip(matched.labels, cells.levels, strict=True)
    }
    assert all(palette.find(entry.name).is_made_in(size) for entry, size in pairs)
    assert len(pairs if wishes.count == "kinds" else matched.colours) <= most
    names = {entry.name for entry in matched.colours}
    assert names.isdisjoint(wishes.never)
    assert names >= set(wishes.keep)
    if wishes.ground:
        assert {matched.colours[label].name for label in matched.labels[cells.ground]} <= {wishes.ground}


@given(works())
def test_one_fewer_than_the_fewest_possible_is_refused(work):
    cells, palette, _, wishes = work
    least = fewest_possible(cells, palette, SIZES, wishes)
    with pytest.raises(BadChoiceError):
        match(cells, palette, SIZES, least - 1, wishes)


@given(works())
def test_all_the_colours_asked_for_come_back_if_they_are_of_use(work):
    cells, palette, most, _ = work
    matched = match(cells, palette, SIZES, most)
    usable = palette.exists(SIZES).T[cells.levels]
    best = np.where(usable, ciede2000(cells.lab[:, None], palette.lab), np.inf).argmin(axis=1)
    assert len(matched.colours) >= min(most, len(np.unique(best)))


@given(works(), st.randoms(use_true_random=False))
def test_the_order_of_cells_does_not_matter(work, shuffle):
    cells, palette, most, wishes = work
    order = list(range(len(cells.lab)))
    shuffle.shuffle(order)
    one = match(cells, palette, SIZES, most, wishes)
    shuffled = CellsToMatch(cells.lab[order], cells.levels[order], cells.ground[order])
    other = match(shuffled, palette, SIZES, most, wishes)
    assert one.colours == other.colours
    assert np.array_equal(one.labels[order], other.labels)


def test_many_cells_are_merged_but_assigned_one_by_one():
    """12,000 different cells in three sizes: each takes the nearest of the chosen that is made in its size."""
    rng = np.random.default_rng(12)
    lab = np.clip(rng.normal([55, 5, 5], [18, 25, 25], (12_000, 3)), [0, -90, -90], [100, 90, 90])
    levels = rng.integers(0, 3, 12_000)
    for count, most in (("colours", 12), ("kinds", 16)):
        matched = match(CellsToMatch(lab, levels), HALF_TIDE, SIZES, most, Wishes(count))
        pairs = np.unique(matched.labels * 3 + levels)
        assert len(pairs if count == "kinds" else matched.colours) == most
        table = ciede2000(lab[:, None], np.array([entry.lab for entry in matched.colours]))
        allowed = np.zeros((3, len(matched.colours)), dtype=bool)
        allowed[pairs % 3, pairs // 3] = True
        if count == "colours":
            allowed = np.array([[entry.is_made_in(size) for entry in matched.colours] for size in SIZE_NAMES[:3]])
        assert matched.errors == pytest.approx(np.where(allowed[levels], table, np.inf).min(axis=1), abs=1e-3)


def test_a_colour_that_serves_no_cell_after_all_gives_its_place_to_another():
    """Cells next to two beads are merged to a mean where a third lies, which then serves none of them.

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
    matched = match(CellsToMatch(lab, np.zeros(len(lab), dtype=np.int64)), palette, SIZES, 10)
    names = {entry.name for entry in matched.colours}
    assert names >= {"bead 0", "bead 2"}
    assert "bead 1" not in names
    assert len(names) == len(np.unique(matched.labels)) == 10


def test_a_range_of_numbers_gives_what_each_gives_alone():
    rng = np.random.default_rng(2)
    work = CellsToMatch(rng.uniform([5, -60, -60], [95, 60, 60], (300, 3)), rng.integers(0, 4, 300))
    for number, matched in zip((2, 5, 9), match_each(work, HALF_TIDE, SIZES, (2, 5, 9)), strict=True):
        alone = match(work, HALF_TIDE, SIZES, number)
        assert alone.colours == matched.colours
        assert np.array_equal(alone.labels, matched.labels)


def test_cells_that_do_not_fit_together_are_a_fault():
    with pytest.raises(ValueError, match="do not fit together"):
        CellsToMatch(np.zeros((3, 3)), np.zeros(2, dtype=np.int64))
