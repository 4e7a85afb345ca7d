"""The shape that a net takes: grown from flat in steps, then left to relax in stages.

Which of many near-equal shapes comes out is settled here and not by the descent: without small steps and
stiff beginnings the net crumples, or dimples at the peak.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.surface.descent import Descent, banded_cholesky, descend
from convert.surface.energy import Energy, bend_matrix, difference_matrix
from convert.surface.ground import Ground
from convert.surface.net import Net

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

BENDING = 0.01
"""The weight of a hinge's bend squared beside a contact's strain squared."""

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

MOST_STEPS = 4000
"""A stage that takes more has not come to rest."""


class Stage(NamedTuple):
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


STAGES = (
    Stage(0.25, 30, 0.3, 1, 1e-2),
    Stage(0.5, 30, 0.3, 1, 1e-2),
    Stage(0.75, 30, 0.3, 1, 1e-2),
    Stage(1, 30, 0.3, 1, 1e-2),
    Stage(1, 10, 0.03, 1, 1e-2),
    Stage(1, 3, 0.01, 0, 1e-2),
    Stage(1, 1, 0.001, 0, 5e-8),
)


def relax(
    net: Net,
    start_mm: Floats,
    *,
    flat_rest_mm: Floats,
    hold: Floats,
    rise: Floats,
    ground: Ground,
    bending: float = BENDING,
    progress: Callable[[str], None] = lambda _: None,
) -> Descent:
    """Find the shape of a net.

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
    progress
        Told what is being done.
    """
    # The limit below reaches only libraries that are loaded by then.
    from scipy import linalg, sparse  # noqa: F401
    from threadpoolctl import threadpool_limits

    order = _narrow_order(net, start_mm)
    task = _Task.of(
        _renumbered(net, order),
        start_mm[:, order],
        flat_rest_mm=flat_rest_mm,
        hold=hold[order],
        rise=rise[order],
        ground=ground,
    )
    centres = task.lifted_mm
    steps, converged = 0, True
    # More threads add in another order, and wait for each other on a busy machine.
    with threadpool_limits(limits=1, user_api="blas"):
        for place, stage in enumerate(STAGES, start=1):
            progress(f"surface, stage {place} of {len(STAGES)}")
            centres, taken, converged = task.settle(stage, centres, bending)
            steps += taken
    back = np.empty_like(centres)
    back[:, order] = centres
    return Descent(back, steps, converged)


@dataclass(frozen=True, eq=False, slots=True)
class _Task:
    """What stays the same from stage to stage; ``unit`` is the mean contact of flat work, in mm."""

    net: Net
    difference: Any
    flat_rest_mm: Floats
    hold: Floats
    load: Floats
    floor: float
    lifted_mm: Floats
    ground: Ground
    unit: float

    @classmethod
    def of(
        cls, net: Net, start_mm: Floats, *, flat_rest_mm: Floats, hold: Floats, rise: Floats, ground: Ground
    ) -> "_Task":
        unit = float(flat_rest_mm.mean())
        rise = rise / (rise.max() or 1.0)
        held = bool(hold.any())
        load = LOAD / unit * (rise if held else _balanced(rise, start_mm))
        lifted = start_mm + LIFT * unit * rise * ground.height(start_mm)[1]
        floor = FLOOR / unit**2 if held else 0.0
        return cls(
            net=net,
            difference=difference_matrix(net),
            flat_rest_mm=flat_rest_mm,
            hold=hold,
            load=load,
            floor=floor,
            lifted_mm=lifted,
            ground=ground,
            unit=unit,
        )

    def settle(self, stage: Stage, centres: Floats, bending: float) -> Descent:
        """Go from some centres to rest in one stage."""
        net = self.net.with_rest(self.flat_rest_mm ** (1 - stage.grown) * self.net.rest_mm**stage.grown)
        energy = Energy(
            net=net,
            difference=self.difference,
            bend=bend_matrix(net),
            bending=bending * stage.stiff,
            spring=stage.spring / self.unit**2 * self.hold,
            floor=self.floor,
            load=stage.load * self.load,
            ground=self.ground,
        )
        return descend(
            energy.value_and_gradient,
            banded_cholesky(self.constant_matrix(energy)).solve,
            centres,
            # Soft cloth still creeps where stiff cloth is at rest.
            tolerance_mm=stage.rest * min(1.0, bending / BENDING) * self.unit,
            longest_mm=LONGEST * self.unit,
            most=MOST_STEPS,
        )

    def constant_matrix(self, energy: Energy) -> Any:
        """Return a matrix that is nowhere much below the Hessian: every contact as stiff across as along."""
        from scipy.sparse import diags_array

        contacts = self.difference.T @ diags_array(1 / energy.net.rest_mm**2) @ self.difference
        held = diags_array(energy.spring + SHIFT / self.unit**2)
        return contacts + energy.bending * (energy.bend.T @ energy.bend) + held


def _balanced(load: Floats, start_mm: Floats) -> Floats:
    """Take from a load its force and moment, which would carry the whole work off."""
    plane = np.stack([np.ones_like(load), *(start_mm[:2] - start_mm[:2].mean(axis=1, keepdims=True))])
    moving: Floats = np.linalg.lstsq(plane.T, load, rcond=None)[0] @ plane
    return load - moving


def _narrow_order(net: Net, start_mm: Floats) -> Ints:
    """Return the beads ordered along the rows or along the columns, whichever keeps the band narrow."""
    x, y = start_mm[:2]
    orders = np.lexsort((x, y)), np.lexsort((y, x))
    return min(orders, key=lambda order: _band(net, order))


def _band(net: Net, order: Ints) -> int:
    renumbered = _renumbered(net, order)
    joined = renumbered.hinges if len(net.hinges) else renumbered.contacts
    return int(np.ptp(joined, axis=1).max(initial=0))


def _renumbered(net: Net, order: Ints) -> Net:
    rank = np.empty_like(order)
    rank[order] = np.arange(order.size)
    return replace(net, contacts=rank[net.contacts], triangles=rank[net.triangles], hinges=rank[net.hinges])
