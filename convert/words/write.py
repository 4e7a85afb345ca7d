"""Word rows: a design written as text that reads well and parses back exactly."""

from itertools import pairwise

import numpy as np

from shared.design import Design
from shared.grid import Grid


def rows_text(design: Design) -> str:
    """Write the word rows of a design, every row in full; the same design gives the same text.

    Parameters
    ----------
    design
        Its source palettes and provenance are left out: rows do not carry them.

    Returns
    -------
    str
        Two comments (the title and the kind of work), one line ``start bottom`` when row 1 is the bottom of the
        picture, one ``two-drop`` for such work, a line for each bead, then a line for each entry of `Grid.works` with
        its runs in needle order.
    """
    grid = design.grid
    lines = [f"# {design.title}", f"# {_kind_of_work(grid)}"]
    if grid.start == "bottom":
        lines.append("start bottom")
    if grid.drop == 2:
        lines.append("two-drop")
    lines += [f"bead {bead.key} = {bead.size} {bead.srgb} {bead.name}" for bead in design.beads]
    lines += [_row_line(grid, rows, runs) for rows, runs in zip(grid.works, _runs_of_entries(design), strict=True)]
    return "\n".join(lines) + "\n"


def _kind_of_work(grid: Grid) -> str:
    columns = "1 column" if grid.columns == 1 else f"{grid.columns} columns"
    side = "left" if grid.hand == "right" else "right"
    return f"{columns}, {grid.rows} rows, {grid.kind}, tail at {side}"


def _row_line(grid: Grid, rows: tuple[int, ...], runs: str) -> str:
    number = "+".join(map(str, rows))
    total = grid.first_bead(rows[-1] + 1) - grid.first_bead(rows[0])
    turn = "; odd-count turn" if grid.odd_count_turn(rows) else ""
    return f"{number} {grid.way(rows)} {total}: {runs}".rstrip() + turn


def _runs_of_entries(design: Design) -> list[str]:
    """Return the runs of each entry as text; all runs are found at once, so that a large work stays quick."""
    grid = design.grid
    needle_cells = design.cells[grid.needle_order]
    entries = [grid.first_bead(rows[0]) for rows in grid.works]
    is_begin = np.diff(needle_cells, prepend=-1) != 0
    is_begin[[entry for entry in entries if entry < grid.count]] = True
    begins = np.flatnonzero(is_begin)
    counts = np.diff(begins, append=grid.count).tolist()
    keys = [bead.key for bead in design.beads]
    runs = [f"{count} {keys[cell]}" for count, cell in zip(counts, needle_cells[begins].tolist(), strict=True)]
    cuts = np.searchsorted(begins, [*entries, grid.count]).tolist()
    return [", ".join(runs[first:last]) for first, last in pairwise(cuts)]
