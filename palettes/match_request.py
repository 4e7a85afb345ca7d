"""What is to be matched with beads, and how the choice is to be limited."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from shared.grid import Grid

Count = Literal["colours", "kinds"]


@dataclass(frozen=True, slots=True, eq=False)
class CellsToMatch:
    """Cells that are to get beads.

    Parameters
    ----------
    lab
        CIELAB of what each is to look like, shape (cells, 3).
    levels
        The level of each, shape (cells,).
    ground
        Which of them take the ground colour of the wishes whatever they look like, shape (cells,); None for none.
    grid
        Where they lie, to say so in errors; None when that is not known.

    Raises
    ------
    ValueError
        When the shapes do not fit together.
    """

    lab: NDArray[np.float64]
    levels: NDArray[np.int64]
    ground: NDArray[np.bool_] | None = None
    grid: Grid | None = None

    def __post_init__(self) -> None:
        count = len(self.levels)
        of_ground = count if self.ground is None else len(self.ground)
        of_grid = count if self.grid is None else self.grid.count
        if not (self.lab.shape == (count, 3) and count == of_ground == of_grid):
            raise ValueError(f"{self.lab.shape}, {count}, {of_ground} and {of_grid} cells do not fit together")


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the choice is to be limited.

    Parameters
    ----------
    count
        Whether the number given limits colours, or beads to buy: colours in sizes.
    keep
        Names of colours that are in, whatever they serve; they count too. When beads are counted, each is in in one
        size at least.
    never
        Names of colours that are left out.
    ground
        Name of the colour of the ground cells; empty for none. It counts too.
    """

    count: Count = "colours"
    keep: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    ground: str = ""
