"""Choices as options of the command line: each is derived from the dataclass of choices that states it."""

from collections.abc import Callable
from dataclasses import Field, fields, is_dataclass
from functools import cache, partial, wraps
from inspect import Parameter, signature
from keyword import iskeyword
from pathlib import Path
from typing import Annotated, Any, Literal, NamedTuple, TypeVar, get_origin, get_type_hints

import typer

from convert.cli.outputs import Output
from convert.cli.parameters import (
    given_colour,
    ground_colour,
    named_path,
    one_of,
    palette_named,
    parse_chosen_pack,
    parse_count,
    parse_count_or_auto,
    parse_crop,
    parse_drop,
    parse_percent,
    parse_pixels,
    parse_strength,
    parse_thresholds,
    read_measures,
    read_studio,
    said,
)
from convert.options import Options
from convert.relief.dome_syntax import parse_dome
from convert.shopping.wrists import parse_ease_mm
from shared.choice import Asked, asked_of, option_name
from shared.units import parse_length_mm

Choices = TypeVar("Choices")

DesignFile = Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")]
Picture = Annotated[Path, typer.Argument(metavar="PICTURE", help="The drawing: PNG, JPEG, TIFF, WebP, GIF …")]
HeightMap = Annotated[
    Path | None,
    typer.Option(help="Greyscale height map of the same shape: black flat, white highest.", rich_help_panel="Heights"),
]
NoSurface = Annotated[
    bool, typer.Option("--no-surface", help="Predict no finished length; --length is then that of flat work.")
]


class Where(NamedTuple):
    """What the help says of ``--out``, in an annotation of `Output`."""

    otherwise: str
    """Where the outputs go if it is not given."""
    metavar: str = "FOLDER"
    help: str = "Folder for the outputs."


_FORMS: dict[str, tuple[Callable[[str], Any], str]] = {
    "count": (parse_count, "NUMBER"),
    "count or none": (partial(parse_count, zero=True), "NUMBER"),
    "count or auto": (parse_count_or_auto, "NUMBER|auto"),
    "length": (parse_length_mm, "LENGTH"),
    "length or none": (partial(parse_length_mm, zero=True), "LENGTH"),
    "ease": (parse_ease_mm, "snug|comfortable|loose|LENGTH"),
    "box": (parse_crop, "BOX"),
    "drop": (parse_drop, "1|2"),
    "percent": (parse_percent, "PERCENT"),
    "pixels": (parse_pixels, "PIXELS"),
    "strength": (parse_strength, "NUMBER"),
    "shares": (parse_thresholds, "SHARES"),
    "dome": (parse_dome, "WORDS"),
    "pack": (parse_chosen_pack, "GRAMS"),
}
"""How the words of a choice are read, and what stands for them in the help."""

_WORDS = {"text": "TEXT", "palette": "FILE|NAME", "kept colour": "COLOUR", "ground": "COLOUR"}
_PATHS = ("measures", "studio")
"""Both stay as they are until all are read: what they mean depends on a file, or on the palette."""


def _parameter_of(one: "Field[Any]", asked: Asked, hint: Any) -> Parameter:
    """Return how typer is told of a choice."""
    name = option_name(one)
    flags = dict.fromkeys((f"--{name}", f"--{name.replace('colour', 'color')}"))
    default = None if asked.many else one.default
    more: dict[str, Any] = {"help": asked.words, "rich_help_panel": asked.group}
    if asked.shown or default == 0.0:
        more["show_default"] = asked.shown or False  # nothing is done where nothing is given
    kind: Any = list[str] | None if asked.many else Any
    if hint is bool:
        kind = bool
    elif get_origin(hint) is Literal:
        more |= one_of(hint)
    elif asked.form in _FORMS:
        parse, metavar = _FORMS[asked.form]
        more |= {"parser": said(parse), "metavar": asked.metavar or metavar}
    else:
        kind = Path | None if asked.form in _PATHS else kind if asked.many else str | None
        default = default if isinstance(default, str) else None
        more["metavar"] = asked.metavar or _WORDS.get(asked.form, "FILE")
    called = name.replace("-", "_") + ("_" if iskeyword(name) else "")
    return _option(called, kind, default, *flags, **more)


def _option(name: str, kind: Any, default: Any, *flags: str, **more: Any) -> Parameter:
    return Parameter(
        name, Parameter.KEYWORD_ONLY, default=default, annotation=Annotated[kind, typer.Option(*flags, **more)]
    )


@cache
def parameters_of(choices: type[Any]) -> dict[str, tuple["Field[Any]", Parameter]]:
    """Return the options of a dataclass of choices by name, each with the field that states it."""
    unloaded = {"Palette": object, "ChosenPack": object}  # named in annotations, and loaded only where one is made
    hints = get_type_hints(choices, localns=unloaded)
    asked = [(one, asked_of(one)) for one in fields(choices)]
    told = [(one, _parameter_of(one, how, hints[one.name])) for one, how in asked if how is not None]
    return {parameter.name: (one, parameter) for one, parameter in told}


def choices_from(choices: Callable[..., Choices], chosen: dict[str, Any]) -> Choices:
    """Make choices from what was read for each of their options; other names count for nothing."""
    stated = {name: one for name, (one, _) in parameters_of(choices).items() if chosen[name] is not None}
    palette = palette_named(chosen["palette"]) if "palette" in stated else None
    meanings: dict[str, Callable[[Any], Any]] = {
        "palette": lambda _: palette,
        "kept colour": given_colour,
        "ground": lambda words: ground_colour(words, palette),
        "measures": read_measures,
        "studio": read_studio,
    }
    values: dict[str, Any] = {}
    for name, one in stated.items():
        asked = asked_of(one)
        mean = meanings.get(asked.form if asked else "", lambda value: value)
        values[one.name] = tuple(map(mean, chosen[name])) if asked and asked.many else mean(chosen[name])
    return choices(**values)


def file_options(choices: type) -> list[str]:
    """Return the names of those options of choices that name a file."""
    asked = [(name, asked_of(one)) for name, (one, _) in parameters_of(choices).items()]
    return [name for name, how in asked if how is not None and how.form in ("palette", *_PATHS)]


def _output_options(where: Where) -> list[Parameter]:
    out: dict[str, Any] = {"metavar": where.metavar, "show_default": where.otherwise, "help": where.help}
    return [
        _option("out", Path | None, None, "--out", parser=said(named_path), **out),
        _option("force", bool, False, "--force", help="Replace outputs that are there."),
        _option("quiet", bool, False, "--quiet", help="Print nothing but errors."),
    ]


def with_choices(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command the options of its choices.

    Parameters
    ----------
    command
        Each of its parameters that is a dataclass of choices is made from the options of that dataclass, which stand
        in its place in the help. An ``Annotated[Output, Where(…)]`` stands for ``--out``, ``--force`` and ``--quiet``;
        it knows the files that choices were read from.
    """
    own = signature(command, eval_str=True)
    annotations: dict[str, Any] = {name: one.annotation for name, one in own.parameters.items()}
    kinds = {name: kind for name, kind in annotations.items() if isinstance(kind, type) and is_dataclass(kind)}
    listed: list[Parameter] = []
    for name, one in own.parameters.items():
        if name in kinds:
            listed += [told for _, told in parameters_of(kinds[name]).values()]
        elif name == "output":
            listed += _output_options(one.annotation.__metadata__[0])
        else:
            listed.append(one)

    @wraps(command)
    def wrapped(**words: Any) -> None:
        made = {name: choices_from(kind, words) for name, kind in kinds.items()}
        named = [words[name] for kind in kinds.values() for name in file_options(kind) if words[name] is not None]
        if "output" in own.parameters:
            made["output"] = Output(words["out"], words["force"], words["quiet"], tuple(map(Path, named)))
        command(**{name: words[name] for name in own.parameters if name in words} | made)

    keyword_only = [one.replace(kind=Parameter.KEYWORD_ONLY) for one in listed]
    wrapped.__signature__ = own.replace(parameters=keyword_only)  # type: ignore[attr-defined]
    wrapped.__annotations__ = {one.name: one.annotation for one in keyword_only}
    return wrapped


SHARED = tuple(parameters_of(Options))
"""The names of the options of the main job."""
