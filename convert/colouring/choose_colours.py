"""The stages that give cells their colours: from the picture alone or from beads that exist, then tidied."""

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from convert.cells.cell_colours import CellColours
from convert.colouring.assemble_beads import Tint, describe_tints
from convert.colouring.choices import FEWEST_REVIEWED, MOST_REVIEWED, Given, PaletteChoices, SmoothChoices
from convert.colouring.colour_count import knee, spread_of
from convert.colouring.pattern_stats import PatternStats, measure_pattern
from convert.colouring.quantise import quantise_each
from convert.colouring.rare_colours import give_up_rare_colours
from convert.colouring.smoothing import Smoothed, smooth_labels
from convert.layout.repeat import Layout
from convert.relief.height_map import Relief
from palettes.colour import Supply, colour_from_hex
from palettes.colour_names import numbered
from palettes.match import fewest_possible, match_each
from palettes.match_request import CellsToMatch, Wishes
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE
from shared.arrays import Bools, Floats, Ints
from shared.beads import BeadSizes
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.errors import BadChoiceError
from shared.plural import counted

_CHANGES = re.compile("transparent|translucent|lined|metal|galvani", re.IGNORECASE)
"""Finishes through which thread shows, or that mirror what is next to them."""

NEAR_GROUND = 5.0
"""A flat cell this near to the ground colour, in CIEDE2000, is background."""


class PaletteOfWork(NamedTuple):
    """Colours chosen for the cells of a work: what the palette stage gives, one for each number of colours tried."""

    tints: tuple[Tint, ...]
    """The colours."""
    labels: Ints
    """Which of them each worked-out bead has, shape (worked beads,)."""
    exists: Bools
    """Which may be had in which size, shape (tints, levels)."""
    number: int
    """How many colours, or kinds, were asked for."""


class ColouredWork(NamedTuple):
    """A work in its colours, and what tidying did: what the smooth stage gives."""

    tints: tuple[Tint, ...]
    """The colours, used or not."""
    labels: Ints
    """Which of them each bead has, shape (beads,)."""
    errors: Floats
    """CIEDE2000 of each bead to what the picture shows there, shape (beads,)."""
    before: PatternStats
    """Figures before tidying."""
    after: PatternStats
    """Figures after tidying, before rare colours were given up."""
    given_up: int = 0
    """How many rare colours were given up."""
    absent: tuple[str, ...] = ()
    """Names of colours that were to be in, and that no bead has."""
    no_ground: bool = False
    """Whether a ground was given that no cell looks like."""
    notices: tuple[str, ...] = ()
    """What a person should know."""


class _Cells(NamedTuple):
    """What is coloured: the beads that are worked out."""

    seen: CellColours
    layout: Layout
    bead_sizes: BeadSizes
    levels: Ints


def choose_palettes(
    choices: PaletteChoices, seen: CellColours, layout: Layout, bead_sizes: BeadSizes, relief: Relief | None = None
) -> tuple[PaletteOfWork, ...]:
    """Choose colours: one palette, or one for each number that is tried where their number is to be found.

    Parameters
    ----------
    choices
        Number of colours, palette, colours to keep and to leave out, ground.
    seen
        What is to be coloured.
    layout, bead_sizes
        Of the work.
    relief
        Needed only where beads that exist are chosen, for not every colour is made in every size.

    Raises
    ------
    BadChoiceError
        When the palette cannot serve a size, or the wishes contradict each other.
    """
    cells = _cells(choices, seen, layout, bead_sizes, relief)
    if choices.colours != "auto":
        return tuple(_choose_each(choices, cells, [choices.colours]))
    first = max(FEWEST_REVIEWED, _least_number(choices, cells))
    return tuple(_choose_each(choices, cells, range(first, max(first, MOST_REVIEWED) + 1)))


def choose_between(
    choices: PaletteChoices,
    seen: CellColours,
    layout: Layout,
    bead_sizes: BeadSizes,
    relief: Relief,
    numbers: Sequence[int],
) -> tuple[Sequence[int], tuple[PaletteOfWork, ...]]:
    """Choose a palette for each of several rising numbers of colours; those that cannot be had are left out."""
    cells = _cells(choices, seen, layout, bead_sizes, relief)
    least = _least_number(choices, cells)
    had = [number for number in numbers if number >= least] or [least]
    return had, tuple(_choose_each(choices, cells, had))


def smooth_colours(
    choices: SmoothChoices,
    palettes: tuple[PaletteOfWork, ...],
    seen: CellColours,
    layout: Layout,
    bead_sizes: BeadSizes,
    relief: Relief,
) -> ColouredWork:
    """Tidy the colours of a work and lay them over all of it; of several palettes, take one by the colour count's rule.

    Errors as in `choose_palettes`.
    """
    tried = [smooth_palette(choices, palette, seen, layout, bead_sizes, relief) for palette in palettes]
    if choices.colours == "auto":
        numbers = [palette.number for palette in palettes]
        taken = knee([spread_of(number, one.errors) for number, one in zip(numbers, tried, strict=True)])
        work = tried[numbers.index(taken.k)]
        words = counted(_count_used(work), "colour")
        return work._replace(notices=(f"{words} by --colours auto: {taken.reason}",))
    (work,) = tried
    kinds = len(np.unique(work.labels * len(bead_sizes.sizes) + relief.levels))
    found = kinds if choices.count == "kinds" else _count_used(work)
    return work._replace(
        notices=(*_tell_fewer(choices, work, found), *_tell_unused(choices, work), *_tell_finish(choices, work))
    )


def smooth_palette(
    choices: SmoothChoices,
    palette: PaletteOfWork,
    seen: CellColours,
    layout: Layout,
    bead_sizes: BeadSizes,
    relief: Relief,
) -> ColouredWork:
    """Tidy the colours of one palette and lay them over the whole work."""
    cells = _cells(choices, seen, layout, bead_sizes, relief)
    palette_lab = np.array([tint.lab for tint in palette.tints])
    background = _background(choices, cells)
    if choices.palette is None:
        palette = palette._replace(labels=_with_ground(choices, palette, background))
    tidy = smooth_labels(
        seen.lab,
        palette_lab,
        palette.labels,
        layout.worked_grid,
        strength=choices.tidy,
        levels=cells.levels,
        ink=seen.ink,
        allowed=palette.exists,
    )
    cells_lab = seen.lab
    if layout.tiles is not None:
        cells_lab, tidy = _spread(choices, cells, palette, tidy, relief)
    labels, errors, wanted = tidy.labels, tidy.errors, _find_wanted(choices, palette.tints)
    if choices.fewest > 1:
        allowed = palette.exists[:, relief.levels].T
        labels = give_up_rare_colours(cells_lab, palette_lab, labels, choices.fewest, allowed, spared=wanted)
        errors = np.asarray(ciede2000(cells_lab, palette_lab[labels]), dtype=np.float64)
    used = np.bincount(labels, minlength=len(palette.tints)) > 0
    given_up = len(np.unique(tidy.labels)) - int(used.sum())
    present = {name for tint, is_used in zip(palette.tints, used, strict=True) if is_used for name in _names(tint)}
    no_ground = background is not None and not background.any()
    absent = tuple(colour.name or colour.srgb for colour in choices.keep if not present & _names(colour))
    return ColouredWork(palette.tints, labels, errors, tidy.before, tidy.after, given_up, absent, no_ground)


def _count_used(work: ColouredWork) -> int:
    return len(np.unique(work.labels))


def _tell_fewer(choices: SmoothChoices, work: ColouredWork, found: int) -> tuple[str, ...]:
    if found == choices.colours:
        return ()
    if work.given_up:
        before, now = work.after.mean_error, float(work.errors.mean())
        colours = counted(work.given_up, "colour")
        return (f"--fewest {choices.fewest} gave up {colours}, for a colour difference of {before:.2f} to {now:.2f}",)
    serve = "serves" if found == 1 else "serve"
    return (f"{choices.colours} {choices.count} were asked for; {found} {serve} this picture at this size",)


def _tell_finish(choices: PaletteChoices, work: ColouredWork) -> tuple[str, ...]:
    """Tell which colours in use are not what a screen or a table shows."""
    if choices.palette is None:
        return ()
    finishes = {folded(colour.name): colour.finish for colour in choices.palette.entries}
    used = [work.tints[place].name for place in np.unique(work.labels).tolist()]
    names = [name for name in used if _CHANGES.search(finishes.get(folded(name), ""))]
    what = "transparent and metallic beads look different on thread than alone; lay some side by side first"
    return (f"{', '.join(names)}: {what}",) if names else ()


def _tell_unused(choices: SmoothChoices, work: ColouredWork) -> tuple[str, ...]:
    """Tell of wishes for colours that changed nothing."""
    absent = [
        f"{name} is kept, but every bead is nearer to another colour; nothing of it is to be bought"
        for name in work.absent
    ]
    if work.no_ground:
        absent.append(f"no flat bead looks like the ground {choices.ground}, so none has that colour")
    return tuple(absent)


def _cells(
    choices: PaletteChoices, seen: CellColours, layout: Layout, bead_sizes: BeadSizes, relief: Relief | None
) -> _Cells:
    levels = np.zeros(layout.worked_grid.count, dtype=np.int64) if relief is None else relief.worked.copy()
    if choices.ground is not None:
        levels[layout.plain_lead] = 0
    return _Cells(seen, layout, bead_sizes, levels)


def _choose_each(choices: PaletteChoices, cells: _Cells, numbers: Sequence[int]) -> Iterator[PaletteOfWork]:
    return _free(choices, cells, numbers) if choices.palette is None else _of_beads(choices, cells, numbers)


def _least_number(choices: PaletteChoices, cells: _Cells) -> int:
    """Return how many colours, or kinds to buy, a work takes at least."""
    if choices.palette is None:
        return max(1, len(_gather_given(choices)))
    palette, request, wishes = _request(choices, cells)
    return fewest_possible(request, palette, cells.bead_sizes, wishes)


def _names(colour: Tint | Given) -> set[str]:
    """Return what a colour is known by."""
    return {known for known in (folded(colour.name), colour.srgb) if known}


def _find_wanted(choices: PaletteChoices, tints: tuple[Tint, ...]) -> Bools:
    """Return which tints the user asked for, shape (tints,)."""
    asked = {name for colour in choices.keep for name in _names(colour)} | {choices.ground}
    return np.array([bool(_names(tint) & asked) for tint in tints])


def _spread(
    choices: PaletteChoices, cells: _Cells, palette: PaletteOfWork, tidy: Smoothed, relief: Relief
) -> tuple[Floats, Smoothed]:
    """Lay coloured repeats over the whole work; its plain beads get one colour, which is no error."""
    layout, levels = cells.layout, relief.levels
    plain = _plain(choices, cells, palette, tidy.labels, relief)
    before, labels = (layout.spread(each, plain) for each in (palette.labels, tidy.labels))
    tints_lab = np.array([tint.lab for tint in palette.tints])
    rough = np.asarray(ciede2000(cells.seen.lab, tints_lab[palette.labels]), dtype=np.float64)
    errors = layout.spread(tidy.errors, 0.0)
    figures = (
        measure_pattern(before, levels, layout.spread(rough, 0.0), layout.grid),
        measure_pattern(labels, levels, errors, layout.grid),
    )
    return layout.spread(cells.seen.lab, tints_lab[plain]), Smoothed(labels, errors, *figures)


def _plain(choices: PaletteChoices, cells: _Cells, palette: PaletteOfWork, labels: Ints, relief: Relief) -> int:
    """Return the colour of plain beads: the ground, which the first cell shows then, or the commonest flat one."""
    if choices.ground is not None:
        return int(palette.labels[0])
    spread = cells.layout.spread(labels, -1)
    flat = spread[(spread >= 0) & (relief.levels == 0)]
    counts = np.bincount(flat, minlength=len(palette.tints))
    if (spread < 0).any() and not palette.exists[:, 0].any():
        raise BadChoiceError("no colour of the work is made in the flat size for plain rows; give --ground a colour")
    return int(np.where(palette.exists[:, 0], counts, -1).argmax())


def _free(choices: PaletteChoices, cells: _Cells, numbers: Sequence[int]) -> Iterator[PaletteOfWork]:
    """Work colours out from the picture, those given next to them."""
    given = _gather_given(choices)
    codes = np.array([codes_from_hex(colour.srgb) for colour in given], dtype=np.uint8).reshape(-1, 3)
    for number, chosen in zip(numbers, quantise_each(cells.seen.lab, numbers, codes), strict=True):
        tints = _rename_tints(describe_tints(chosen.codes), given)
        exists = np.ones((len(tints), len(cells.bead_sizes.sizes)), dtype=bool)
        yield PaletteOfWork(tints, chosen.labels, exists, number)


def _gather_given(choices: PaletteChoices) -> tuple[Given, ...]:
    ground = () if choices.ground is None else (Given("", choices.ground),)
    return tuple({colour.srgb: colour for colour in (*ground, *choices.keep)}.values())


def _rename_tints(tints: tuple[Tint, ...], given: tuple[Given, ...]) -> tuple[Tint, ...]:
    """Give kept colours the names that the user gave them."""
    names = {colour.srgb: colour.name for colour in given if colour.name}
    words = numbered([names.get(tint.srgb, tint.name) for tint in tints])
    return tuple(tint._replace(name=name) for tint, name in zip(tints, words, strict=True))


def _with_ground(choices: PaletteChoices, palette: PaletteOfWork, background: Bools | None) -> Ints:
    """Give background cells the ground colour."""
    place = next((place for place, tint in enumerate(palette.tints) if tint.srgb == choices.ground), None)
    return palette.labels if place is None or background is None else np.where(background, place, palette.labels)


def _background(choices: PaletteChoices, cells: _Cells) -> Bools | None:
    """Return which cells are flat and look like the ground; None where no ground is given."""
    if choices.ground is None:
        return None
    ground = lab_from_codes(codes_from_hex(choices.ground))
    return np.asarray((cells.levels == 0) & (ciede2000(cells.seen.lab, ground) <= NEAR_GROUND))


def _of_beads(choices: PaletteChoices, cells: _Cells, numbers: Sequence[int]) -> Iterator[PaletteOfWork]:
    """Choose among the beads that exist."""
    palette, request, wishes = _request(choices, cells)
    sizes = cells.bead_sizes.sizes
    each = match_each(request, palette, cells.bead_sizes, numbers, wishes)
    for number, matched in zip(numbers, each, strict=True):
        tints = tuple(Tint(colour.srgb, colour.lab, colour.name, palette.name) for colour in matched.colours)
        exists = np.array([[colour.is_made_in(size.name) for size in sizes] for colour in matched.colours])
        if choices.count == "kinds":
            exists &= _find_bought(matched.labels, cells.levels, exists.shape)
        yield PaletteOfWork(tints, matched.labels, exists, number)


def _request(choices: PaletteChoices, cells: _Cells) -> tuple[Palette, CellsToMatch, Wishes]:
    """Return the beads that exist, what they are for, and what is wished of them."""
    palette, kept = _with_kept(choices)
    background = _background(choices, cells)
    ground = _ground_name(choices, palette, cells) if background is not None and background.any() else ""
    wishes = Wishes(choices.count, kept, choices.never, ground)
    told = cells.layout.grid if cells.layout.tiles is None else None  # of tiles nobody knows the rows
    return palette, CellsToMatch(cells.seen.lab, cells.levels, background if ground else None, told), wishes


def _find_bought(labels: Ints, levels: Ints, shape: tuple[int, ...]) -> Bools:
    """Return which colours are bought in which size, so that no later change of a cell makes one to buy more."""
    bought = np.zeros(shape, dtype=bool)
    bought[labels, levels] = True
    return bought


def _with_kept(choices: PaletteChoices) -> tuple[Palette, tuple[str, ...]]:
    """Add kept colours that are given as such to the palette; they are taken to exist in every size."""
    assert choices.palette is not None  # noqa: S101 - the caller asks only then
    palette = choices.palette.of_finish(choices.finish, [*(colour.name for colour in choices.keep), *choices.never])
    for colour in choices.keep:
        if colour.srgb:
            palette = palette.with_entry(
                colour_from_hex(colour.name or colour.srgb, colour.srgb, (Supply(EVERY_SIZE),))
            )
    return palette, tuple(colour.name or colour.srgb for colour in choices.keep)


def _ground_name(choices: PaletteChoices, palette: Palette, cells: _Cells) -> str:
    """Return the colour made in the flat size that is nearest to the ground; empty where there is none."""
    ground = lab_from_codes(codes_from_hex(choices.ground or ""))
    never = {folded(name) for name in choices.never}
    flat = cells.bead_sizes.flat.name
    made = [c for c in palette.entries if c.is_made_in(flat) and folded(c.name) not in never]
    return min(made, key=lambda colour: float(ciede2000(np.array(colour.lab), ground))).name if made else ""
