import json

import numpy as np
import pytest
from size_levels import rings
from strategies import LADDER

from convert.surface import large, solve
from convert.surface.coarse import CoarseWork
from convert.surface.measure import read_figures, strain
from convert.surface.prediction import predict
from convert.surface.surface_files import surface_json
from convert.surface.words import list_assumptions
from shared.grid import Grid


def domed():
    """Domes of the usual grading, none cut by an edge, in no symmetry."""
    grid = Grid(40, 120)
    centres = ((25, 11), (60, 11), (95, 11), (30, 28))
    return grid, rings(grid, *centres, radii=(0.5, 2.5, 4.5))


@pytest.mark.parametrize("wrist_mm", [None, 180])
def test_a_coarsened_net_gives_nearly_the_same_surface(monkeypatch, wrist_mm):
    grid, levels = domed()
    whole = solve.solve_surface(grid, LADDER, levels, wrist_mm=wrist_mm)
    monkeypatch.setattr(large, "MOST_ALONE", 0)
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    coarse = solve.solve_surface(grid, LADDER, levels, wrist_mm=wrist_mm)
    assert whole.coarsening is None
    assert coarse.coarsening.beads == 600
    assert coarse.coarsening.alone == 0
    assert coarse.converged
    one, other = read_figures(whole), read_figures(coarse)
    heights, rows, columns = (
        np.array([[getattr(dome, name) for dome in found.domes] for found in (one, other)])
        for name in ("height_mm", "peak_row", "peak_column")
    )
    assert np.abs(rows[1] - rows[0]).max() <= 2
    assert np.abs(columns[1] - columns[0]).max() <= 1
    assert heights[1] == pytest.approx(heights[0], rel=0.03)
    assert other.length_mm == pytest.approx(one.length_mm, abs=1.5)
    assert other.width_mm == pytest.approx(one.width_mm, abs=0.3)
    strains = [strain(each.net, each.centres_mm) for each in (whole, coarse)]
    assert np.abs(strains[1] - strains[0]).max() < 0.05
    assert np.sqrt(((strains[1] - strains[0]) ** 2).mean()) < 0.01


def test_what_is_symmetric_stays_so_on_a_coarsened_net(monkeypatch):
    grid = Grid(41, 101)
    monkeypatch.setattr(large, "MOST_ALONE", 0)
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    surface = solve.solve_surface(grid, LADDER, rings(grid, (51, 21), (21, 11), (21, 31), radii=(0.5, 2.5, 4.5)))
    x, _, z = surface.centres_mm.T
    mirror = grid.bead_at(grid.row_of, 42 - grid.column_of)
    assert z[mirror] == pytest.approx(z, abs=1e-2)
    assert x.max() + x.min() - x[mirror] == pytest.approx(x, abs=1e-2)


@pytest.mark.parametrize(("most", "groups", "told"), [(0, 0, "All domes are"), (9999, 1, "Domes in 1 group")])
def test_a_coarsened_net_is_told_of(monkeypatch, most, groups, told):
    grid, levels = domed()
    monkeypatch.setattr(solve, "MOST_WHOLE", 0)
    monkeypatch.setattr(large, "MOST_ALONE", most)
    prediction = predict(grid, LADDER, levels)
    summary = f"found on a coarsened net of 600 beads, {groups} of 1 group of domes bead by bead, then smoothed"
    assert summary in prediction.summary
    assumed = list_assumptions(prediction)
    assert any("about 2.0 by 2.0 beads" in line for line in assumed)
    assert [line.startswith(told) for line in assumed].count(True) == 1
    assert any("narrower than about 4 beads" in line for line in assumed) == (not groups)
    values = json.loads(surface_json(prediction, title="Limpets"))
    assert (values["coarse_beads"], values["assumptions"]) == (600, list(assumed))


@pytest.mark.parametrize("start", ["top", "bottom"])
@pytest.mark.parametrize(("columns", "rows"), [(31, 80), (32, 81), (30, 90)])
def test_patches_keep_even_work_and_even_slopes(columns, rows, start):
    """Of even values the mean is the value; a curved surface comes back from its values at coarse beads exactly."""
    coarsened = CoarseWork.of(Grid(columns, rows, start=start))
    assert coarsened.coarse.count == pytest.approx(coarsened.grid.count / 4, rel=0.1)
    assert coarsened.means(np.full(coarsened.grid.count, 1.6)) == pytest.approx(1.6, rel=1e-6)

    def curved(grid, length, diameter):
        x, y = grid.centres_mm(length, diameter).T
        return np.stack([0.3 * x - 0.1 * y + 1, 0.02 * (x - 9) ** 2 + 0.01 * x * y - 0.03 * (y - 12) ** 2])

    plane, bowl = coarsened.spread(curved(coarsened.coarse, coarsened.across, coarsened.along))
    true_plane, true_bowl = curved(coarsened.grid, 1, 1)
    assert plane == pytest.approx(true_plane, abs=1e-6)
    x, y = coarsened.grid.centres_mm(1, 1).T
    inner = (np.abs(x - columns / 2) < columns / 2 - 6) & (np.abs(y - rows / 4) < rows / 4 - 6)
    assert inner.sum() > 20
    assert bowl[inner] == pytest.approx(true_bowl[inner], abs=1e-3)
