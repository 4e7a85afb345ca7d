"""What a command writes and says: checked before any work, above all that no output is an input, then put in place."""

import os
import sys
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from convert.drafts import mend
from convert.files import check_targets, place
from convert.progress import Progress, silent
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from shared.design import Design

Input = Path | str | None
"""A file that a command reads, or a name that may be that of one; None for an option that was not given."""


@dataclass(frozen=True)
class Output:
    """Where the outputs of a command go, whether they may replace others, and whether it says what it did."""

    out: Path | None
    force: bool
    quiet: bool
    read: tuple[Path, ...] = ()
    """Files that its choices were read from: no output may replace them."""

    def check(self, folder: Path, names: Sequence[str], *inputs: Input) -> None:
        """Refuse outputs before any work is done; errors as `check_outputs`."""
        check_outputs(folder, tuple(names), inputs=(*inputs, *self.read), force=self.force)

    def open_design(self, given: Path, names: Sequence[str], *inputs: Input, ending: str = "") -> "tuple[Design, Path]":
        """Return a design, and the folder for its outputs: next to it, or, with an ending, one of its own."""
        from convert.design_input import design_path, folder_beside, read_design

        folder = self.out or (folder_beside(given, ending) if ending else design_path(given).parent)
        self.check(folder, names, design_path(given), *inputs)
        return read_design(given), folder

    def progress(self) -> AbstractContextManager[Progress]:
        """Show what a run is at, until the block ends."""
        return shown(quiet=self.quiet)

    def place(self, files: Mapping[str, bytes | str], folder: Path) -> str:
        """Put files in place; return what to say of them."""
        contents = {name: file.encode() if isinstance(file, str) else file for name, file in files.items()}
        place(contents, folder, force=self.force)
        return f"wrote {', '.join(files)} to {folder}"

    def say(self, *lines: str) -> None:
        """Say what was done, unless nothing is to be said."""
        if not self.quiet:
            typer.echo("\n".join(lines))


def check_outputs(folder: Path, names: tuple[str, ...], *, inputs: Iterable[Input], force: bool) -> None:
    """Refuse, before any work is done, what cannot be written or would destroy what the command reads.

    What a killed run left half written in the folder is put back first. Errors as `check_no_input` and
    `convert.files.check_targets`.
    """
    if folder.suffix in {Path(name).suffix for name in names} and not folder.exists():
        raise BadChoiceError(f"--out names a folder, and {folder} looks like a file; give {folder.with_suffix('')}")
    mend(folder)
    check_no_input([folder / name for name in names], inputs)
    check_targets(folder, names, force=force)


def check_no_input(targets: Iterable[Path], inputs: Iterable[Input]) -> None:
    """Refuse outputs that are inputs; links are followed, for so they are when files are replaced."""
    read = {_which(path) for path in inputs if path is not None} - {None}
    for target in targets:
        if _which(target) in read:
            raise BadChoiceError(f"{target} is read here, and the output would replace it; give another name or folder")


def check_png(target: Path, what: str) -> None:
    """Refuse a name that promises another kind of file than the PNG that is written."""
    if target.suffix.lower() != ".png":
        raise BadChoiceError(f"{what} is a PNG; give --out a name that ends in .png, not '{target.name}'")


def check_apart(targets: Sequence[Path]) -> None:
    """Refuse outputs of two kinds that would be one file, or one a folder that holds the other."""
    places = [Path(os.path.realpath(target)) for target in targets]
    where = dict(zip(places, targets, strict=True))
    for target, home in zip(targets, places, strict=True):
        for other in (home, *home.parents):
            if other in where and where[other] is not target:
                raise BadChoiceError(
                    f"{where[other]} and {target} would be in each other's place; give another name or folder"
                )


def _which(path: Path | str) -> tuple[int, int] | None:
    """Return which file a name leads to; None where it leads to none."""
    try:
        state = Path(path).stat()
    except (OSError, ValueError):
        return None
    return state.st_dev, state.st_ino


@contextmanager
def shown(*, quiet: bool) -> Iterator[Progress]:
    """Show what a run is at, until the block ends."""
    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.console import Console

    with Console(stderr=True).status("starting") as status:
        yield lambda step: status.update(f"{step} …") if step else None


def complain(sentence: str) -> None:
    """Say what is wrong; characters that would move the cursor are shown as what they are."""
    typer.echo(f"hummock: {plainly(sentence)}", err=True)


def plainly(text: str) -> str:
    r"""Return text that a terminal can show: names of files may hold any character.

    Examples
    --------
    >>> plainly("tide\x1b[2J.png: is empty")
    'tide\\x1b[2J.png: is empty'
    """
    return "".join(letter if letter.isprintable() or letter == "\n" else ascii(letter)[1:-1] for letter in text)
