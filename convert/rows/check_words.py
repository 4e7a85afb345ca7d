"""Checkpoints in words."""

from collections.abc import Iterator

from convert.rows.checkpoints import Checkpoint, Gap
from shared.plural import counted, listed

_SINCE = {"edge": "from the first row on", "dome": "since the dome before"}


def check_in_words(check: Checkpoint) -> str:
    """Say what a checkpoint is and what to count there, without a stop at the end.

    Examples
    --------
    >>> dome = {"columns": (5, 9), "dome_rows": (12, 20), "raised": 2, "top_size": "round 8/0", "column": 7}
    >>> check_in_words(Checkpoint(rows=(20,), moments=("ends",), **dome, before=Gap(3, "edge"), after=Gap(4, "dome"),
    ...     since=None, until=Gap(6, "edge")))
    'a dome ends on columns 5 to 9: 3 flat beads, then the dome, then 4 to the next dome'
    """
    parts = [f"{_event(check)}: {_beside(check)}", *_back(check)]
    if check.until is not None and check.until.to == "dome":
        parts.append(f"the next dome in column {check.column} begins after {counted(check.until.beads, 'base bead')}")
    told = "; ".join(parts)
    return f"{_in_rounds(check)}, {told}" if check.rounds else told


def _back(check: Checkpoint) -> Iterator[str]:
    """Say what lies back along the column; nothing where that is the first row itself."""
    if check.since is None or check.since == Gap(0, "edge"):
        return
    beads = counted(check.since.beads, "base bead")
    yield f"{beads} in column {check.column} {_SINCE[check.since.to]}"


def _in_rounds(check: Checkpoint) -> str:
    """Say in which rounds a checkpoint holds."""
    rounds, last = check.rounds, check.of_rounds
    numbers = f"in round{'' if len(rounds) == 1 else 's'} {listed([str(number) for number in rounds])}"
    if not check.last_is_whole:
        return "in the first round" if rounds == (1,) else numbers
    if rounds in {(1,), (last,)}:
        return f"in the {'first' if rounds == (1,) else 'last'} round"
    if rounds == tuple(range(1, last)):
        return "in all rounds but the last"
    if rounds == tuple(range(2, last)) and last > 3:
        return "in all rounds but the first and the last"
    if rounds == tuple(range(rounds[0], last + 1)):
        return f"from round {rounds[0]} on"
    return numbers


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
