"""Gives the cells of a work their colours: from the picture alone, or from beads that exist; then tidies them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.colouring.bead_keys import Coloured, Tint, assemble_beads, described
from convert.colouring.palette_sweep import free_palettes
from convert.colouring.pattern_stats import Tidiness, tidiness
from convert.colouring.quantise import Chosen, few_colours
from convert.colouring.rare_colours import without_rare
from convert.colouring.required_colours import few_colours_beside
from convert.colouring.smoothing import Tidied, tidied
from convert.options import Given, Options
from convert.relief.work import Whole, Work
from palettes.colour import Supply, colour_from_hex
from palettes.colour_names import numbered
from palettes.match import choose_each, fewest_possible
from palettes.match_request import Cells, Wishes
from palettes.palette import Palette, folded
from palettes.sizes import EVERY_SIZE
from shared.arrays import Ints
from shared.beads import BeadSizes
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_hex, lab_from_codes
from shared.errors import BadChoiceError

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

NEAR_GROUND = 5.0
"""A flat cell this near to the ground colour, in CIEDE2000, is background."""


class Finished(NamedTuple):
    """A work in its colours, and what tidying did."""

    coloured: Coloured
    """Its beads."""
    before: Tidiness
    """Figures before tidying."""
    after: Tidiness
    """Figures after tidying, before rare colours were given up."""
    given_up: int = 0
    """How many rare colours were given up."""
    absent: tuple[str, ...] = ()
    """Names of colours that were to be in, and that no bead has."""
    no_ground: bool = False
    """Whether a ground was given that no cell looks like."""


class _Painted(NamedTuple):
    """Colours chosen for cells."""

    tints: tuple[Tint, ...]
    labels: Ints
    exists: Bools
    """Which tint may be had in which size, shape (tints, levels)."""


def coloured_each(work: Work, options: Options, numbers: Sequence[int]) -> Iterator[Finished]:
    """Colour a work with at most so many colours, for each of several numbers in their order.

    Parameters
    ----------
    work
        What is to be coloured.
    options
        Palette, colours to keep and to leave out, ground, tidying; the number of colours in it is not used.
    numbers
        How many colours, or beads to buy, at the most.

    Raises
    ------
    BadChoiceError
        When the palette cannot serve a size, or the wishes contradict each other.
    """
    paint = _free if options.palette is None else _from_palette
    for painted in paint(work, options, numbers):
        yield _finished(work, painted, options)


def _finished(work: Work, painted: _Painted, options: Options) -> Finished:
    palette_lab = np.array([tint.lab for tint in painted.tints])
    tidy = tidied(
        work.cells_lab,
        palette_lab,
        painted.labels,
        work.grid,
        strength=options.tidy,
        levels=work.levels,
        ink=work.ink,
        allowed=painted.exists,
    )
    background = _background(work, options)
    if work.whole is not None:
        work, tidy = _spread(work, work.whole, painted, tidy, options)
    labels, errors = tidy.labels, tidy.errors
    wanted = _wanted(painted.tints, options)
    if options.fewest > 1:
        allowed = painted.exists[:, work.levels].T
        labels = without_rare(work.cells_lab, palette_lab, labels, options.fewest, allowed, spared=wanted)
        errors = np.asarray(ciede2000(work.cells_lab, palette_lab[labels]), dtype=np.float64)
    beads, cells = assemble_beads(painted.tints, labels, work.levels, work.bead_sizes)
    used = np.bincount(labels, minlength=len(painted.tints)) > 0
    given_up = len(np.unique(tidy.labels)) - int(used.sum())
    present = {name for tint, is_used in zip(painted.tints, used, strict=True) if is_used for name in _names(tint)}
    no_ground = background is not None and not background.any()
    absent = tuple(colour.name or colour.srgb for colour in options.keep if not present & _names(colour))
    return Finished(Coloured(beads, cells, errors), tidy.before, tidy.after, given_up, absent, no_ground)


def least_number(work: Work, options: Options) -> int:
    """Return how many colours, or beads to buy, a work takes at least; errors as in `coloured_each`."""
    if options.palette is None:
        return max(1, len(_given(options)))
    palette, cells, wishes = _offered(work, options)
    return fewest_possible(cells, palette, work.bead_sizes, wishes)


def _names(colour: Tint | Given) -> set[str]:
    """Return what a colour is known by."""
    return {known for known in (folded(colour.name), colour.srgb) if known}


def _wanted(tints: tuple[Tint, ...], options: Options) -> Bools:
    """Tell which tints the user asked for, shape (tints,)."""
    asked = {name for colour in options.keep for name in _names(colour)} | {options.ground}
    return np.array([bool(_names(tint) & asked) for tint in tints])


def _spread(work: Work, whole: Whole, painted: _Painted, tidy: Tidied, options: Options) -> tuple[Work, Tidied]:
    """Lay coloured rounds over the whole work; its plain beads get one colour, which is no error."""
    grid, levels = whole.grid, whole.levels
    plain = _plain(whole, painted, tidy.labels, options)
    before, labels = (whole.spread(each, plain) for each in (painted.labels, tidy.labels))
    tints_lab = np.array([tint.lab for tint in painted.tints])
    rough = np.asarray(ciede2000(work.cells_lab, tints_lab[painted.labels]), dtype=np.float64)
    errors = whole.spread(tidy.errors, 0.0)
    cells_lab = whole.spread(work.cells_lab, tints_lab[plain])
    figures = tidiness(before, levels, whole.spread(rough, 0.0), grid), tidiness(labels, levels, errors, grid)
    return Work(grid, work.bead_sizes, cells_lab, levels, None), Tidied(labels, errors, *figures)


def _plain(whole: Whole, painted: _Painted, labels: Ints, options: Options) -> int:
    """Return the colour of plain beads: the ground, which the first cell shows then, or the commonest flat one."""
    if options.ground is not None:
        return int(painted.labels[0])
    spread = whole.spread(labels, -1)
    flat = spread[(spread >= 0) & (whole.levels == 0)]
    counts = np.bincount(flat, minlength=len(painted.tints))
    if (whole.source < 0).any() and not painted.exists[:, 0].any():
        raise BadChoiceError("no colour of the work is made in the base size for plain rows; give --ground a colour")
    return int(np.where(painted.exists[:, 0], counts, -1).argmax())


def _free(work: Work, options: Options, numbers: Sequence[int]) -> Iterator[_Painted]:
    """Work colours out from the picture, those given beside them."""
    given = _given(options)
    codes = np.array([codes_from_hex(colour.srgb) for colour in given], dtype=np.uint8).reshape(-1, 3)
    for chosen in _chosen_each(work.cells_lab, codes, numbers):
        tints = _named(described(chosen.codes), given)
        labels = _with_ground(work, options, tints, chosen.labels)
        yield _Painted(tints, labels, np.ones((len(tints), len(work.bead_sizes.sizes)), dtype=bool))


def _chosen_each(cells_lab: Floats, given: NDArray[np.uint8], numbers: Sequence[int]) -> Iterable[Chosen]:
    if len(given):
        return (few_colours_beside(cells_lab, number, given) for number in numbers)
    if len(numbers) == 1:
        return (few_colours(cells_lab, numbers[0]),)
    return free_palettes(cells_lab, numbers)


def _given(options: Options) -> tuple[Given, ...]:
    ground = () if options.ground is None else (Given("", options.ground),)
    return tuple({colour.srgb: colour for colour in (*ground, *options.keep)}.values())


def _named(tints: tuple[Tint, ...], given: tuple[Given, ...]) -> tuple[Tint, ...]:
    """Give kept colours the names that the user gave them."""
    names = {colour.srgb: colour.name for colour in given if colour.name}
    words = numbered([names.get(tint.srgb, tint.name) for tint in tints])
    return tuple(tint._replace(name=name) for tint, name in zip(tints, words, strict=True))


def _with_ground(work: Work, options: Options, tints: tuple[Tint, ...], labels: Ints) -> Ints:
    """Give background cells the ground colour."""
    place = next((place for place, tint in enumerate(tints) if tint.srgb == options.ground), None)
    background = _background(work, options)
    return labels if place is None or background is None else np.where(background, place, labels)


def _background(work: Work, options: Options) -> Bools | None:
    """Tell which cells are flat and look like the ground; None where no ground is given."""
    if options.ground is None:
        return None
    ground = lab_from_codes(codes_from_hex(options.ground))
    return np.asarray((work.levels == 0) & (ciede2000(work.cells_lab, ground) <= NEAR_GROUND))


def _from_palette(work: Work, options: Options, numbers: Sequence[int]) -> Iterator[_Painted]:
    """Choose among the beads that exist."""
    palette, cells, wishes = _offered(work, options)
    for matched in choose_each(cells, palette, work.bead_sizes, numbers, wishes):
        tints = tuple(Tint(colour.srgb, colour.lab, colour.name, palette.name) for colour in matched.colours)
        exists = np.array([[c.is_made_in(size.name) for size in work.bead_sizes.sizes] for c in matched.colours])
        if options.count == "kinds":
            exists &= _bought(matched.labels, work.levels, exists.shape)
        yield _Painted(tints, matched.labels, exists)


def _offered(work: Work, options: Options) -> tuple[Palette, Cells, Wishes]:
    """Return the beads that exist, what they are for, and what is wished of them."""
    palette, kept = _with_kept(options)
    background = _background(work, options)
    ground = _ground_name(palette, work.bead_sizes, options) if background is not None and background.any() else ""
    wishes = Wishes(options.count, kept, options.never, ground)
    told = work.grid if work.whole is None else None  # of rounds worked out together nobody knows the rows
    return palette, Cells(work.cells_lab, work.levels, background if ground else None, told), wishes


def _bought(labels: Ints, levels: Ints, shape: tuple[int, ...]) -> Bools:
    """Tell which colours are bought in which size, so that no later change of a cell makes one to buy more."""
    bought = np.zeros(shape, dtype=bool)
    bought[labels, levels] = True
    return bought


def _with_kept(options: Options) -> tuple[Palette, tuple[str, ...]]:
    """Add kept colours that are given as such to the palette; they are taken to exist in every size."""
    palette = options.palette
    assert palette is not None  # noqa: S101 - the caller asks only then
    for colour in options.keep:
        if colour.srgb:
            palette = palette.with_entry(
                colour_from_hex(colour.name or colour.srgb, colour.srgb, (Supply(EVERY_SIZE),))
            )
    return palette, tuple(colour.name or colour.srgb for colour in options.keep)


def _ground_name(palette: Palette, bead_sizes: BeadSizes, options: Options) -> str:
    """Return the colour made in the flat size that is nearest to the ground; empty where there is none."""
    ground = lab_from_codes(codes_from_hex(options.ground or ""))
    never = {folded(name) for name in options.never}
    made = [c for c in palette.entries if c.is_made_in(bead_sizes.flat.name) and folded(c.name) not in never]
    return min(made, key=lambda colour: float(ciede2000(np.array(colour.lab), ground))).name if made else ""
