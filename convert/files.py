"""The only module that touches the disk: whole files in, and outputs that appear together or not at all."""

import os
import shutil
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from shared.errors import BadFileError, OutputExistsError


def read_bytes(path: Path) -> bytes:
    """Read a whole file.

    Raises
    ------
    BadFileError
        When there is none, it is a folder, or it may not be read.
    """
    try:
        return path.read_bytes()
    except OSError as error:
        raise BadFileError(_reason(error), where=[str(path)]) from error


def read_text(path: Path) -> str:
    """Read a whole file as UTF-8 text; a byte order mark is dropped.

    Raises
    ------
    BadFileError
        As `read_bytes`, or when it is not UTF-8.
    """
    try:
        return read_bytes(path).decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadFileError("is not UTF-8 text; save it as UTF-8", where=[str(path)]) from error


def check_targets(folder: Path, names: tuple[str, ...], *, force: bool) -> None:
    """Refuse, before any work is done, what `place` would refuse.

    Raises
    ------
    OutputExistsError
        When a file is there and ``force`` is not set.
    BadFileError
        When the folder is a file, or a target is a folder.
    """
    if folder.exists() and not folder.is_dir():
        raise BadFileError("is a file; give a folder with --out", where=[str(folder)])
    for name in names:
        target = folder / name
        if target.is_dir():
            raise BadFileError("is a folder where a file should go; move it or give another --out", where=[str(target)])
        if not force and os.path.lexists(target):
            raise OutputExistsError(
                "is there already; say --force to replace it, or give another --out", where=[str(target)]
            )


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
    """Make a new folder whole: one rename brings all files at once."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(prefix=".hummock-", dir=folder.parent, ignore_cleanup_errors=True) as room:
        draft = Path(room) / "draft"
        draft.mkdir()
        _write_all(outputs, draft)
        draft.rename(folder)


def _place_files(outputs: Mapping[str, bytes], folder: Path, *, force: bool) -> None:
    with tempfile.TemporaryDirectory(prefix=".hummock-", dir=folder, ignore_cleanup_errors=True) as room:
        draft, old = Path(room) / "draft", Path(room) / "old"
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
    draft.replace(place)


def _move_new(draft: Path, target: Path) -> None:
    """Move a file to where none may be, even one that somebody made this moment."""
    try:
        os.link(draft, target)
    except FileExistsError:
        raise
    except OSError:
        with target.open("xb"):
            pass
        draft.replace(target)
    else:
        draft.unlink()


def _undo(draft: Path, target: Path, old: Path) -> None:
    """Bring back what was there before a file was moved in."""
    if draft.exists():
        return
    place = target.resolve()
    if old.exists():
        old.replace(place)
    else:
        place.unlink(missing_ok=True)


def _reason(error: OSError) -> str:
    match error:
        case FileNotFoundError():
            return "is not there; check the name"
        case IsADirectoryError():
            return "is a folder; give a file"
        case PermissionError():
            return "may not be opened; check its permissions"
        case _:
            return error.strerror or str(error)
