from collections.abc import Callable

import pytest

from shared.design import Design

Places = dict[tuple[float, float], int]


def _placed(design: Design) -> Places:
    grid, flat = design.grid, design.bead_sizes.flat
    cells = iter(design.cells.tolist())
    found = {}
    for row in range(1, grid.rows + 1):
        for column in range(1, grid.columns + 1):
            if (grid.columns // grid.drop - (column + grid.drop - 1) // grid.drop + row) % 2 == 1:
                right = column if grid.hand == "right" else grid.columns + 1 - column
                down = row if grid.start == "top" else grid.rows + 1 - row
                found[round((right - 0.5) * flat.length_mm, 3), round(down * flat.diameter_mm / 2, 3)] = next(cells)
    return found


@pytest.fixture(scope="session")
def placed() -> Callable[[Design], Places]:
    """Which bead lies where, in mm from the work's corner, worked out from the definition of flat peyote alone."""
    return _placed
