"""What edits elsewhere changed, in words."""

import numpy as np

from convert.documents.edit_sheet.edit import Edited
from convert.documents.edit_sheet.layout import MOST_PLACES, place_words, places_words
from shared.plural import counted


def edit_in_words(found: Edited) -> str:
    """Say which beads changed, which are new or gone, and where the size-step rule is broken now."""
    lines = [_heading(found), *_changes(found), *_list_changes(found), *_broken(found)]
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
    new = [
        f"new bead {bead.kind} = {bead.size} {bead.srgb} {bead.name}"
        for key, bead in after.items()
        if key not in before
    ]
    gone = [key for key in before if key not in after]
    return [*new, *([f"no longer used: {', '.join(gone)}"] if gone else [])]


def _broken(found: Edited) -> list[str]:
    if not found.broken.size:
        return []
    keys = [found.design.beads[cell].kind for cell in found.design.cells.tolist()]
    grid = found.design.grid
    named = [
        f"{keys[one]} at {place_words(grid, one)} beside {keys[other]} at {place_words(grid, other)}"
        for one, other in found.broken[:MOST_PLACES].tolist()
    ]
    more = f", and {len(found.broken) - MOST_PLACES:,} more" if len(found.broken) > MOST_PLACES else ""
    places = counted(len(found.broken), "place")
    return [f"the ladder rule is broken in {places}, where the work will gape: {'; '.join(named)}{more}"]
