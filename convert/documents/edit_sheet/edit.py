"""An edited sheet brought into its design: what changed, and where the size-step rule is broken now."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from convert.documents.edit_sheet.sheet import MOST_PLACES, place_words, places_words
from convert.rows.writer import write_bead
from shared.arrays import Ints
from shared.design import Bead, Design, lay_beads
from shared.plural import counted
from shared.size_steps import LARGEST_STEP


class Edited(NamedTuple):
    """A design after edits elsewhere."""

    design: Design
    before: Design
    """As it was."""
    cells: Ints
    """Which cells changed, rising."""
    broken: Ints
    """Pairs of neighbours more than one size apart, which were not before, shape (pairs, 2)."""
    notes: tuple[str, ...] = ()


def apply_edits(design: Design, beads: Sequence[Bead], cells: Ints, *, notes: tuple[str, ...] = ()) -> Edited:
    """Put other beads into the cells of a design; arguments as for `lay_beads`, with notes to pass on."""
    after = lay_beads(design, beads, cells)
    changed = (cells != design.cells).nonzero()[0]
    return Edited(after, design, changed, _broken_pairs(design, after), notes)


def _broken_pairs(before: Design, after: Design) -> Ints:
    """Return the pairs of neighbours whose sizes are too far apart now and were not."""
    first = np.arange(after.grid.count).repeat(after.grid.neighbours.shape[1])
    second = after.grid.neighbours.ravel()
    once = second > first
    pairs = np.stack([first[once], second[once]], axis=1)
    wide, was = (np.abs(np.diff(one.levels[pairs], axis=1))[:, 0] > LARGEST_STEP for one in (after, before))
    return np.asarray(pairs[wide & ~was])


def edit_in_words(found: Edited) -> str:
    """Say which beads changed, which are new or gone, and where the size-step rule is broken now."""
    lines = [_heading(found), *_changes(found), *_list_changes(found), *_broken_in_words(found)]
    return "\n".join([*lines, *(f"note: {note}" for note in found.notes)])


def _heading(found: Edited) -> str:
    count = found.cells.size
    if not count:
        return "nothing changed"
    return f"{count:,} of {found.design.grid.count:,} beads changed" if count > 1 else "1 bead changed"


def _changes(found: Edited) -> list[str]:
    old = np.array([bead.kind for bead in found.before.beads], dtype=object)[found.before.cells[found.cells]]
    new = np.array([bead.kind for bead in found.design.beads], dtype=object)[found.design.cells[found.cells]]
    groups: dict[tuple[str, str], list[int]] = {}
    for pair, cell in zip(zip(old.tolist(), new.tolist(), strict=True), found.cells.tolist(), strict=True):
        groups.setdefault(pair, []).append(cell)
    grid = found.design.grid
    return [
        f"  {before} to {after}: {len(cells):,} ({places_words(grid, np.array(cells))})"
        for (before, after), cells in groups.items()
    ]


def _list_changes(found: Edited) -> list[str]:
    before, after = ({bead.kind: bead for bead in design.beads} for design in (found.before, found.design))
    new = [f"new bead {write_bead(bead)}" for kind, bead in after.items() if kind not in before]
    gone = [kind for kind in before if kind not in after]
    return [*new, *([f"no longer used: {', '.join(gone)}"] if gone else [])]


def _broken_in_words(found: Edited) -> list[str]:
    if not found.broken.size:
        return []
    kinds = [found.design.beads[cell].kind for cell in found.design.cells.tolist()]
    grid = found.design.grid
    named = [
        f"{kinds[one]} at {place_words(grid, one)} next to {kinds[other]} at {place_words(grid, other)}"
        for one, other in found.broken[:MOST_PLACES].tolist()
    ]
    more = f", and {len(found.broken) - MOST_PLACES:,} more" if len(found.broken) > MOST_PLACES else ""
    places = counted(len(found.broken), "place")
    return [f"the size-step rule is broken in {places}, where the work will gape: {'; '.join(named)}{more}"]
