"""Whole files in, and outputs that appear together or not at all.

A new folder is written next to its place and renamed into it. In a folder that is there, every file is drafted in a
hidden room and then replaced whole, one after another in the order given (a pattern's design first). What fails midway
is put back at once; what a killed process left half done is put back by the next command that opens the folder, which
says so (`convert.drafts`). Until then the folder may hold old and new files, each whole.
"""

import errno
import os
import shutil
import stat
from collections.abc import Mapping
from pathlib import Path
from typing import IO

from convert.drafts import drafting_room, mend, near_copy, note_move, put_back
from shared.errors import BadFileError, OutputExistsError

MOST_MEGABYTES = 2000
"""Of a picture: 250 million pixels of 16 bits in four channels, not packed at all."""

MOST_TEXT_MEGABYTES = 64
"""Of a design, its sheet or its rows: the largest design is 13 MB long, and 25 MB with each bead on a line."""

MOST_WORDS_MEGABYTES = 1
"""Of bead sizes or what a studio says of itself."""

_PART = 1 << 20

_REMEDIES = {
    errno.ENAMETOOLONG: "; give a shorter one",
    errno.ELOOP: "; check where the link leads",
    errno.ENOSPC: "; make room on the disk, or write to another",
    errno.EROFS: "; write to another disk",
}


def read_bytes(path: Path, *, megabytes: int = MOST_MEGABYTES) -> bytes:
    """Read a whole file, or a pipe to its end.

    Parameters
    ----------
    path
        Its name.
    megabytes
        A larger file is refused: by its size before it is read, or when that much came and more is to come.

    Raises
    ------
    BadFileError
        When there is none, it is too large, a folder or a device, or it may not be read.
    """
    most = megabytes * 1_000_000
    try:
        size = _size_of(path)
        content = b"" if size > most else _up_to(path, size, most + 1)
    except OSError as error:
        raise BadFileError(_reason(error), where=[str(path)]) from error
    if max(size, len(content)) > most:
        large = f"{megabytes / 1000:g} GB" if megabytes >= 1000 else f"{megabytes} MB"
        raise BadFileError(
            f"is larger than {large}, the most that is read of such a file; make it smaller, or check its name",
            where=[str(path)],
        )
    return content


def _size_of(path: Path) -> int:
    """Return the size of a file; of a pipe, which tells none, 0."""
    state = path.stat()
    if stat.S_ISDIR(state.st_mode):
        raise IsADirectoryError
    if not (stat.S_ISREG(state.st_mode) or stat.S_ISFIFO(state.st_mode)):
        raise BadFileError("is a device; give a file", where=[str(path)])
    return state.st_size if stat.S_ISREG(state.st_mode) else 0


def _up_to(path: Path, size: int, most: int) -> bytes:
    """Read a file to its end, or at most ``most`` bytes: in one piece, as a large one is not to be held twice."""
    with path.open("rb") as file:
        content = file.read(min(size + 1, most))
        if len(content) <= size:
            return content
        parts = [content]  # a pipe, or a file that grows
        left = most - len(content)
        while left and (part := file.read(min(left, _PART))):
            parts.append(part)
            left -= len(part)
    return b"".join(parts)


def read_text(path: Path, *, megabytes: int = MOST_TEXT_MEGABYTES) -> str:
    """Read a whole file as UTF-8 text; a byte order mark is dropped.

    Raises
    ------
    BadFileError
        As `read_bytes`, or when it is not UTF-8.
    """
    try:
        return read_bytes(path, megabytes=megabytes).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFileError("is not UTF-8 text; save it as UTF-8", where=[str(path)]) from error


def is_folder(path: Path) -> bool:
    """Return whether a path is a folder; a name that cannot be one, as it is too long, is none."""
    try:
        return path.is_dir()
    except OSError:
        return False


def is_there(path: Path) -> bool:
    """Return whether there is something at a path; at a name that cannot be, as it is too long, is nothing."""
    try:
        return path.exists()
    except OSError:
        return False


def check_targets(folder: Path, names: tuple[str, ...], *, force: bool) -> None:
    """Refuse, before any work is done, what `place` would refuse.

    Raises
    ------
    OutputExistsError
        When a file is there and ``force`` is not set.
    BadFileError
        When the folder is a file, a target is no regular file, or neither can be looked at.
    """
    try:
        if folder.exists() and not folder.is_dir():
            raise BadFileError("is a file; give a folder with --out", where=[str(folder)])
        for name in names:
            _check_target(folder / name, force=force)
        _check_writable(folder)
    except OSError as error:
        raise BadFileError(f"cannot be used: {_reason(error)}", where=[str(folder)]) from error


def _check_target(target: Path, *, force: bool) -> bool:
    """Refuse what may not be replaced, also behind a link; return whether there is a file."""
    try:
        mode = target.stat().st_mode
    except FileNotFoundError:  # a link that leads nowhere may be there all the same
        mode = None
    if mode is not None and stat.S_ISDIR(mode):
        raise BadFileError("is a folder where a file should go; move it or give another --out", where=[str(target)])
    if mode is not None and not stat.S_ISREG(mode):
        raise BadFileError("is a device, pipe or socket, which is never replaced; give another", where=[str(target)])
    if not force and os.path.lexists(target):
        raise _there_already(target)
    return mode is not None


def _there_already(target: Path) -> OutputExistsError:
    return OutputExistsError("is there already; say --force to replace it, or give another --out", where=[str(target)])


def _check_writable(folder: Path) -> None:
    """Refuse a folder that may not be written, or not be made where it should be."""
    place = Path(os.path.realpath(folder))
    nearest = next(path for path in (place, *place.parents) if os.path.lexists(path))
    if not nearest.is_dir():
        raise NotADirectoryError
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise BadFileError("cannot be written; check its permissions, or give another", where=[str(folder)])


def place(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    """Write files into a folder so that all of them appear, or none, as this module's docstring says.

    Parameters
    ----------
    outputs
        Content by file name.
    folder
        Made if it is missing.
    force
        Replace regular files that are there, keep their mode, and follow links to them.

    Raises
    ------
    OutputExistsError
        When a file is there and ``force`` is not set.
    BadFileError
        When the folder cannot be written.
    """
    mend(folder)
    check_targets(folder, tuple(outputs), force=force)
    try:
        if folder.exists():
            _place_files(outputs, folder, force=force)
        else:
            _place_folder(outputs, folder)
    except OSError as error:
        raise BadFileError(f"cannot be written: {_reason(error)}", where=[str(folder)]) from error


def _place_folder(outputs: Mapping[str, bytes], folder: Path) -> None:
    """Make a new folder whole, with those above it that are missing: one rename brings all at once."""
    place = Path(os.path.realpath(folder))
    top = next(path for path in (*reversed(place.parents), place) if not path.exists())
    mend(top.parent)
    with drafting_room(top.parent) as (room, _):
        inner = room / "draft" / place.relative_to(top)
        inner.mkdir(parents=True)
        _write_all(outputs, inner)
        (room / "draft").rename(top)


def _place_files(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    """Move files one by one into a folder that is there; when one fails, those already moved are put back."""
    with drafting_room(Path(os.path.realpath(folder))) as (room, journal):
        for part in ("draft", "old"):
            (room / part).mkdir()
        _write_all(outputs, room / "draft")
        try:
            for name in outputs:
                _move_in(name, room, folder, journal, force=force)
        except BaseException:
            put_back(journal, room, folder)
            raise
        journal.truncate(0)


def _write_all(outputs: Mapping[str, bytes], draft: Path) -> None:
    """Write files into a folder, and wait until they are on the disk."""
    for name, content in outputs.items():
        with (draft / name).open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())


def _move_in(name: str, room: Path, folder: Path, journal: IO[bytes], *, force: bool) -> None:
    """Move one file into place, keeping what it replaces, and note it first."""
    draft, target = room / "draft" / name, folder / name
    replaces = _check_target(target, force=force)
    place = Path(os.path.realpath(target))
    if replaces:
        shutil.copymode(place, draft)
        try:
            os.link(place, room / "old" / name)
        except OSError:  # on another file system, or one without hard links
            shutil.copy2(place, room / "old" / name)
    with near_copy(draft, place) as near:
        note_move(journal, name, near, replaces=replaces)
        if force:
            near.replace(place)
        else:
            _link_new(near, target)


def _link_new(draft: Path, target: Path) -> None:
    """Move a file to where none may be, even one that somebody made this moment."""
    try:
        os.link(draft, target)
    except FileExistsError as error:
        raise _there_already(target) from error
    except OSError:  # hard links do not exist here: claim the name, then replace what claims it
        try:
            target.open("xb").close()
        except FileExistsError as error:
            raise _there_already(target) from error
        try:
            draft.replace(target)
        except BaseException:
            target.unlink()
            raise


def _reason(error: OSError) -> str:
    match error:
        case FileNotFoundError():
            return "is not there; check the name"
        case IsADirectoryError():
            return "is a folder; give a file"
        case NotADirectoryError():
            return "is not there, for a part of its path is a file; check the name"
        case PermissionError():
            return "may not be opened; check its permissions"
        case _:
            return f"{error.strerror or error}{_REMEDIES.get(error.errno or 0, '')}"
