"""Where the beads will not fit: three flags, and what the shape itself shows: walls that overhang, beads that overlap.

The limits are those of trials with the default bead sizes; see each. They are estimates until a sample is stitched.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

import numpy as np

from convert.surface.measure import group_numbers, strain
from convert.surface.overlap import find_overlaps
from convert.surface.spring_net import measures_mm
from convert.surface.surface import Surface
from shared.arrays import Bools, Floats, Ints
from shared.domes import raised_beads
from shared.grid import Grid

ProblemKind = Literal["skip", "strain", "width", "overhang", "overlap"]

SKIP = 0.45
"""Diameters in contact whose logarithms differ by more skip a size: one step is at most 0.36, two at least 0.63."""

TIGHT = 0.05
"""Neighbours nearer or further than they want to be by a greater share are tight to stitch, or show thread."""

BEYOND = 0.12
"""Tighter than in any pattern that keeps the size-step rule."""

VERTICAL = 1.0
"""Radius in beads times the step in the logarithm of the size: above this the wall passes the vertical."""

LEAN = 0.1
"""The sine of how far a wall may lean out past the vertical: less is within the model's own coarseness."""


@dataclass(frozen=True, slots=True)
class StitchProblem:
    """A place to look at before buying beads.

    Parameters
    ----------
    kind
        ``"skip"``: a size is skipped; ``"strain"``: neighbours too near or too far; ``"width"``: a raised area
        too wide for the step at its rim; ``"overhang"``: a wall leans out past the vertical; ``"overlap"``: beads that
        pass through one another.
    rows, columns
        First and last of the place.
    count
        How many contacts or pairs (beads of the area for ``"width"``).
    worst
        The largest figure that the limit of its kind is set for; strain with its sign.
    sentence
        What is wrong, and what to do.
    """

    kind: ProblemKind
    rows: tuple[int, int]
    columns: tuple[int, int]
    count: int
    worst: float
    sentence: str


def find_stitch_problems(surface: Surface) -> tuple[StitchProblem, ...]:
    """Return the places where the beads will not fit, those from sizes alone first.

    Of a shape that did not come to rest only sizes are judged.
    """
    areas = list(find_wide_areas(surface))
    wide = tuple(problem for problem, _ in areas)
    if not surface.converged:
        return (*find_skips(surface), *wide)
    told = np.zeros(surface.grid.count, dtype=bool)
    for _, members in areas:
        told[members] = True
    return (
        *find_skips(surface),
        *wide,
        *find_overhangs(surface, told=told),
        *find_tight(surface),
        *find_overlapping(surface),
    )


def find_skips(surface: Surface) -> tuple[StitchProblem, ...]:
    """Find contacts that skip a level, from the sizes alone."""
    thick = np.log(measures_mm(surface.bead_sizes, surface.levels)[1])[surface.net.contacts]
    jump = np.abs(thick[:, 0] - thick[:, 1])
    return tuple(
        place.problem(
            "skip",
            f"{_many(place.count, 'pair of neighbours skips', 'pairs of neighbours skip')} a size, "
            f"such as {_beads(surface, place.pair)}; {_between(surface, place.pair)}",
        )
        for place in _places(surface, surface.net.contacts[jump > SKIP], jump[jump > SKIP])
    )


def find_tight(surface: Surface) -> tuple[StitchProblem, ...]:
    """Find contacts that end up much shorter or longer than their beads want."""
    contacts = surface.net.contacts
    share = strain(surface.net, surface.centres_mm)
    tight = np.abs(share) > TIGHT
    pairs, shares = contacts[tight], share[tight]
    found = []
    for place in _places(surface, pairs, np.abs(shares)):
        sign = 1 if shares[(pairs == place.pair).all(axis=1)].item() > 0 else -1
        word = "pulled apart" if sign > 0 else "pressed together"
        much = "beyond what graded beads bear" if place.worst > BEYOND else "tight"
        text = (
            f"{_many(place.count, 'pair of neighbours is', 'pairs of neighbours are')} {much}, "
            f"{_beads(surface, place.pair)} {word} by {place.worst:.1%}; {_ease(surface.grid, place)}"
        )
        found.append(place.problem("strain", text, sign=sign))
    return tuple(found)


def find_overhangs(surface: Surface, *, told: Bools | None = None) -> tuple[StitchProblem, ...]:
    """Find walls that lean out past the vertical in the shape found, whatever the sizes alone promise.

    The walls of domes with beads in areas that are ``told`` of already, shape (beads,), are left out.
    """
    net = surface.net
    turned = _find_uprightness(surface, net.triangles)
    lean = -turned * (np.sign(np.median(turned)) or 1.0) if turned.size else turned
    at_contact = np.zeros(len(net.contacts))
    np.maximum.at(at_contact, net.sides, lean[:, None])
    found = []
    # All walls of one dome are one place.
    raised = raised_beads(surface.levels)
    dome = group_numbers(surface.grid.count, net.contacts[raised[net.contacts].all(axis=1)])
    spared = raised & np.isin(dome, dome[raised & told]) if told is not None else np.zeros_like(raised)
    spared[net.contacts[spared[net.contacts].any(axis=1)]] = True  # with the flat beads at its foot
    at_contact[spared[net.contacts].any(axis=1)] = 0.0
    out = at_contact > LEAN
    for place in _places(surface, net.contacts[out], at_contact[out], through=raised):
        text = (
            f"the wall leans out past the vertical, by {np.degrees(np.arcsin(place.worst)):.0f} degrees at most; "
            "beads there hide behind others, so grade the raised area over more rows, or make it smaller"
        )
        found.append(place.problem("overhang", text))
    return tuple(found)


def _find_uprightness(surface: Surface, triangles: Ints) -> Floats:
    """Return the cosine between each triangle's own way up and that of the ground, shape (triangles,)."""
    corner = surface.centres_mm[triangles]
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    up = surface.ground.height(corner.mean(axis=1).T)[1].T
    # A triangle whose corners lie in a line has no way up: the floor, in mm², makes it 0, which leans nowhere.
    return np.asarray((normal * up).sum(axis=1) / np.maximum(np.linalg.norm(normal, axis=1), 1e-12))


def find_overlapping(surface: Surface) -> tuple[StitchProblem, ...]:
    """Find beads that pass through one another."""
    found = find_overlaps(surface)
    return tuple(
        place.problem(
            "overlap",
            f"{_many(place.count, 'pair of beads passes', 'pairs of beads pass')} through one another, "
            f"{_beads(surface, place.pair)} most; "
            "the shape folds over there, so make the raised area smaller or grade it over more rows",
        )
        for place in _places(surface, found.pairs, found.depths)
    )


@dataclass(frozen=True, slots=True)
class _Place:
    rows: tuple[int, int]
    columns: tuple[int, int]
    count: int
    worst: float
    pair: tuple[int, int]

    def problem(self, kind: ProblemKind, text: str, *, sign: int = 1) -> StitchProblem:
        where = f"{_span('row', self.rows)}, {_span('column', self.columns)}"
        return StitchProblem(kind, self.rows, self.columns, self.count, sign * self.worst, f"{where}: {text}.")


def _places(surface: Surface, pairs: Ints, amount: Floats, *, through: Bools | None = None) -> list[_Place]:
    """Gather pairs into places whose beads touch, also through others, in the order of their first beads."""
    grid, contacts = surface.grid, surface.net.contacts
    involved = np.zeros(grid.count, dtype=bool) if through is None else through.copy()
    involved[pairs] = True
    joined = np.concatenate([pairs, contacts[involved[contacts].all(axis=1)]])
    group = group_numbers(grid.count, joined)[pairs[:, 0]]
    order = np.lexsort((-amount, group))
    parts = np.split(order, np.flatnonzero(np.diff(group[order])) + 1) if order.size else []
    return [_place(grid, pairs[part], float(amount[part[0]])) for part in sorted(parts, key=lambda p: pairs[p].min())]


def _place(grid: Grid, pairs: Ints, worst: float) -> _Place:
    rows, columns = grid.row_of[pairs], grid.column_of[pairs]
    return _Place(
        (int(rows.min()), int(rows.max())),
        (int(columns.min()), int(columns.max())),
        len(pairs),
        worst,
        (int(pairs[0, 0]), int(pairs[0, 1])),
    )


def find_wide_areas(surface: Surface) -> Iterator[tuple[StitchProblem, Ints]]:
    """Yield the raised areas too wide for the step at their rim, from the sizes alone, each with its beads.

    On a surface of revolution whose beads have the size s at a distance of r beads from the peak, the wall
    rises with a cosine of 1 + r dln s/dr; a step of one ring that takes it below zero bends the wall past
    the vertical. r is the greatest depth of an area, less the half bead of the rim.
    """
    size = np.log(np.multiply(*measures_mm(surface.bead_sizes, surface.levels))) / 2
    for level in range(int(surface.levels.min()) + 1, int(surface.levels.max()) + 1):
        yield from _find_wide_at(surface, size, surface.levels >= level, level)


def _find_wide_at(surface: Surface, size: Floats, area: Bools, level: int) -> Iterator[tuple[StitchProblem, Ints]]:
    grid, contacts = surface.grid, surface.net.contacts
    inner = contacts[area[contacts].all(axis=1)]
    group = np.where(area, group_numbers(grid.count, inner), -1)
    rim = contacts[area[contacts].sum(axis=1) == 1]
    inside = np.where(area[rim[:, 0]], rim[:, 0], rim[:, 1])
    step = np.zeros(grid.count)
    np.maximum.at(step, group[inside], np.abs(size[rim[:, 0]] - size[rim[:, 1]]))
    radius = np.zeros(grid.count)
    np.maximum.at(radius, group[area], _depth(grid, area)[area] - 0.5)
    for number in np.flatnonzero(radius * step > VERTICAL):
        members = np.flatnonzero(group == number)
        place = _place(grid, members[:, None].repeat(2, axis=1), float(radius[number] * step[number]))
        across, most = (2 * int(rings + 0.5) - 1 for rings in (radius[number], VERTICAL / step[number]))
        text = (
            f"the raised area of {surface.bead_sizes.sizes[level].name} and larger is about {across} beads across, "
            f"too wide for the step at its rim, and its wall passes the vertical; "
            f"make it at most {max(most, 1)} across, or use smaller beads in it"
        )
        yield place.problem("width", text), members


def _depth(grid: Grid, area: Bools) -> Ints:
    """Return how many contacts each bead of an area is from the nearest bead outside; the border is no outside."""
    depth, area = area.astype(np.int64), area.copy()
    members = area.nonzero()[0]
    while members.size:
        around = grid.neighbours[members]
        inner = (area[around] | (around < 0)).all(axis=1)
        if inner.all():
            break
        area[members[~inner]] = False
        members = members[inner]
        depth[members] += 1
    return depth


def _ease(grid: Grid, place: _Place) -> str:
    if place.columns[0] <= 2 or place.columns[1] >= grid.columns - 1:
        return "move the dome two columns in from the edge, or use smaller beads there"
    return "use the next smaller size there, or make the raised area a ring smaller"


def _between(surface: Surface, pair: tuple[int, int]) -> str:
    low, high = sorted(int(surface.levels[bead]) for bead in pair)
    missing = [f"a {size.name}" for size in surface.bead_sizes.sizes[low + 1 : high]]
    return f"put {' and '.join(missing) or 'a bead of a size between theirs'} between"


def _beads(surface: Surface, pair: tuple[int, int]) -> str:
    names = [surface.bead_sizes.sizes[surface.levels[bead]].name for bead in pair]
    places = [f"in row {surface.grid.row_of[bead]} column {surface.grid.column_of[bead]}" for bead in pair]
    return " and ".join(f"the {name} {place}" for name, place in zip(names, places, strict=True))


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


def _span(word: str, ends: tuple[int, int]) -> str:
    return f"{word} {ends[0]}" if ends[0] == ends[1] else f"{word}s {ends[0]} to {ends[1]}"
