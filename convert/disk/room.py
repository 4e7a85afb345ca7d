"""Hidden folders in which files are drafted before they appear, and what a killed run leaves of them."""

import os
import shutil
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

ROOM = ".hummock-"
"""How the names of these folders begin."""

_STALE_SECONDS = 24 * 3600.0


@contextmanager
def drafting_room(folder: Path) -> Iterator[Path]:
    """Make a hidden folder for drafts in another, so that moves from it stay on one file system.

    A run that is killed leaves its room; the first that makes one in the same folder a day later removes it. All
    that is in a room is a draft, or a second name of a file that lies in its place, or what was replaced.
    """
    _sweep(folder)
    with tempfile.TemporaryDirectory(prefix=ROOM, dir=folder, ignore_cleanup_errors=True) as room:
        yield Path(room)


def _sweep(folder: Path) -> None:
    """Remove the rooms that a run left when it was killed, once no run can still be at them."""
    with suppress(OSError):
        for room in folder.glob(f"{ROOM}*"):
            if time.time() - room.stat().st_mtime > _STALE_SECONDS:
                shutil.rmtree(room, ignore_errors=True)


def write_all(outputs: Mapping[str, bytes], draft: Path) -> None:
    """Write files into a folder, and wait until they are on the disk."""
    for name, content in outputs.items():
        with (draft / name).open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
