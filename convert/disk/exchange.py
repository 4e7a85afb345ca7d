"""A folder that is exchanged for a copy of itself with other files in it: all of them change in one step.

No order of moves keeps a set of files together when the process is killed between two of them; a single step of the
operating system does. Linux can exchange two folders, on most file systems, by a call that Python does not know. (macOS
has one too; but there Python cannot give the copy the tags and access lists of the folder, and they would be lost.)
The copy costs no space: files that stay get a second name in it, and are the same files as before.

What comes is another folder under the same name. So a window that stood in the old one may show it empty until it is
opened again, and a program that watches it may have to look anew. Therefore this is done to a pattern's folder
alone, and not where the work is done from.
"""

import os
import shutil
import sys
from collections.abc import Callable, Collection
from contextlib import suppress
from functools import cache
from pathlib import Path

from convert.output_names import NAMES

_HERE = -100
"""Paths are seen from the working folder: AT_FDCWD, in linux/fcntl.h."""

_EXCHANGE = 2
"""RENAME_EXCHANGE, in linux/fs.h."""


def may_exchange(folder: Path, names: Collection[str]) -> bool:
    """Tell whether files are to be put into a folder by exchanging it; a look that changes nothing.

    Parameters
    ----------
    folder
        Is there, and no link.
    names
        Of the files. One alone is whole without this.

    Returns
    -------
    bool
        True for a folder that holds a design now or then, or nothing but files of these names. False where another
        folder is in it, one of the files is a link, the folder cannot be exchanged, or it is the working folder.
    """
    if len(names) < 2 or _call() is None:
        return False
    try:
        if os.path.ismount(folder) or folder.samefile(os.curdir):
            return False
        with os.scandir(folder) as found:
            entries = list(found)
    except OSError:
        return False
    here = {entry.name for entry in entries}
    ours = NAMES[0] in here.union(names) or here <= set(names)
    return ours and not any(_stays(entry, names) for entry in entries) and os.access(folder.parent, os.W_OK | os.X_OK)


def _stays(entry: "os.DirEntry[str]", names: Collection[str]) -> bool:
    """Tell whether something in a folder has to stay where it is: it gets no second name, or leads elsewhere."""
    return entry.is_dir(follow_symlinks=False) or (entry.is_symlink() and entry.name in names)


def make_alike(folder: Path, twin: Path) -> None:
    """Make a folder with the permissions and attributes of another, as far as they can be had."""
    twin.mkdir()
    with suppress(OSError):
        shutil.copystat(folder, twin)


def exchanged(names: Collection[str], draft: Path, folder: Path) -> bool:
    """Put files from a draft into a folder, all in one step.

    Parameters
    ----------
    names
        The files.
    draft
        Holds them, and still does afterwards, on the file system of the folder.
    folder
        As `may_exchange` wants it.

    Returns
    -------
    bool
        False, and nothing has changed, when the file system cannot do it, the folder would have another owner or lose
        attributes, or somebody changed what is in it meanwhile.
    """
    twin = draft.with_name("twin")
    try:
        before = _entries(folder)
        make_alike(folder, twin)
        for name in before.keys() - set(names):
            os.link(folder / name, twin / name, follow_symlinks=False)
        for name in names:
            if name in before:
                shutil.copymode(folder / name, draft / name)
            os.link(draft / name, twin / name)
        alike = _nature(twin) == _nature(folder)
    except OSError:
        return False
    if not (alike and swapped(twin, folder)):
        return False
    if _entries(twin) == before:
        return True
    swapped(twin, folder)
    return False


def _entries(folder: Path) -> dict[str, int]:
    """Return which file each name in a folder is."""
    with os.scandir(folder) as entries:
        return {entry.name: entry.stat(follow_symlinks=False).st_ino for entry in entries}


def _nature(folder: Path) -> tuple[int, int, int, dict[str, bytes]]:
    """Return the owner, group, mode and attributes of a folder, access lists among them."""
    state = folder.stat()
    try:
        names = os.listxattr(folder)
    except OSError:  # this file system has none
        names = []
    return state.st_uid, state.st_gid, state.st_mode, {name: os.getxattr(folder, name) for name in names}


def swapped(one: Path, other: Path) -> bool:
    """Exchange two folders; False, and nothing has changed, where that cannot be done."""
    call = _call()
    return call is not None and call(_HERE, os.fsencode(one), _HERE, os.fsencode(other), _EXCHANGE) == 0


@cache
def _call() -> Callable[[int, bytes, int, bytes, int], int] | None:
    """Return the call renameat2 of Linux's C library, which tells 0 when it was done; None where there is none."""
    if sys.platform != "linux":
        return None
    import ctypes

    call = getattr(ctypes.CDLL(None), "renameat2", None)
    if call is not None:
        call.argtypes = (ctypes.c_int, ctypes.c_char_p, ctypes.c_int, ctypes.c_char_p, ctypes.c_uint)
    return call
