"""The only module that touches the disk: whole files in, and outputs that appear together or not at all."""

import errno
import os
import shutil
import stat
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from shared.errors import BadFileError, OutputExistsError

MOST_MEGABYTES = 2000
"""Of a picture: 250 million pixels of 16 bits in four channels, not packed at all."""

MOST_TEXT_MEGABYTES = 64
"""Of a design, its sheet or its rows: the largest design is 13 MB long, and 25 MB with each bead on a line."""

MOST_WORDS_MEGABYTES = 1
"""Of a ladder or what a studio says of itself."""

_PART = 1 << 20
_ROOM = ".hummock-"
_STALE_SECONDS = 24 * 3600.0

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
            raise _there_already(target)
    _check_writable(folder)


def _check_writable(folder: Path) -> None:
    """Refuse a folder that may not be written, or not be made where it should be."""
    place = Path(os.path.realpath(folder))
    nearest = next(path for path in (place, *place.parents) if os.path.lexists(path))
    if not nearest.is_dir():
        raise NotADirectoryError
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise BadFileError("cannot be written; check its permissions, or give another", where=[str(folder)])


def _there_already(target: Path) -> OutputExistsError:
    return OutputExistsError("is there already; say --force to replace it, or give another --out", where=[str(target)])


def place(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    """Write files into a folder so that all of them appear, or none.

    They are written to a hidden folder beside their place first and then moved; when a move fails, those
    already made are undone.

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
    with _room(top.parent) as room:
        draft = room / "draft"
        inner = draft / place.relative_to(top)
        inner.mkdir(parents=True)
        _write_all(outputs, inner)
        draft.rename(top)


def _place_files(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    with _room(folder) as room:
        draft, old = room / "draft", room / "old"
        draft.mkdir()
        old.mkdir()
        _write_all(outputs, draft)
        done: list[str] = []
        try:
            for name in outputs:
                done.append(name)
                _move_in(draft / name, folder / name, old / name, force=force)
        except BaseException:
            for name in done:
                _undo(draft / name, folder / name, old / name)
            raise


@contextmanager
def _room(folder: Path) -> Iterator[Path]:
    """Make a hidden folder for drafts in another, so that moves from it stay on one file system."""
    _sweep(folder)
    with tempfile.TemporaryDirectory(prefix=_ROOM, dir=folder, ignore_cleanup_errors=True) as room:
        yield Path(room)


def _sweep(folder: Path) -> None:
    """Remove the drafts that a run left when it was killed, once no run can still be at them."""
    with suppress(OSError):
        for room in folder.glob(f"{_ROOM}*"):
            if time.time() - room.stat().st_mtime > _STALE_SECONDS:
                shutil.rmtree(room, ignore_errors=True)


def _write_all(outputs: Mapping[str, bytes], draft: Path) -> None:
    for name, content in outputs.items():
        with (draft / name).open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())


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
        raise _there_already(target) from error
    except OSError:  # hard links do not exist here
        _claim(target)
        try:
            draft.replace(target)
        except BaseException:
            target.unlink()
            raise


def _claim(target: Path) -> None:
    try:
        target.open("xb").close()
    except FileExistsError as error:
        raise _there_already(target) from error


def _shift(source: Path, place: Path) -> None:
    """Move a file over another; where that is on another file system, by way of a copy beside it."""
    try:
        source.replace(place)
    except OSError as error:
        if error.errno != errno.EXDEV:
            raise
        with _room(place.parent) as room:
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
