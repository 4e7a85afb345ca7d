"""What a batch is to make: a line for each picture, read from disk only when its turn comes."""

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from convert.chart.choices import Ink
from convert.drafts import ROOM
from convert.files import read_bytes
from convert.image.decode import Source
from convert.options import Options
from convert.pattern import Job
from shared.errors import BadChoiceError, BadFileError

ENDINGS = frozenset((".bmp", ".gif", ".jpeg", ".jpg", ".png", ".tif", ".tiff", ".webp"))
"""Endings of the files in a folder that are taken for pictures."""

MAP_MARK = "-heights"
"""What the name of a height map has behind that of its picture."""

_LONGEST_NAME = 255
"""In bytes, on the file systems that are in use."""


class Entry(NamedTuple):
    """One picture of a batch."""

    name: str
    """Of the folder that takes its files, below that of the batch."""
    picture: Path
    """The drawing."""
    heights: Path | None
    """Its height map."""
    options: Options
    """All choices."""
    ink: Ink
    """How the chart is drawn."""
    surface: bool
    """Whether the surface is predicted."""

    def job(self) -> Job:
        """Read the files; errors as in `convert.files.read_bytes`."""
        heights = None if self.heights is None else Source(str(self.heights), read_bytes(self.heights))
        return Job(Source(str(self.picture), read_bytes(self.picture)), heights, self.options, self.ink, self.surface)


def pictures_in(folder: Path) -> list[tuple[Path, Path | None]]:
    """Return the pictures of a folder by name, each with its height map.

    The map of ``cuff.png`` is called ``cuff-heights``, with any of `ENDINGS`; a map is no picture of its own.

    Raises
    ------
    BadFileError
        When there is none, or the folder cannot be read.
    """
    try:
        found = sorted(p for p in folder.iterdir() if p.suffix.lower() in ENDINGS and not p.name.startswith("."))
    except OSError as error:
        raise BadFileError(f"cannot be read: {error.strerror}; check its name", where=[str(folder)]) from error
    stems = {path.stem for path in found}
    maps = {p.stem: p for p in found if p.stem.endswith(MAP_MARK) and p.stem.removesuffix(MAP_MARK) in stems}
    pictures = [(path, maps.get(path.stem + MAP_MARK)) for path in found if path.stem not in maps]
    if not pictures:
        raise BadFileError("holds no picture; put PNG, JPEG, TIFF, WebP, GIF or BMP files in it", where=[str(folder)])
    return pictures


def different_names(pictures: list[Path]) -> list[str]:
    """Name a folder for each picture after its stem; equal ones are told apart by their ending, then by number."""
    stems = [path.stem for path in pictures]
    names: list[str] = []
    for path in pictures:
        name = path.stem if stems.count(path.stem) == 1 else path.name
        taken = {name.casefold() for name in names}
        tries = (name if number == 1 else f"{name}-{number}" for number in range(1, len(pictures) + 1))
        names.append(next(one for one in tries if one.casefold() not in taken))
    return names


def check_names(names: Sequence[str], taken: Sequence[str] = ()) -> None:
    """Refuse names of folders that are equal, empty, lead out of the batch, or are those of other things in it.

    Parameters
    ----------
    names
        Of the folders.
    taken
        Names of files that the batch itself writes next to them.

    Raises
    ------
    BadChoiceError
        Naming the first.
    """
    own = {name.casefold() for name in taken}
    seen: set[str] = set()
    for name in names:
        if not name.strip() or Path(name).name != name or name in (".", ".."):
            raise BadChoiceError(f"'{name}' is no name of a folder; give one without slashes")
        if len(os.fsencode(name)) > _LONGEST_NAME:
            raise BadChoiceError(f"'{name[:40]}…' is too long for the name of a folder; give a shorter one")
        if not {"\n", "\r"}.isdisjoint(name):
            raise BadChoiceError(f"'{name}' holds a line break; give a folder a plain name")
        if name.casefold() in own or name.casefold().startswith(ROOM):
            raise BadChoiceError(f"'{name}' is a name that Hummock needs for itself; give the folder another name")
        if name.casefold() in seen:
            raise BadChoiceError(f"two pictures would go to the folder '{name}'; give one of them another name")
        seen.add(name.casefold())
