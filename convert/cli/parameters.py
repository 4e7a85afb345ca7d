"""How the words of an option become values; the only place where our errors become those of the option reader."""

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal, TypeVar, get_args

import typer

from convert.layout.choices import Crop
from shared.errors import BadChoiceError, HummockError

Value = TypeVar("Value")


def said(parse: Callable[[str], Value]) -> Callable[[str | Value], Value]:
    """Adapt a reader of words to an option: a default passes unchanged, an error names the option."""

    def read(words: str | Value) -> Value:
        if not isinstance(words, str):
            return words
        try:
            return parse(words)
        except HummockError as error:
            raise typer.BadParameter(str(error)) from error

    return read


def one_of(words: Any) -> dict[str, Any]:
    """Return what an option needs that takes one of the words of a ``Literal``."""
    allowed: tuple[str, ...] = get_args(words)

    def parse(word: str) -> str:
        if word not in allowed:
            raise BadChoiceError(f"'{word}' is not among {', '.join(allowed)}; take one of them")
        return word

    return {"parser": said(parse), "metavar": "|".join(allowed)}


@dataclass(frozen=True)
class Thresholds:
    """Heights at which the next size begins; in a class of its own, for typer reads a tuple as several words."""

    heights: tuple[float, ...]


def parse_thresholds(words: str) -> Thresholds:
    """Read heights such as ``0.25,0.5,0.75`` or ``25%,50%,75%``."""
    try:
        return Thresholds(tuple(_share(part.strip()) for part in words.split(",")))
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no list of heights; write it like 0.25,0.5,0.75") from error


def parse_crop(words: str) -> Crop:
    """Read a box such as ``10,20,300,800`` in pixels or ``5%,0%,90%,100%``: left, top, width, height."""
    parts = [part.strip() for part in words.split(",")]
    percent = all(part.endswith("%") for part in parts)
    try:
        left, top, width, height = (float(part.removesuffix("%") if percent else part) for part in parts)
    except ValueError as error:
        raise BadChoiceError(
            f"'{words}' is no box; write left,top,width,height, all in pixels (10,20,300,800) or all in per cent"
        ) from error
    if not all(abs(value) < float("inf") for value in (left, top, width, height)):
        raise BadChoiceError(f"'{words}' holds a number without end; give plain numbers")
    return Crop(left, top, width, height, percent)


def named_folder(words: str) -> Path:
    """Return a folder by its name; an empty name, as an unset variable gives, is refused."""
    if not words.strip():
        raise BadChoiceError("an empty name is no folder; give one, or leave it out")
    return Path(words)


def folder_option(default: str, what: str) -> Any:
    """Return the option that names a folder for outputs.

    Parameters
    ----------
    default, what
        As the help says which folder is taken otherwise, and what goes there.
    """
    return typer.Option(parser=said(named_folder), metavar="FOLDER", show_default=default, help=what)


def parse_count(words: str, *, zero: bool = False) -> int:
    """Read a whole number above zero such as ``25``, or zero itself where that is allowed."""
    text = words.strip()
    if not (text.isascii() and text.isdigit() and len(text) < 10 and (zero or int(text) > 0)):
        raise BadChoiceError(f"'{words}' is no whole number{'' if zero else ' above zero'}; write it like 25")
    return int(text)


def parse_drop(words: str) -> int:
    """Read how many beads the needle takes in a stitch, 1 or 2."""
    drops = {"1": 1, "2": 2}
    if words.strip() not in drops:
        raise BadChoiceError(f"'{words}' is no drop; give 1, or 2 for two-drop")
    return drops[words.strip()]


def parse_count_or_auto(words: str) -> int | Literal["auto"]:
    """Read a whole number above zero, or ``auto``."""
    if words.strip() == "auto":
        return "auto"
    try:
        return parse_count(words)
    except BadChoiceError as error:
        raise BadChoiceError(f"{error}, or auto") from error


def parse_percent(words: str) -> float:
    """Read a number of per cent such as ``10`` or ``7.5%``."""
    try:
        return float(words.strip().removesuffix("%"))
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no number of per cent; write it like 10") from error


def parse_strength(words: str) -> float:
    """Read a strength such as ``1`` or ``0.5``."""
    try:
        return float(words)
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no strength; give a number from 0 to 3") from error


def parse_pixels(words: str) -> int:
    """Read a number of pixels such as ``300000000`` or ``300M``."""
    text = words.strip().upper()
    factor = 1_000_000 if text.endswith("M") else 1
    try:
        count = int(text.removesuffix("M")) * factor
    except ValueError as error:
        raise BadChoiceError(f"'{words}' is no number of pixels; write it like 300M") from error
    if count < 1:
        raise BadChoiceError("the limit must be above zero; write it like 300M")
    return count


def _share(part: str) -> float:
    return float(part[:-1]) / 100 if part.endswith("%") else float(part)
