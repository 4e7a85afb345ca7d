"""Progress for people: one line on standard error, and only on a terminal."""

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from convert.progress import Progress, silent


@contextmanager
def shown(*, quiet: bool) -> Iterator[Progress]:
    """Show what a run is at, until the block ends."""
    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.console import Console

    with Console(stderr=True).status("starting") as status:
        yield lambda step: status.update(f"{step} …") if step else None
