"""Thin lines on a ground: a bead that enough of a line crosses takes the colour of the ink, the others the ground's."""

from collections.abc import Callable, Iterable
from functools import cache, partial
from typing import NamedTuple

import numpy as np

from convert.cells.footprints import Footprints, bead_starts, footprints
from convert.cells.mean_shift import unify_shades
from convert.cells.supersample import Band, Density, View, density_of, in_cells, sample_bands
from shared.arrays import Bools, Floats, Ints
from shared.colour import lightness_from_linear
from shared.grid import Contact, Grid

CORE = 0.75
"""Ink at least so dark, as a share of the darkest in the bead, gives the bead its colour."""

WIDEST_LINE = 2
"""What is narrower than so many beads is a line; what is broader is an area."""

LEAST_CONTRAST = 12.0
"""Lab lightness by which ink must be darker than the ground about it …"""

SHARE_OF_CONTRAST = 0.4
"""… and as a share of what the darkest within a bead of it is: the rim of a line or an area shows a mixture."""

REACH = 6
"""Half-rows away from which a sample can still matter: the element of the closing twice, and a bead."""

_STROKE_SEEN = 6
"""Half-rows beyond its own beads on which a band follows a stroke."""


class Drawn(NamedTuple):
    """A sketch on the beads."""

    linear: Floats
    """Colours in linear light, shape (beads, 3)."""
    ink: Bools
    """Which beads are ink, shape (beads,)."""
    crowded: Bools
    """Which of them touch ink of another stroke, shape (beads,)."""
    stroke_area: Floats
    """The size in beads of the stroke that has most of each bead, shape (beads,)."""


class _Measures(NamedTuple):
    """What the samples tell of some beads."""

    beads: Ints
    cover: Floats
    joined: Bools
    stroke_area: Floats
    ink_linear: Floats
    ground_linear: Floats


def sketch_cells(
    view: View,
    grid: Grid,
    *,
    dark_ground: bool = False,
    share_of_contrast: float = SHARE_OF_CONTRAST,
    unify: Callable[[Floats], Floats] = unify_shades,
) -> Drawn:
    """Return the colours of the beads, and which of them are ink.

    Parameters
    ----------
    view
        The picture.
    grid
        The lattice.
    dark_ground
        Lines are lighter than the ground, as chalk is.
    share_of_contrast
        See `find_ink`.
    unify
        Brings the inks of the beads, linear light of the shape (beads, 3), to few.
    """
    starts = bead_starts(grid)
    bands = sample_bands(view, grid, density_of(view, grid), margin=REACH + _STROKE_SEEN)
    find = partial(find_ink, dark_ground=dark_ground, share_of_contrast=share_of_contrast)
    found = [_measured(band, starts, grid, find, dark_ground=dark_ground) for band in bands]
    beads, *fields = (np.concatenate(parts) for parts in zip(*found, strict=True))
    cover, joined, stroke_area, ink_linear, ground_linear = (field[np.argsort(beads)] for field in fields)
    ink = ink_beads(cover, joined, stroke_area, grid)
    ground_linear[ink] = unify(ink_linear[ink])
    apart = (grid.neighbours >= 0) & ink[grid.neighbours] & ~joined
    return Drawn(ground_linear, ink, ink & apart.any(axis=1), stroke_area)


def _measured(
    band: Band, starts: Ints, grid: Grid, find: Callable[[Floats, Density], tuple[Bools, Floats]], *, dark_ground: bool
) -> _Measures:
    ground, core = parted(band, dark_ground=dark_ground)
    ink, contrast = find(core, band.density)
    prints = footprints(band, starts)
    cover = prints.total(ink) / prints.samples
    joined, stroke_area = _strokes(ink, prints, grid)
    darkest = prints.spread(prints.greatest(contrast))
    ink_linear = _mean_of_first([ink & (contrast >= CORE * darkest)], core, prints)
    ground_linear = _mean_of_first([~_widened(ink), ~ink, np.ones_like(ink)], ground, prints)
    return _Measures(prints.beads, cover, joined, stroke_area, ink_linear, ground_linear)


def _widened(ink: Bools) -> Bools:
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(ink, np.ones((3, 3), dtype=bool)))


def _mean_of_first(choices: Iterable[Bools], linear: Floats, prints: Footprints) -> Floats:
    """Return the mean over those samples of each bead that are in the first choice where it has any; else black."""
    means, without = np.zeros((len(prints.beads), 3)), np.ones(len(prints.beads), dtype=bool)
    for chosen in choices:
        count = prints.total(chosen)
        now = without & (count > 0)
        means[now] = prints.total(linear * chosen[..., None])[now] / count[now, None]
        without &= ~now
        if not without.any():
            break
    return means


def _strokes(ink: Bools, prints: Footprints, grid: Grid) -> tuple[Bools, Floats]:
    """Return whether the main stroke of each bead reaches each bead it touches, and the area of it in beads."""
    from scipy.ndimage import label

    strokes, count = label(ink, structure=np.ones((3, 3), dtype=int))
    areas = np.bincount(strokes.ravel(), minlength=count + 1) / prints.samples
    areas[0] = 0
    pairs, sizes = np.unique(prints.owners[ink] * (count + 1) + strokes[ink], return_counts=True)
    bead, stroke = np.divmod(pairs, count + 1)
    main = np.zeros(grid.count + 1, dtype=np.int64)
    rising = np.argsort(sizes, kind="stable")
    main[bead[rising]] = stroke[rising]
    mine, beside = main[prints.beads, None], grid.neighbours[prints.beads]
    sought = np.where((beside >= 0) & (mine > 0), beside * (count + 1) + mine, -1)
    return np.isin(sought, pairs), areas[mine[:, 0]]


def parted(band: Band, *, dark_ground: bool) -> tuple[Floats, Floats]:
    """Return the mean of each sample, and the darkest of its parts: a line finer than a sample shows there.

    On a dark ground the lightest part. Both have the shape (samples down, samples across, 3), linear light.
    """
    finer = band.density.finer
    cut = in_cells(band.linear, Density(finer, finer))
    parts = cut.reshape(*cut.shape[:2], finer**2, 3)
    if finer == 1:
        return parts[:, :, 0], parts[:, :, 0]
    lightness = lightness_from_linear(parts)
    most = lightness.argmax(axis=2) if dark_ground else lightness.argmin(axis=2)
    return parts.mean(axis=2), np.take_along_axis(parts, most[..., None, None], axis=2)[:, :, 0]


def find_ink(
    linear: Floats, density: Density, *, dark_ground: bool, share_of_contrast: float = SHARE_OF_CONTRAST
) -> tuple[Bools, Floats]:
    """Return which samples are ink, and by how much each is darker than the ground about it, in Lab lightness.

    The difference is the black-hat transform: a closing fills all that is darker than what is about it and narrower
    than its element (J. Serra, "Image Analysis and Mathematical Morphology", 1982).
    """
    from scipy.ndimage import grey_closing, minimum_filter

    lightness = lightness_from_linear(linear) * (-1 if dark_ground else 1)
    element = (2 * WIDEST_LINE * density.down + 1, WIDEST_LINE * density.across + 1)
    ground = grey_closing(lightness, size=element, mode="nearest")
    darkest = minimum_filter(lightness, size=(4 * density.down + 1, 2 * density.across + 1), mode="nearest")
    contrast = ground - lightness
    return contrast > np.maximum(LEAST_CONTRAST, share_of_contrast * (ground - darkest)), np.asarray(contrast)


ENOUGH_INK = 0.08
"""Share of its footprint that ink must cover to make a bead ink by itself."""

NEXT_TO_LARGEST = 0.6
"""And as a share of the cover of the bead beside it that has most: the others only see a line's edge."""

TRACE_OF_INK = 0.02
"""Less than this does not even link."""

_FAR_SIDE = (Contact.EARLIER_FAR, Contact.LATER_FAR)
_TAIL_SIDE = (Contact.LATER_TAIL, Contact.EARLIER_TAIL)
_RING = (Contact.EARLIER, *_FAR_SIDE, Contact.LATER, *_TAIL_SIDE)
_RING_BEFORE_PARTNER = (
    Contact.EARLIER,
    Contact.EARLIER_FAR,
    Contact.PARTNER_FAR,
    Contact.LATER_FAR,
    Contact.LATER,
    *_TAIL_SIDE,
)
_RING_BEHIND_PARTNER = (
    Contact.EARLIER,
    *_FAR_SIDE,
    Contact.LATER,
    Contact.LATER_TAIL,
    Contact.PARTNER_TAIL,
    Contact.EARLIER_TAIL,
)
"""Places in `Grid.neighbours` that go once round the bead; each touches the next. In a pair there is no bead between
the partner and those above and below, which it does not touch."""


def ink_beads(cover: Floats, joined: Bools, stroke_area: Floats, grid: Grid) -> Bools:
    """Return which beads become ink, shape (beads,).

    Beads with enough ink do. Of the others that have a trace, those go that are not needed, the faintest first. A
    bead is needed while it is the only link between parts of its stroke, or the end of one that has enough ink but
    for its neighbour's having more, or all that is left of a stroke large enough to be seen.

    Parameters
    ----------
    cover
        Share of each footprint that is ink, shape (beads,).
    joined
        Whether the stroke that has most of a bead also has part of each bead that it touches, shape (beads, contacts)
        in the order of `Grid.neighbours`.
    stroke_area
        Size of that stroke in beads, shape (beads,).
    grid
        The lattice.
    """
    largest = np.append(cover, 0.0)[grid.neighbours].max(axis=1)
    strong = (cover >= ENOUGH_INK) & (cover >= NEXT_TO_LARGEST * largest)
    weak = np.flatnonzero((cover >= TRACE_OF_INK) & ~strong)
    ink = [*(cover >= TRACE_OF_INK).tolist(), False]
    weak = weak[np.argsort(cover[weak], kind="stable")]
    around, same = grid.neighbours[weak].tolist(), joined[weak].tolist()
    seen = (stroke_area[weak] >= ENOUGH_INK).tolist()
    enough = (cover[weak] >= ENOUGH_INK).tolist()
    for bead, beside, held, large, much in zip(weak.tolist(), around, same, seen, enough, strict=True):
        ring = _ring(beside)
        near = tuple(ink[beside[place]] for place in ring)
        parts = _parts(near, tuple(held[place] for place in ring))
        ink[bead] = parts > 1 or (parts == 1 and much and sum(near) == 1) or (parts == 0 and large)
    return np.array(ink[:-1])


def _ring(beside: list[int]) -> tuple[int, ...]:
    """Return the places that go round a bead, which has these beads beside it."""
    if len(beside) == len(_RING):
        return _RING
    return _RING_BEFORE_PARTNER if beside[Contact.PARTNER_FAR] >= 0 else _RING_BEHIND_PARTNER


@cache
def _parts(ink: tuple[bool, ...], stroke: tuple[bool, ...]) -> int:
    """Count the runs of ink round a bead that hold part of its stroke."""
    if all(ink):
        return int(any(stroke))
    begin = ink.index(False)
    runs, within = 0, False
    for place in range(begin, begin + len(ink)):
        here = place % len(ink)
        if not ink[here]:
            within = False
        elif stroke[here] and not within:
            runs, within = runs + 1, True
    return runs
