"""Checkpoints in words."""

from collections.abc import Iterator

from convert.words.checkpoints import Checkpoint, Gap
from shared.counting import counted

_SINCE = {"edge": "from the first row on", "dome": "since the dome before"}


def check_in_words(check: Checkpoint) -> str:
    """Say what a checkpoint is and what to count there, without a stop at the end.

    Examples
    --------
    >>> dome = {"columns": (5, 9), "dome_rows": (12, 20), "raised": 2, "top_size": "round 8/0", "column": 7}
    >>> check_in_words(Checkpoint(rows=(20,), moments=("ends",), **dome, before=Gap(3, "edge"), after=Gap(4, "dome"),
    ...     since=None, until=Gap(6, "edge")))
    'a dome ends on columns 5 to 9: 3 base beads, then the dome, then 4 to the next dome'
    """
    parts = [f"{_event(check)}: {_beside(check)}", *_back(check)]
    if check.until is not None and check.until.to == "dome":
        parts.append(f"the next dome in column {check.column} begins after {counted(check.until.beads, 'base bead')}")
    told = "; ".join(parts)
    return f"from the second round on, {told}" if check.later_only else told


def _back(check: Checkpoint) -> Iterator[str]:
    """Say what lies back along the column; nothing where that is the first row itself."""
    if check.since is None or check.since == Gap(0, "edge"):
        return
    later = f" (in later rounds {check.later.beads} {_SINCE[check.later.to]})" if check.later else ""
    beads = counted(check.since.beads, "base bead")
    yield f"{beads} in column {check.column} {_SINCE[check.since.to]}{later}"


def _event(check: Checkpoint) -> str:
    first, last = check.columns
    columns = f"column {first}" if first == last else f"columns {first} to {last}"
    *others, moment = check.moments
    moments = f"{', '.join(others)} and {moment}" if others else moment
    largest = f" with {check.top_size}" if "peaks" in check.moments else ""
    return f"a dome {moments} on {columns}{largest}"


def _beside(check: Checkpoint) -> str:
    before = counted(check.before.beads, "base bead")
    if check.before.to == "dome":
        before += " since the dome before"
    after = f"{check.after.beads}{' to the next dome' if check.after.to == 'dome' else ''}"
    return f"{before}, then the dome, then {after}"
