"""Files that are moved into a folder one by one, and moved back when one of them cannot be."""

import errno
import os
import shutil
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path

from convert.disk.room import drafting_room
from shared.errors import OutputExistsError


def move_all(names: Iterable[str], draft: Path, folder: Path, *, force: bool) -> None:
    """Move files from a draft into a folder; when one fails, those already moved are undone.

    A process that is killed meanwhile leaves some moved and others not, each of them whole.

    Parameters
    ----------
    names
        The files, in the order in which they are moved.
    draft
        Holds them; what they replace is kept beside it in the same room until it goes.
    folder
        Where they go.
    force
        Replace files that are there, keep their mode, and follow links to them.

    Raises
    ------
    OutputExistsError
        When a file is there and ``force`` is not set.
    OSError
        When a file cannot be moved.
    """
    old = draft.with_name("old")
    old.mkdir()
    done: list[str] = []
    try:
        for name in names:
            done.append(name)
            _move_in(draft / name, folder / name, old / name, force=force)
    except BaseException:
        for name in done:
            _undo(draft / name, folder / name, old / name)
        raise


def there_already(target: Path) -> OutputExistsError:
    """Return the refusal to replace a file."""
    return OutputExistsError("is there already; say --force to replace it, or give another --out", where=[str(target)])


def _move_in(draft: Path, target: Path, old: Path, *, force: bool) -> None:
    """Move one file into place, keeping what it replaces, its mode, and a link that leads to it."""
    if not force:
        _move_new(draft, target)
        return
    place = target.resolve()
    if place.exists():
        shutil.copymode(place, draft)
        with suppress(OSError):
            os.link(place, old)
        if not old.exists():
            shutil.copy2(place, old)
    _shift(draft, place)


def _move_new(draft: Path, target: Path) -> None:
    """Move a file to where none may be, even one that somebody made this moment."""
    try:
        os.link(draft, target)
    except FileExistsError as error:
        raise there_already(target) from error
    except OSError:  # hard links do not exist here
        _claim(target)
        try:
            _shift(draft, target)
        except BaseException:
            target.unlink()
            raise


def _claim(target: Path) -> None:
    try:
        target.open("xb").close()
    except FileExistsError as error:
        raise there_already(target) from error


def _shift(source: Path, place: Path) -> None:
    """Move a file over another; where that is on another file system, by way of a copy beside it."""
    try:
        source.replace(place)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        with drafting_room(place.parent) as room:
            shutil.copy2(source, room / "draft")
            (room / "draft").replace(place)
        source.unlink()


def _undo(draft: Path, target: Path, old: Path) -> None:
    """Bring back what was there before a file was moved in, or linked."""
    place = target.resolve()
    if draft.exists() and not (place.exists() and place.samefile(draft)):
        return
    if old.exists():
        _shift(old, place)
    else:
        place.unlink(missing_ok=True)
