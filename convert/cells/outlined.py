"""Flat areas with lines round them: the cells of the flat areas, and the drawn lines laid over those."""

from functools import partial
from typing import NamedTuple

import numpy as np

from convert.cells.line_art import Drawn, sketch_cells
from convert.cells.logo import logo_cells
from convert.cells.mean_shift import unify_shades
from convert.cells.supersample import View
from shared.arrays import Bools, Floats, Ints
from shared.ciede2000 import ciede2000
from shared.colour import lab_from_linear, lightness_from_linear
from shared.grid import Grid
from shared.plural import counted

CHANGED = 10.0
"""CIEDE2000 between a bead's ink and its flat colour, above which the flat areas alone have lost the line."""

_SHARE_OF_CONTRAST = 0.55
"""See `find_ink`: more than in a sketch, whose ground shows on both sides of a line, for here a dark area narrower than
two beads between two lines, such as a trunk, must not be taken for part of them. At 0.7 thin lines begin to break."""

_FULLEST = 0.25
"""Share of the beads of a pen that give it its colour: those with most ink. Where a line is hardly a pixel wide the
others show the paper through it, and the line would come out pale between areas in full colour."""

_OTHER_PAINT = 6.0
"""CIEDE2000 from the ground from which an area has another colour."""

_DOZEN, _NEAR = 12, 4.0
"""Colours that a drawing is painted with, and how near in Lab a bead must be to one."""

_TRIAL_COLUMNS = 25
"""Columns of the work on which ink is tried, on the shorter side. Always as many, so that a drawing is of one style
whatever it is made as; and few, since on many columns the flat areas keep a broad line by themselves."""

_SMALL = 16
"""A stroke of fewer beads is a feature such as an eye; longer ones are outlines, which may well run side by side."""


class Ink(NamedTuple):
    """What lines would add to the flat areas of a picture."""

    share: float
    """Share of the beads of a trial that the commonest ink changes."""
    of_all: float
    """As a share of the beads that any ink changes."""
    painted: float
    """Share of the beads of the trial that are not ink, and not of the ground's colour."""
    tinted: float
    """Share of them that differ from the ground in hue or chroma, not only as a shadow does."""
    few: float
    """Share of the beads that are not ink in a dozen colours."""
    dark_ground: bool
    """Whether the lines are lighter than what is about them."""


def outlined_cells(view: View, grid: Grid, *, dark_ground: bool) -> Drawn:
    """Return the colours of the beads, the flat areas' but for ink, and which of them are ink; see `sketch_cells`."""
    drawn = _sketch(view, grid, dark_ground=dark_ground)
    linear = np.where(drawn.ink[:, None], drawn.linear, logo_cells(view, grid))
    return drawn._replace(linear=linear)


def try_ink(view: View, grid: Grid, *, dark_ground: bool) -> Ink:
    """Lay ink over the flat areas of a small work of the same picture, and measure what it changes.

    Only the commonest ink counts: a drawing is outlined with one pen, whereas the narrow ends of flat areas, which
    are found as ink too, have as many colours as the areas.

    Parameters
    ----------
    view
        The picture and the place of the work on it.
    grid
        The lattice of the work, which tells the proportions of a bead.
    dark_ground
        Whether light lines are tried as well.
    """
    columns = round(_TRIAL_COLUMNS * max(1, view.window.width / view.window.height))
    small = Grid(columns, max(2, round((grid.rows + 1) * columns / grid.columns) - 1))
    flat = lab_from_linear(logo_cells(view, small))
    tried = (False, True) if dark_ground else (False,)
    return max((_measure(view, small, flat, light=light) for light in tried), key=lambda ink: ink.share)


def _measure(view: View, grid: Grid, flat_lab: Floats, *, light: bool) -> Ink:
    drawn = _sketch(view, grid, dark_ground=light)
    changed = drawn.ink & (ciede2000(flat_lab, lab_from_linear(drawn.linear)) > CHANGED)
    _, counts = np.unique(drawn.linear[changed], axis=0, return_counts=True)
    most, areas = int(counts.max(initial=0)), flat_lab[~drawn.ink]
    ground = np.median(areas, axis=0) if len(areas) else np.zeros(3)
    painted = ciede2000(areas, ground) > _OTHER_PAINT
    tinted = np.linalg.norm((areas - ground)[:, 1:], axis=1) > _OTHER_PAINT
    shares = np.array([most, painted.sum(), tinted.sum()]) / grid.count
    return Ink(shares[0], most / max(1, counts.sum()), shares[1], shares[2], _share_of_few(areas), light)


def _share_of_few(lab: Floats) -> float:
    """Return the share of colours that are near a dozen of them, each in turn the one that most of the rest are near."""
    left = lab
    for _ in range(_DOZEN):
        if len(left):
            near = ((left[:, None] - left) ** 2).sum(axis=2) <= _NEAR**2
            left = left[~near[near.sum(axis=1).argmax()]]
    return 1 - len(left) / max(1, len(lab))


def _sketch(view: View, grid: Grid, *, dark_ground: bool) -> Drawn:
    unify = partial(_unify_pens, dark_ground=dark_ground)
    return sketch_cells(view, grid, dark_ground=dark_ground, share_of_contrast=_SHARE_OF_CONTRAST, unify=unify)


def _unify_pens(linear: Floats, *, dark_ground: bool) -> Floats:
    """Bring inks to the few pens that drew them, each as dark as its fullest strokes (or as light)."""
    unified = unify_shades(linear)
    lightness = lightness_from_linear(linear) * (-1 if dark_ground else 1)
    for pen in np.unique(unified, axis=0):
        beads = np.flatnonzero((unified == pen).all(axis=1))
        fullest = beads[np.argsort(lightness[beads], kind="stable")[: max(1, round(_FULLEST * len(beads)))]]
        unified[beads] = linear[fullest].mean(axis=0)
    return unified


def tell_crowded(drawn: Drawn, grid: Grid) -> tuple[str, ...]:
    """Tell of small features that run into the line next to them, because there is no bead between."""
    places = _places_of_parts(drawn.crowded & (drawn.stroke_area < _SMALL), grid)
    if not len(places):
        return ()
    down, right = places[0] / (grid.rows + 1, grid.columns)
    where = f"{counted(len(places), 'place')}, first {100 * right:.0f} % across and {100 * down:.0f} % down"
    return (f"small features under two beads wide run into the lines next to them in {where}; more columns part them",)


def _places_of_parts(chosen: Bools, grid: Grid) -> Ints:
    """Return where the first bead of each connected part lies, shape (parts, 2)."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    beads, place = np.nonzero(chosen[:, None] & (grid.neighbours >= 0))
    beside = grid.neighbours[beads, place]
    both = chosen[beside]
    links = coo_array((both[both], (beads[both], beside[both])), shape=(grid.count, grid.count))
    _, part = connected_components(links, directed=False)
    _, first = np.unique(part[chosen], return_index=True)
    return grid.place_of[np.flatnonzero(chosen)[first]]
