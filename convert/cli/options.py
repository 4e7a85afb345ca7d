"""The options of the main job on the command line, derived from the choices that the stages state."""

from collections.abc import Callable
from dataclasses import Field, fields
from functools import partial, wraps
from inspect import Parameter, signature
from keyword import iskeyword
from pathlib import Path
from typing import Annotated, Any, Literal, get_origin, get_type_hints

import typer

from convert.cli.palette_words import given_colour, ground_colour, palette_named
from convert.cli.parameters import (
    one_of,
    parse_count,
    parse_count_or_auto,
    parse_crop,
    parse_drop,
    parse_percent,
    parse_pixels,
    parse_strength,
    parse_thresholds,
    said,
)
from convert.files import MOST_WORDS_MEGABYTES, read_text
from convert.options import Options
from convert.relief.dome_syntax import parse_dome
from shared.beads import BeadSizes, parse_bead_sizes
from shared.choice import Asked, asked_of, option_name
from shared.units import parse_length_mm

OptionFiles = tuple[Path, ...]
"""Files that the options of the main job were read from: no output may replace them."""

_FORMS: dict[str, tuple[Callable[[str], Any], str]] = {
    "count": (parse_count, "NUMBER"),
    "count or none": (partial(parse_count, zero=True), "NUMBER"),
    "count or auto": (parse_count_or_auto, "NUMBER|auto"),
    "length": (parse_length_mm, "LENGTH"),
    "length or none": (partial(parse_length_mm, zero=True), "LENGTH"),
    "box": (parse_crop, "BOX"),
    "drop": (parse_drop, "1|2"),
    "percent": (parse_percent, "PERCENT"),
    "pixels": (parse_pixels, "PIXELS"),
    "strength": (parse_strength, "NUMBER"),
    "shares": (parse_thresholds, "SHARES"),
    "dome": (parse_dome, "WORDS"),
}
"""How the words of a choice are read, and what stands for them in the help. The forms below stay words until all are
read: what they mean depends on a file, or on the palette."""

_WORDS = {"text", "palette", "kept colour", "ground", "measures"}


def _parameter_of(one: "Field[Any]", asked: Asked, hint: Any) -> Parameter:
    """Return how typer is told of a choice."""
    name = option_name(one)
    flags = (f"--{name}", "--colors") if name == "colours" else (f"--{name}",)
    more: dict[str, Any] = {"help": asked.words, "rich_help_panel": asked.group}
    kind: Any = Any
    default = one.default
    if asked.shown:
        more["show_default"] = asked.shown
    if hint is bool:
        kind = bool
    elif get_origin(hint) is Literal:
        more |= one_of(hint)
    elif asked.form in _WORDS:
        kind = Path | None if asked.form == "measures" else list[str] | None if asked.many else str | None
        default = "" if default == "" else None
        kind = str if default == "" else kind
        more["metavar"] = asked.metavar or None
    else:
        parse, metavar = _FORMS[asked.form]
        more |= {"parser": said(parse), "metavar": asked.metavar or metavar}
        kind = list[str] | None if asked.many else Any
        default = None if asked.many else default
        if asked.form == "length or none":
            more["show_default"] = False
    annotation = Annotated[kind, typer.Option(*flags, **more)]
    called = name.replace("-", "_") + ("_" if iskeyword(name) else "")
    return Parameter(called, Parameter.KEYWORD_ONLY, default=default, annotation=annotation)


def _parameters() -> dict[str, tuple["Field[Any]", Parameter]]:
    hints = get_type_hints(Options, localns={"Palette": object})  # loaded only where one is named
    asked = [(one, asked_of(one)) for one in fields(Options)]
    told = [(one, _parameter_of(one, how, hints[one.name])) for one, how in asked if how is not None]
    return {parameter.name: (one, parameter) for one, parameter in told}


_PARAMETERS = _parameters()

SHARED = tuple(_PARAMETERS)
"""The names of these options."""

FILES = ("palette", "measures")
"""Those of them that name a file."""


def options_from(chosen: dict[str, Any]) -> Options:
    """Make the options from what was read for each name of `SHARED`."""
    values = {one.name: chosen[name] for name, (one, _) in _PARAMETERS.items() if chosen[name] is not None}
    beads = palette_named(values["palette"]) if "palette" in values else None
    readers: dict[str, Callable[[Any], Any]] = {
        "palette": lambda _: beads,
        "keep": lambda words: tuple(map(given_colour, words)),
        "never": tuple,
        "domes": tuple,
        "ground": lambda words: ground_colour(words, beads),
        "bead_sizes": read_measures,
        "thresholds": lambda read: read.heights,
    }
    return Options(**{name: readers[name](value) if name in readers else value for name, value in values.items()})


def read_measures(path: Path) -> BeadSizes:
    """Read a file of bead measures; errors as in `shared.beads.parse_bead_sizes`."""
    return parse_bead_sizes(read_text(path, megabytes=MOST_WORDS_MEGABYTES), source=str(path))


def files_of(chosen: dict[str, Any]) -> OptionFiles:
    """Return the files that options name, by what was read for each name of `SHARED`."""
    return tuple(Path(chosen[name]) for name in FILES if chosen[name] is not None)


def with_options(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of the main job.

    Parameters
    ----------
    command
        It takes ``options: Options``, in whose place they are in its help, and ``option_files: OptionFiles``, those
        that they were read from.
    """
    own = signature(command, eval_str=True)

    @wraps(command)
    def wrapped(**said_words: Any) -> None:
        chosen = {name: said_words.pop(name) for name in SHARED}
        command(**said_words, options=options_from(chosen), option_files=files_of(chosen))

    places: dict[str, Any] = {"options": [told for _, told in _PARAMETERS.values()], "option_files": ()}
    listed = [p for name, p in own.parameters.items() for p in places.get(name, (p,))]
    keyword_only = [p.replace(kind=Parameter.KEYWORD_ONLY) for p in listed]
    wrapped.__signature__ = own.replace(parameters=keyword_only)  # type: ignore[attr-defined]
    wrapped.__annotations__ = {p.name: p.annotation for p in keyword_only}
    return wrapped
