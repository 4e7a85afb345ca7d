"""The shape that a net takes: grown from flat in steps, then left to relax in stages.

Which of many near-equal shapes comes out is settled here and not by the descent: without small steps and
stiff beginnings the net crumples, or dimples at the peak.
"""

from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np

from convert.progress import Progress, silent
from convert.surface.energy import Energy, bend_matrix, difference_matrix
from convert.surface.lbfgs import Descent, banded_cholesky, descend
from convert.surface.overlap import NO_STRUTS, Struts
from convert.surface.spring_net import Net
from convert.surface.support import Support
from shared.arrays import Floats, Ints

BENDING = 0.01
"""The weight of a hinge's bend squared, that of a contact's strain squared being 1."""

FLOOR = 0.05
"""The weight of depth below the ground, squared, in units of the bead."""

LOAD = 1e-3
"""The upward force on raised beads while the shape is sought, per unit of rise."""

LIFT = 0.1
"""How far raised beads start above the ground, in units of the bead per unit of rise."""

SHIFT = 4e-3
"""Added to the constant matrix, which would let the whole work slide."""

LONGEST = 0.5
"""No bead moves further in one step, in units of the bead."""

REST = 5e-8
"""At rest no bead wants to move by more, in units of the bead."""

MOST_STEPS = 4000
"""A stage that takes more has not come to rest."""


class RelaxStage(NamedTuple):
    """One station on the way.

    Parameters
    ----------
    grown
        How much of the sizes' growth has happened, 0 to 1.
    stiff
        Times the final bending.
    spring
        Weight of the height squared, in units of the bead.
    load
        Times the load.
    rest
        No bead wants to move by more, in units of the bead.
    """

    grown: float
    stiff: float
    spring: float
    load: float
    rest: float


RELAX_STAGES = (
    RelaxStage(0.25, 30, 0.3, 1, 1e-2),
    RelaxStage(0.5, 30, 0.3, 1, 1e-2),
    RelaxStage(0.75, 30, 0.3, 1, 1e-2),
    RelaxStage(1, 30, 0.3, 1, 1e-2),
    RelaxStage(1, 10, 0.03, 1, 1e-2),
    RelaxStage(1, 3, 0.01, 0, 1e-2),
    RelaxStage(1, 1, 0.001, 0, REST),
)


@dataclass(frozen=True, eq=False, slots=True)
class Cloth:
    """A net that is to take its shape.

    Parameters
    ----------
    net
        With the rest lengths of the finished work.
    start_mm
        Flat work lying on the ground, shape (3, beads).
    flat_rest_mm
        The lengths of the contacts there, from which the rest lengths grow, shape (contacts,).
    hold
        How much the ground holds each bead, 0 to 1, shape (beads,). With nothing held there is no ground,
        and the load is balanced so that it moves nothing as a whole.
    rise
        How much each bead is to be pushed up, 0 or more, on any scale, shape (beads,).
    ground
        What the work lies on.
    bending
        The weight of bending.
    """

    net: Net
    start_mm: Floats
    flat_rest_mm: Floats
    hold: Floats
    rise: Floats
    ground: Support
    bending: float = BENDING


def relax(cloth: Cloth, *, rest: float = REST, progress: Progress = silent) -> Descent:
    """Find the shape of a net from flat work on, its centres of shape (3, beads); its last stage ends at ``rest``."""
    task = _RelaxTask.of(cloth)
    stages = (*RELAX_STAGES[:-1], RELAX_STAGES[-1]._replace(rest=rest))
    return _walk(task, stages, task.lifted_mm, progress)


def settle(
    cloth: Cloth,
    centres_mm: Floats,
    *,
    struts: Struts = NO_STRUTS,
    rest: float = REST,
    progress: Progress = silent,
) -> Descent:
    """Let a shape come to rest in the last stage alone, from centres near rest, shape (3, beads); no words are told."""
    task = _RelaxTask.of(cloth)
    task = replace(task, struts=replace(struts, pairs=_rank(task.order)[struts.pairs]))
    stage = RELAX_STAGES[-1]._replace(rest=rest)
    return _walk(task, (stage,), centres_mm[:, task.order], lambda _: progress(""))


@dataclass(frozen=True, eq=False, slots=True)
class _RelaxTask:
    """What stays the same from stage to stage.

    The beads of the cloth stand in ``order``; ``unit`` is the mean contact of flat work bead by bead, in mm.
    """

    cloth: Cloth
    order: Ints
    difference: Any
    unit: float
    load: Floats
    lifted_mm: Floats
    struts: Struts = NO_STRUTS

    @classmethod
    def of(cls, cloth: Cloth) -> "_RelaxTask":
        """Prepare a cloth, its beads in the order that keeps the band narrow."""
        order = _narrow_order(cloth.net, cloth.start_mm)
        net, start, ground = _renumber(cloth.net, order), cloth.start_mm[:, order], cloth.ground
        unit = float(cloth.flat_rest_mm.mean())
        rise = cloth.rise[order] / (cloth.rise.max() or 1.0)
        return cls(
            cloth=replace(cloth, net=net, start_mm=start, hold=cloth.hold[order], rise=rise),
            order=order,
            difference=difference_matrix(net),
            unit=unit,
            load=LOAD / unit * (rise if cloth.hold.any() else _balance(rise, start)),
            lifted_mm=start + LIFT * unit * rise * ground.height(start)[1],
        )

    def settle(self, stage: RelaxStage, centres: Floats, progress: Progress) -> Descent:
        """Go from some centres to rest in one stage."""
        energy = self.energy(stage)
        return descend(
            energy.value_and_gradient,
            banded_cholesky(self.constant_matrix(energy)).solve,
            centres,
            # Soft cloth still creeps where stiff cloth is at rest.
            tolerance_mm=stage.rest * min(1.0, self.cloth.bending / BENDING) * self.unit,
            longest_mm=LONGEST * self.unit,
            most=MOST_STEPS,
            progress=progress,
        )

    def energy(self, stage: RelaxStage) -> Energy:
        """Return the energy of a stage."""
        cloth, grown = self.cloth, stage.grown
        # In equal steps of the logarithm: so every stage grows all sizes by about as many percent.
        net = cloth.net.with_rest(cloth.flat_rest_mm ** (1 - grown) * cloth.net.rest_mm**grown)
        return Energy(
            net=net,
            difference=self.difference,
            bend=bend_matrix(net),
            bending=cloth.bending * stage.stiff,
            spring=stage.spring / self.unit**2 * cloth.hold,
            floor=FLOOR / self.unit**2 if cloth.hold.any() else 0.0,
            load=stage.load * self.load,
            ground=cloth.ground,
            struts=self.struts,
        )

    def constant_matrix(self, energy: Energy) -> Any:
        """Return a matrix that is nowhere much below the Hessian: every contact as stiff across as along."""
        from scipy.sparse import diags_array

        contacts = self.difference.T @ diags_array(1 / energy.net.rest_mm**2) @ self.difference
        held = diags_array(energy.spring + SHIFT / self.unit**2)
        matrix = contacts + energy.bending * (energy.bend.T @ energy.bend) + held
        if not self.struts.pairs.size:
            return matrix
        net = self.cloth.net
        return matrix + self.struts.stiffness(net.beads, widest=_reach(net))


def _walk(task: _RelaxTask, stages: tuple[RelaxStage, ...], centres: Floats, progress: Progress) -> Descent:
    """Go through some stages, and put the beads back into the order of the grid."""
    steps, converged = 0, True
    with _one_thread():
        for place, stage in enumerate(stages, start=1):
            progress(f"surface, stage {place} of {len(stages)}")
            centres, taken, converged = task.settle(stage, centres, progress)
            steps += taken
    back = np.empty_like(centres)
    back[:, task.order] = centres
    return Descent(back, steps, converged)


def _one_thread() -> AbstractContextManager[Any]:
    """Keep linear algebra on one thread: more add in another order, and wait for each other on a busy machine."""
    # Loaded here, for the limit reaches only libraries that are loaded by then.
    from scipy import linalg, sparse  # noqa: F401
    from threadpoolctl import threadpool_limits

    limits: AbstractContextManager[Any] = threadpool_limits(limits=1, user_api="blas")
    return limits


def _balance(load: Floats, start_mm: Floats) -> Floats:
    """Take from a load its force and moment, which would carry the whole work off: the plane nearest to it."""
    plane = np.stack([np.ones_like(load), *(start_mm[:2] - start_mm[:2].mean(axis=1, keepdims=True))])
    moving: Floats = np.linalg.lstsq(plane.T, load, rcond=None)[0] @ plane
    return load - moving


def _narrow_order(net: Net, start_mm: Floats) -> Ints:
    """Return the beads ordered along the rows or along the columns, whichever keeps the band narrow.

    A banded factor costs beads times band squared: the short side of the work has to run innermost.
    """
    x, y = start_mm[:2]
    orders = np.lexsort((x, y)), np.lexsort((y, x))
    return min(orders, key=lambda order: _reach(_renumber(net, order)))


def _reach(net: Net) -> int:
    """Return how far apart in their order beads are that a hinge or a contact joins."""
    joined = net.hinges if len(net.hinges) else net.contacts
    return int(np.ptp(joined, axis=1).max(initial=0))


def _renumber(net: Net, order: Ints) -> Net:
    rank = _rank(order)
    return replace(net, contacts=rank[net.contacts], hinges=rank[net.hinges])


def _rank(order: Ints) -> Ints:
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    return rank
