"""What cannot be done with a palette, said so that it can be mended."""

import numpy as np

from palettes.match_request import CellsToMatch, Wishes
from palettes.palette import Palette, folded
from shared.arrays import Bools, Ints
from shared.beads import BeadSizes
from shared.errors import BadChoiceError
from shared.grid import Grid
from shared.plural import counted


def check_wishes(wishes: Wishes, palette: Palette) -> None:
    """Refuse names that the palette does not have, and a colour that is both wanted and not.

    Raises
    ------
    BadChoiceError
        Naming it.
    """
    never = {palette.place_of(name) for name in wishes.never}
    wanted = [(name, "to be kept") for name in wishes.keep]
    wanted += [(wishes.ground, "the ground")] if wishes.ground else []
    for name, wish in wanted:
        if palette.place_of(name) in never:
            raise BadChoiceError(f"{palette.find(name).name} is {wish} and is never to be used; take one of them back")


def check_sizes(cells: CellsToMatch, free: Bools, exists: Bools, palette: Palette, bead_sizes: BeadSizes) -> None:
    """Refuse work that needs a size in which no colour may be used.

    Parameters
    ----------
    cells
        The work.
    free
        Which cells are to be served, shape (cells,).
    exists
        Which entry may be used in which level, shape (entries, levels).
    palette, bead_sizes
        For their names.

    Raises
    ------
    BadChoiceError
        Naming each such size, how many cells need it, and where they lie.
    """
    levels = np.unique(cells.levels[free]).tolist()
    missing = {level: bead_sizes.sizes[level].name for level in levels if not exists[:, level].any()}
    if not missing:
        return
    needs = []
    for level, size in missing.items():
        where = np.flatnonzero(free & (cells.levels == level))
        needs.append(f"{size} ({counted(len(where), 'cell')}{_place(where, cells.grid)})")
    sizes = " and ".join(missing.values())
    raise BadChoiceError(
        f"no colour of {palette.name} can be had in {' or in '.join(needs)}; add one in {sizes} to the palette, "
        "take another palette, lower the height map there, or give bead sizes without that one with --measures"
    )


def check_kept(kept: list[int], levels: Ints, exists: Bools, palette: Palette, bead_sizes: BeadSizes) -> None:
    """Refuse to keep a colour that no cell could use.

    Raises
    ------
    BadChoiceError
        Naming the colour, its sizes and the sizes of the work.
    """
    for entry in kept:
        if not exists[entry, levels].any():
            colour = palette.entries[entry]
            work = ", ".join(bead_sizes.sizes[level].name for level in levels.tolist())
            raise BadChoiceError(
                f"{colour.name} is to be kept, but it is made in {', '.join(colour.sizes)} and the work is of {work}; "
                "keep another"
            )


def check_ground(ground: int, levels: Ints, exists: Bools, palette: Palette, bead_sizes: BeadSizes) -> None:
    """Refuse a ground colour that is not made in a size of the ground cells.

    Parameters
    ----------
    ground
        Its place in the palette.
    levels
        Those of the ground cells.
    exists, palette, bead_sizes
        As `check_sizes`.

    Raises
    ------
    BadChoiceError
        Naming the size.
    """
    for level in levels.tolist():
        if not exists[ground, level]:
            raise BadChoiceError(
                f"the ground is to be {palette.entries[ground].name}, which is not made in "
                f"{bead_sizes.sizes[level].name}; take another colour for the ground"
            )


def check_number(number: int, least: int, wishes: Wishes, palette: Palette) -> None:
    """Refuse a number too small to serve every size and hold what is kept.

    Parameters
    ----------
    number
        What is allowed.
    least
        What is needed.
    wishes, palette
        For what is counted, and the names.

    Raises
    ------
    BadChoiceError
        With the number that is needed.
    """
    if number >= max(least, 1):
        return
    what = "colour" if wishes.count == "colours" else "kind"
    names = dict.fromkeys(folded(name) for name in (*wishes.keep, wishes.ground) if name)
    kept = f", {', '.join(palette.find(name).name for name in names)} among them" if names else ""
    counting = "" if wishes.count == "colours" else " (a colour in two sizes is two kinds)"
    raise BadChoiceError(
        f"{counted(number, what)} cannot serve every size of the work; "
        f"{palette.name} needs {counted(max(least, 1), what)}"
        f"{kept}{counting}: allow at least {max(least, 1)}"
    )


def _place(cells: Ints, grid: Grid | None) -> str:
    if grid is None:
        return ""
    return f", {_span('row', grid.row_of[cells])}, {_span('column', grid.column_of[cells])}"


def _span(what: str, numbers: Ints) -> str:
    low, high = int(numbers.min()), int(numbers.max())
    return f"{what} {low}" if low == high else f"{what}s {low} to {high}"
