"""What the work lies on: a tabletop, or a wrist.

Centres have the shape (3, beads). Unrolled, a bead has three figures: x, its way along the ground, its height.
"""

from dataclasses import dataclass

import numpy as np

from shared.arrays import Floats


@dataclass(frozen=True, slots=True)
class Tabletop:
    """A level table: x and y along it, z up."""

    def lay(self, flat_mm: Floats) -> Floats:
        """Return flat work, shape (2, beads) as x, y, lying on the table, shape (3, beads): z is 0."""
        return np.stack([*flat_mm, np.zeros_like(flat_mm[0])])

    def unroll(self, centres: Floats) -> Floats:
        """Return x, the way along the ground, and the height of each centre, shape (3, beads): as they are."""
        return centres

    def height(self, centres: Floats) -> tuple[Floats, Floats]:
        """Return the height of each centre, z, shape (beads,), and the way up there, shape (3, beads)."""
        up = np.zeros_like(centres)
        up[2] = 1
        return centres[2], up

    def straighten(self, centres: Floats, start: Floats) -> Floats:
        """Return the centres moved as a whole, back to where they started from.

        Shifted in the plane, and turned until the beads of a column lie below each other on average.
        """
        middle, goal = centres[:2].mean(axis=1, keepdims=True), start[:2].mean(axis=1, keepdims=True)
        # Within a column beads differ in y only; from column to column they stagger, which says nothing of the turn.
        flat, (x, y) = start[:2] - goal, centres[:2] - middle
        column = np.unique(start[0], return_inverse=True)[1]
        below = flat[1] - (np.bincount(column, flat[1]) / np.bincount(column))[column]
        # The turn that brings the columns nearest to upright in the least squares has this cosine and this sine.
        along, across = float(y @ below), float(x @ below)
        if not below.any():  # two rows: one bead to a column
            along, across = float(x @ flat[0] + y @ flat[1]), float(x @ flat[1] - y @ flat[0])
        cosine, sine = np.array([along, across]) / (np.hypot(along, across) or 1.0)
        turned = np.stack([cosine * x - sine * y, sine * x + cosine * y])
        return np.concatenate([turned + goal, centres[2:]])


@dataclass(frozen=True, slots=True)
class Wrist:
    """A round wrist, its axis along x at y = 0 and z = -radius; the way along it is an arc.

    Parameters
    ----------
    radius_mm
        From the axis to the centres of beads that lie on it.
    """

    radius_mm: float

    def lay(self, flat_mm: Floats) -> Floats:
        """Wrap y round the wrist, its middle on top."""
        x, y = flat_mm
        angle = (y - (y.min() + y.max()) / 2) / self.radius_mm
        return np.stack([x, self.radius_mm * np.sin(angle), self.radius_mm * (np.cos(angle) - 1)])

    def unroll(self, centres: Floats) -> Floats:
        """Return x, the arc from the top, and the height over the resting radius."""
        x, y, z = centres
        arc = self.radius_mm * np.arctan2(y, z + self.radius_mm)
        return np.stack([x, arc, self.height(centres)[0]])

    def height(self, centres: Floats) -> tuple[Floats, Floats]:
        """Return the height over the resting radius, and the way out."""
        y, z, out = self._about_axis(centres)
        return out - self.radius_mm, np.stack([np.zeros_like(y), y / out, z / out])

    def straighten(self, centres: Floats, start: Floats) -> Floats:
        """Shift along the axis and turn about it until both agree with the start on average."""
        y, z, _ = self._about_axis(centres)
        v, w, _ = self._about_axis(start)
        angle = np.arctan2(float(z @ v - y @ w), float(y @ v + z @ w))
        turned = np.cos(angle) * y + np.sin(angle) * z, np.cos(angle) * z - np.sin(angle) * y
        return np.stack([centres[0] + start[0].mean() - centres[0].mean(), turned[0], turned[1] - self.radius_mm])

    def _about_axis(self, centres: Floats) -> tuple[Floats, Floats, Floats]:
        y, z = centres[1], centres[2] + self.radius_mm
        # On the axis itself there is no way outwards: the floor, in mm, keeps divisions by the distance finite.
        return y, z, np.maximum(np.hypot(y, z), 1e-9)


Support = Tabletop | Wrist
"""What the work lies on."""
