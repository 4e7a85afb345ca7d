"""The note in each folder of a batch: what its files were made from and what they held, so that they can be kept."""

import hashlib
import json
from collections.abc import Mapping
from importlib.metadata import version
from pathlib import Path
from typing import NamedTuple

from convert.batch.work import ReportFigures
from convert.files import read_bytes, read_text
from convert.pattern import Job
from convert.pattern_files import NAMES
from shared.beads import bead_sizes_toml
from shared.errors import BadFileError, OutputExistsError

MARKER = "batch.json"


def key_of(job: Job) -> str:
    """Return a hash of all that a job's files depend on: equal keys, equal files."""
    options = job.options
    palette = None if options.palette is None else [repr(colour) for colour in options.palette.entries]
    parts = {
        "hummock": version("hummock"),
        "picture": _hash(job.picture.data),
        "title": options.title or Path(job.picture.name).name,
        "heights": None if job.heights is None else _hash(job.heights.data),
        "options": options.to_values(),
        "bead_sizes": bead_sizes_toml(options.bead_sizes),
        "palette": palette,
        "ink": job.ink,
        "surface": job.surface,
    }
    return _hash(json.dumps(parts, sort_keys=True).encode())


class Before(NamedTuple):
    """What a batch made earlier from the same."""

    figures: ReportFigures
    """As they were then."""
    changed: tuple[str, ...]
    """Names of the files that are gone or hold something else by now."""


def add_marker(files: Mapping[str, bytes], key: str, figures: ReportFigures) -> dict[str, bytes]:
    """Return the files of a job with their marker before them.

    It comes first, so that no older marker ever lies next to newer files.
    """
    values = {"key": key, "figures": figures.to_values(), "files": {name: _hash(files[name]) for name in NAMES}}
    return {MARKER: (json.dumps(values, indent=1, sort_keys=True) + "\n").encode(), **files}


def read_marker(folder: Path, key: str) -> Before | None:
    """Return what the marker of a folder says; None when there is none, or its files were made from something else."""
    try:
        values = json.loads(read_text(folder / MARKER))
        if values["key"] != key:
            return None
        hashes = {name: values["files"][name] for name in NAMES}
        figures = ReportFigures(**values["figures"])
    except (BadFileError, ValueError, TypeError, KeyError):
        return None
    return Before(figures, tuple(name for name in NAMES if not _holds(folder / name, hashes[name])))


def find_kept(folder: Path, key: str) -> ReportFigures | None:
    """Return the figures of files that were made from the same and are whole; None where there are none."""
    earlier = read_marker(folder, key)
    return None if earlier is None or earlier.changed else earlier.figures


def refuse_changed(folder: Path, key: str) -> None:
    """Refuse to replace files that were made from the same, but are not as they were made.

    Raises
    ------
    OutputExistsError
        Naming them.
    """
    earlier = read_marker(folder, key)
    if earlier is not None and earlier.changed:
        names = ", ".join(earlier.changed)
        raise OutputExistsError(
            f"no longer holds what the batch made ({names}); say --force to make it anew, or give another --out",
            where=[str(folder)],
        )


def _holds(path: Path, hash_then: object) -> bool:
    try:
        return _hash(read_bytes(path)) == hash_then
    except BadFileError:
        return False


def _hash(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
