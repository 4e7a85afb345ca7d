"""What is checked of the outputs of a command before it does any work: above all that none of them is an input."""

import os
from collections.abc import Iterable, Sequence
from pathlib import Path

from convert.drafts import mend
from convert.files import check_targets
from shared.errors import BadChoiceError

Input = Path | str | None
"""A file that a command reads, or a name that may be that of one; None for an option that was not given."""


def check_outputs(folder: Path, names: tuple[str, ...], *, inputs: Iterable[Input], force: bool) -> None:
    """Refuse, before any work is done, what cannot be written or would destroy what the command reads.

    What a killed run left half written in the folder is put back first.

    Parameters
    ----------
    folder, names
        Where the outputs go.
    inputs
        All that the command reads; what is not there counts for nothing here.
    force
        Whether files that are there may be replaced; an input never is.

    Raises
    ------
    BadChoiceError
        When an output is one of the inputs, by whatever name.
    HummockError
        As `convert.files.check_targets`.
    """
    mend(folder)
    check_no_input([folder / name for name in names], inputs)
    check_targets(folder, names, force=force)


def check_no_input(targets: Iterable[Path], inputs: Iterable[Input]) -> None:
    """Refuse outputs that are inputs; links are followed, for so they are when files are replaced.

    Raises
    ------
    BadChoiceError
        Naming the first.
    """
    read = {_which(path) for path in inputs if path is not None} - {None}
    for target in targets:
        if _which(target) in read:
            raise BadChoiceError(f"{target} is read here, and the output would replace it; give another name or folder")


def check_png(target: Path, what: str) -> None:
    """Refuse a name that promises another kind of file than the PNG that is written.

    Raises
    ------
    BadChoiceError
        When it does.
    """
    if target.suffix.lower() != ".png":
        raise BadChoiceError(f"{what} is a PNG; give --out a name that ends in .png, not '{target.name}'")


def check_apart(targets: Sequence[Path]) -> None:
    """Refuse outputs of two kinds that would be one file, or one a folder that holds the other.

    Raises
    ------
    BadChoiceError
        Naming both.
    """
    places = [Path(os.path.realpath(target)) for target in targets]
    where = dict(zip(places, targets, strict=True))
    for target, place in zip(targets, places, strict=True):
        for other in (place, *place.parents):
            if other in where and where[other] is not target:
                raise BadChoiceError(
                    f"{where[other]} and {target} would be in each other's place; give another name or folder"
                )


def _which(path: Path | str) -> tuple[int, int] | None:
    """Tell which file a name leads to; None where it leads to none."""
    try:
        state = Path(path).stat()
    except (OSError, ValueError):
        return None
    return state.st_dev, state.st_ino
