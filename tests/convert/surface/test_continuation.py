"""Nets with the metric of a known surface of revolution must take its shape.

The spherical cap is the stereographic metric of the sphere, scale 1 / (1 + r²/4R²), tan(θ/2) = r/2R, and its
height R (1 - cos θ): M. do Carmo, "Differential Geometry of Curves and Surfaces", 1976, or any other handbook.
The two smallest and flattest caps bend a tenth as stiffly as usual: few beads are thick for their size, and lie
flatter than their metric (9 x 15 beads by 18 %, 17 x 27 by 5 %); all others bend as the product lets them.
"""

import numpy as np
import pytest
from scipy.integrate import quad
from strategies import SIZES

from convert.surface.continuation import BENDING, Cloth, relax
from convert.surface.spring_net import make_net
from convert.surface.support import Tabletop
from shared.grid import Grid


def revolved(columns, rows, scale_of, bending=BENDING):
    """Solve flat work whose beads are scaled by their distance from the middle; return distances and depths."""
    grid = Grid(columns, rows)
    net = make_net(grid, SIZES, np.zeros(grid.count, dtype=int))
    flat = Tabletop().lay(grid.centres_mm(1.3, 1.6).T)
    middle = (flat[:2].min(axis=1) + flat[:2].max(axis=1)) / 2
    distance = np.hypot(*(flat[:2] - middle[:, None]))
    inside = np.abs(flat[:2] - middle[:, None]).max(axis=1).min()
    scale = scale_of(distance, inside)
    first, second = net.contacts.T
    cloth = Cloth(
        net=net.with_rest(net.rest_mm * np.sqrt(scale[first] * scale[second])),
        start_mm=flat,
        flat_rest_mm=net.rest_mm,
        hold=np.zeros(grid.count),
        rise=np.log(scale / scale.min()),
        ground=Tabletop(),
        bending=bending,
    )
    found = relax(cloth)
    assert found.converged
    near = distance.argmin()
    rim = np.abs(distance - inside) < 0.6
    return distance[near], distance[rim], found.centres[2, near] - found.centres[2, rim]


@pytest.mark.parametrize(
    ("columns", "rows", "half_angle"),
    [*((w, r, angle) for w, r in ((9, 15), (17, 27), (33, 53)) for angle in (17, 45, 83)), (65, 105, 83)],
)
def test_stereographic_scale_gives_a_spherical_cap(columns, rows, half_angle):
    def radius(inside):
        return inside / (2 * np.tan(np.radians(half_angle) / 2))

    kept = []

    def scale(distance, inside):
        kept.append(radius(inside))
        return 1 / (1 + distance**2 / (4 * radius(inside) ** 2))

    near, rim, depth = revolved(columns, rows, scale, BENDING / 10 if columns < 20 and half_angle < 20 else BENDING)

    def height(distance):
        return kept[0] * (1 - np.cos(2 * np.arctan(distance / (2 * kept[0]))))

    assert depth.mean() == pytest.approx((height(rim) - height(near)).mean(), rel=0.01)


@pytest.mark.parametrize("power", [0.75, 0.9])
def test_a_smoothed_cone_takes_the_shape_of_its_profile(power):
    # Scale (r² + a²)^((p-1)/2): a cone whose sine at the tip is p, rounded over a; its height by quadrature.
    rounded = 4.0
    shrink = (power - 1) / 2

    def scale(distance, inside):
        return ((distance**2 + rounded**2) / (inside**2 + rounded**2)) ** shrink

    near, rim, depth = revolved(33, 53, scale)
    inside = 33 / 2 * 1.3 - 0.65

    def steep(distance):
        outward = 1 + 2 * shrink * distance**2 / (distance**2 + rounded**2)
        return scale(distance, inside) * np.sqrt(1 - outward**2)

    expected = [quad(steep, near, distance)[0] for distance in rim]
    assert depth.mean() == pytest.approx(np.mean(expected), rel=0.01)
