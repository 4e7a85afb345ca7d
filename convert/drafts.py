"""Hidden rooms in which outputs are drafted, and the journals from which a folder is mended after a kill.

A room is a folder of an exact name with a journal in it, which is locked as long as its process lives. The journal
notes each file just before it is moved out into its place: how it is known again, and whether it replaces another,
which the room keeps. So whoever finds a room whose lock is free can put all back as it was. Nothing else is ever
removed, and nothing by its age. Where the system has no `fcntl` (Windows), nobody can tell whether a process lives:
there a room that was left stays, and so do the files that it notes.
"""

import json
import os
import re
import secrets
import shutil
import stat
import warnings
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO

try:
    import fcntl
except ImportError:
    fcntl = None  # type: ignore[assignment]

ROOM = ".hummock-"
"""How the names of rooms begin."""

_ROOM_NAME = re.compile(re.escape(ROOM) + "[0-9a-f]{16}")
_JOURNAL = "hummock-journal"


class MendedWarning(UserWarning):
    """Says that a folder was found half written, and what was done about it."""


@contextmanager
def drafting_room(folder: Path) -> Iterator[tuple[Path, IO[bytes]]]:
    """Make a room in a folder, so that moves from it stay on one file system; give its journal too.

    It goes at the end, unless its journal still notes something, which could then not be put back.
    """
    room, journal = _make_room(folder)
    with journal:
        try:
            yield room, journal
        finally:
            if not os.fstat(journal.fileno()).st_size:
                _remove(room)


def _make_room(folder: Path) -> tuple[Path, IO[bytes]]:
    while True:
        room = folder / f"{ROOM}{secrets.token_hex(8)}"
        room.mkdir()
        try:
            journal = (room / _JOURNAL).open("x+b")
        except BaseException:
            room.rmdir()
            raise
        if _lock(journal, wait=True) and (room / _JOURNAL).exists():
            return room, journal
        journal.close()  # before it was locked, somebody took the room for one that was left


def _lock(journal: IO[bytes], *, wait: bool) -> bool:
    """Return whether the lock of a journal was had; who made it waits, and does without where there are no locks."""
    if fcntl is None:
        return wait
    try:
        fcntl.flock(journal, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError:
        return wait
    return True


def _remove(room: Path) -> None:
    """Remove a room, its journal last, so that it is known again should this be cut short."""
    with suppress(OSError):
        for part in ("draft", "old"):
            path = room / part
            if path.is_dir():
                shutil.rmtree(path)
            else:
                path.unlink(missing_ok=True)
        (room / _JOURNAL).unlink()
        room.rmdir()


@contextmanager
def near_copy(source: Path, place: Path) -> Iterator[Path]:
    """Give a file from which one step leads to a place: where a link leads out of the folder, a copy next to it.

    The file is in a part of a room of the folder. What lies elsewhere may be on another file system.
    """
    if source.parents[2] == place.parent:
        yield source
        return
    with drafting_room(place.parent) as (room, _):
        yield Path(shutil.copy2(source, room / "draft"))


def note_move(journal: IO[bytes], name: str, draft: Path, *, replaces: bool) -> None:
    """Note a file that is about to be moved into its place, and wait until the note is on the disk."""
    journal.write(json.dumps([name, replaces, _identity(draft)]).encode() + b"\n")
    journal.flush()
    os.fsync(journal.fileno())


def put_back(journal: IO[bytes], room: Path, folder: Path) -> list[str]:
    """Undo what a journal notes, last first; return the names of the files.

    Raises OSError, ValueError or TypeError where that cannot be done, and then keeps what it did not come to.

    Doing it twice, or half and then again, does no harm: a file that is not the very one that was noted, untouched
    since, was not moved in yet, is back already, or is somebody else's.
    """
    journal.seek(0)
    back: list[str] = []
    for line in reversed(journal.read().split(b"\n")[:-1]):  # a last line without an end was never acted on
        name, replaced, identity = json.loads(line)
        if Path(name).name != name:
            raise ValueError("its journal is not ours")
        place = Path(os.path.realpath(folder / name))
        if _identity(place) != identity:
            continue
        if replaced:
            with near_copy(room / "old" / name, place) as old:
                old.replace(place)
        else:
            place.unlink()
        back.insert(0, name)
    journal.truncate(0)
    return back


def _identity(path: Path) -> list[int] | None:
    """Return by what a file is known that was moved and not touched otherwise; None where there is none."""
    try:
        state = path.stat()
    except FileNotFoundError:
        return None
    return [state.st_ino, state.st_size, state.st_mtime_ns]


def mend(folder: Path) -> None:
    """Put back what a process had replaced in a folder when it was killed, and remove the rooms that were left there.

    Warns
    -----
    MendedWarning
        When something was put back, or could not be.
    """
    try:
        with os.scandir(os.path.realpath(folder)) as entries:
            rooms = [Path(entry.path) for entry in entries if _ROOM_NAME.fullmatch(entry.name)]
    except OSError:  # no such folder, or one that may not be looked at
        return
    for room in rooms:
        path = room / _JOURNAL
        try:
            ours = stat.S_ISDIR(room.lstat().st_mode) and stat.S_ISREG(path.lstat().st_mode)
            journal = path.open("r+b") if ours else None
        except OSError:
            continue
        if journal is not None:
            with journal:
                if _lock(journal, wait=False) and path.exists():
                    _mend(folder, room, journal)


def _mend(folder: Path, room: Path, journal: IO[bytes]) -> None:
    """Put back what the journal of a dead process notes, and remove its room."""
    killed = f"{folder}: a run was killed while it replaced"
    try:
        names = put_back(journal, room, folder)
    except (OSError, ValueError, TypeError) as error:
        told = f"{killed} files, which may not belong together now, and cannot be put back: {error}"
        warnings.warn(told, MendedWarning, stacklevel=3)
        return
    _remove(room)
    if names:
        told = f"{killed} {', '.join(names)}; all files are again what they were before it"
        warnings.warn(told, MendedWarning, stacklevel=3)
