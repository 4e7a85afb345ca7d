"""Whole files in, and outputs that appear together or not at all; only this and `disk/` touch the disk."""

import errno
import os
import stat
from collections.abc import Mapping
from pathlib import Path

from convert.disk.exchange import exchanged, make_alike, may_exchange
from convert.disk.moves import move_all, there_already
from convert.disk.room import drafting_room, write_all
from shared.errors import BadFileError

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
        A larger file is refused: by its size before it is read, or when so much came and more is to come.

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
    """Read a file to its end, or so many bytes: in one piece, as a large one is not to be held twice."""
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
    """Tell whether a path is a folder; a name that cannot be one, as it is too long, is none."""
    try:
        return path.is_dir()
    except OSError:
        return False


def is_there(path: Path) -> bool:
    """Tell whether there is something at a path; at a name that cannot be, as it is too long, is nothing."""
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
        When the folder is a file, a target is a folder, or neither can be looked at.
    """
    try:
        _check_targets(folder, names, force=force)
    except OSError as error:
        raise BadFileError(f"cannot be used: {_reason(error)}", where=[str(folder)]) from error


def _check_targets(folder: Path, names: tuple[str, ...], *, force: bool) -> None:
    if folder.exists() and not folder.is_dir():
        raise BadFileError("is a file; give a folder with --out", where=[str(folder)])
    for name in names:
        target = folder / name
        if target.is_dir():
            raise BadFileError("is a folder where a file should go; move it or give another --out", where=[str(target)])
        if not force and os.path.lexists(target):
            raise there_already(target)
    _check_writable(folder)


def _check_writable(folder: Path) -> None:
    """Refuse a folder that may not be written, or not be made where it should be."""
    place = Path(os.path.realpath(folder))
    nearest = next(path for path in (place, *place.parents) if os.path.lexists(path))
    if not nearest.is_dir():
        raise NotADirectoryError
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise BadFileError("cannot be written; check its permissions, or give another", where=[str(folder)])


def place(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    """Write files into a folder so that all of them appear, or none.

    They are written to a hidden folder first. A folder that is not there yet, or that of a pattern, then appears or
    changes in one step: also for somebody who looks on, and when the process is killed at any moment. Where that
    cannot be done (see `convert.disk.exchange`) the files are moved one by one: a failure undoes those already moved,
    but a process that is killed just then leaves some of them old and others new, each whole.

    Parameters
    ----------
    outputs
        Content by file name.
    folder
        Made if it is missing.
    force
        Replace files that are there.

    Raises
    ------
    OutputExistsError
        When a file is there and ``force`` is not set.
    BadFileError
        When the folder cannot be written.
    """
    check_targets(folder, tuple(outputs), force=force)
    try:
        if not folder.exists():
            _place_folder(outputs, folder)
        else:
            _place_files(outputs, folder, force=force)
    except OSError as error:
        raise BadFileError(f"cannot be written: {_reason(error)}", where=[str(folder)]) from error


def _place_folder(outputs: Mapping[str, bytes], folder: Path) -> None:
    """Make a new folder whole, with those above it that are missing: one rename brings all at once."""
    place = Path(os.path.realpath(folder))
    top = next(path for path in (*reversed(place.parents), place) if not path.exists())
    with drafting_room(top.parent) as room:
        draft = room / "draft"
        inner = draft / place.relative_to(top)
        inner.mkdir(parents=True)
        write_all(outputs, inner)
        draft.rename(top)


def _place_files(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    """Exchange a pattern's folder for one with the files in it; or move them one by one into another folder."""
    place = Path(os.path.realpath(folder))
    at_once = may_exchange(place, outputs.keys())
    with drafting_room(place.parent if at_once else place) as room:
        draft = room / "draft"
        make_alike(place, draft)
        write_all(outputs, draft)
        if not (at_once and exchanged(outputs.keys(), draft, place)):
            move_all(outputs, draft, folder, force=force)


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
