"""The options of the main job, once, for every command that takes a picture."""

from collections.abc import Callable
from functools import partial, wraps
from inspect import Parameter, signature
from pathlib import Path
from typing import Annotated, Any

import typer

from convert.cli.palette_words import given_colour, ground_colour, palette_named
from convert.cli.parameters import (
    Thresholds,
    one_of,
    parse_colours,
    parse_count,
    parse_crop,
    parse_drop,
    parse_percent,
    parse_pixels,
    parse_repeat,
    parse_strength,
    parse_thresholds,
    said,
)
from convert.files import MOST_WORDS_MEGABYTES, read_text
from convert.options import Count, Crop, Fit, Options, Slopes, Style, Turn
from convert.relief.dome_syntax import DomeShape, parse_dome
from shared.beads import parse_bead_sizes
from shared.orientation import Hand, Start
from shared.units import parse_length_mm

_DEFAULT = Options()
_COUNT = {"parser": said(parse_count), "metavar": "NUMBER"}
_COUNT_OR_NONE = {"parser": said(partial(parse_count, zero=True)), "metavar": "NUMBER"}
_LENGTH = {"parser": said(parse_length_mm), "metavar": "LENGTH"}


def _options(
    *,
    columns: Annotated[int | None, typer.Option(**_COUNT, help="Beads across.")] = None,
    width: Annotated[float | None, typer.Option(**_LENGTH, help="Or the width, like 32mm or 1.3in.")] = None,
    rows: Annotated[
        int | None, typer.Option(**_COUNT, help="Stitched rows (half as many beads down a column).")
    ] = None,
    length: Annotated[
        float | None, typer.Option(**_LENGTH, help="Or the finished length, like 165mm or 6.5in.")
    ] = None,
    fit: Annotated[
        Fit,
        typer.Option(
            **one_of(Fit), help="If proportions differ: fill the work, show all of the picture, or distort it."
        ),
    ] = _DEFAULT.fit,
    crop: Annotated[
        Crop | None,
        typer.Option(
            parser=said(parse_crop), metavar="BOX", help="Part to use: left,top,width,height in pixels or with %."
        ),
    ] = None,
    turn: Annotated[
        Turn, typer.Option(**one_of(Turn), help="Degrees clockwise; auto turns what lies on its side.")
    ] = _DEFAULT.turn,
    mirror: Annotated[bool, typer.Option("--mirror", help="Swap left and right.")] = _DEFAULT.mirror,
    colours: Annotated[
        Any,
        typer.Option(
            "--colours",
            "--colors",
            parser=said(parse_colours),
            metavar="NUMBER|auto",
            help="At most so many; auto takes as many as the picture needs.",
        ),
    ] = _DEFAULT.colours,
    style: Annotated[
        Style, typer.Option(**one_of(Style), help="What the picture is: shaded, in flat areas, or drawn in thin lines.")
    ] = _DEFAULT.style,
    palette: Annotated[
        str | None,
        typer.Option(metavar="FILE|NAME", help="Beads that exist: a table or GIMP palette, or one that comes along."),
    ] = None,
    count: Annotated[
        Count, typer.Option(**one_of(Count), help="What --colours counts: colours, or beads to buy.")
    ] = _DEFAULT.count,
    keep: Annotated[
        list[str] | None, typer.Option(metavar="NAME|NAME=#RRGGBB", help="A colour that must be in; may come again.")
    ] = None,
    never: Annotated[
        list[str] | None, typer.Option(metavar="NAME", help="A colour of the palette to leave out; may come again.")
    ] = None,
    ground: Annotated[
        str | None, typer.Option(metavar="COLOUR", help="Background: #rrggbb, or a name of the palette.")
    ] = None,
    fewest: Annotated[int, typer.Option(**_COUNT, help="Give up colours that fewer beads have.")] = _DEFAULT.fewest,
    tidy: Annotated[
        float,
        typer.Option(parser=said(parse_strength), metavar="0…3", help="How strongly stray beads are tidied away."),
    ] = _DEFAULT.tidy,
    raise_: Annotated[
        list[DomeShape] | None,
        typer.Option(
            "--raise",
            parser=said(parse_dome),
            metavar="WORDS",
            help='Raise a shape, like "diamond 12,9 r5" (see hummock heights); give it again for more.',
        ),
    ] = None,
    thresholds: Annotated[
        Thresholds | None,
        typer.Option(
            parser=said(parse_thresholds),
            metavar="SHARES",
            help="Heights where the next size begins, like 0.25,0.5,0.75.",
        ),
    ] = None,
    slopes: Annotated[
        Slopes,
        typer.Option(**one_of(Slopes), help="Slopes are taken off the domes (trim) or added around them (widen)."),
    ] = _DEFAULT.slopes,
    blur: Annotated[
        float,
        typer.Option(
            parser=said(partial(parse_length_mm, zero=True)),
            metavar="LENGTH",
            show_default=False,
            help="Smooth the height map, like 1.5mm.",
        ),
    ] = _DEFAULT.blur_mm,
    invert_heights: Annotated[
        bool, typer.Option("--invert-heights", help="White is flat, black is highest.")
    ] = _DEFAULT.invert_heights,
    stretch_heights: Annotated[
        bool, typer.Option("--stretch-heights", help="Accept a height map of another shape.")
    ] = _DEFAULT.stretch_heights,
    repeat: Annotated[
        Any,
        typer.Option(
            parser=said(parse_repeat),
            metavar="NUMBER|auto",
            help="Work the picture so often along the length; auto fills --length or --rows with whole rounds.",
        ),
    ] = _DEFAULT.repeat,
    first_rows: Annotated[
        int, typer.Option(**_COUNT_OR_NONE, help="Plain rows before the rounds of --repeat.")
    ] = _DEFAULT.first_rows,
    last_rows: Annotated[int, typer.Option(**_COUNT_OR_NONE, help="Plain rows after them.")] = _DEFAULT.last_rows,
    mirror_half: Annotated[
        bool, typer.Option("--mirror-half", help="The second half is the first mirrored, the last row like the first.")
    ] = _DEFAULT.mirror_half,
    hand: Annotated[
        Hand, typer.Option(**one_of(Hand), help="Hand you stitch with; left mirrors the ways.")
    ] = _DEFAULT.hand,
    start: Annotated[Start, typer.Option(**one_of(Start), help="Where row 1 lies on the picture.")] = _DEFAULT.start,
    drop: Annotated[
        int,
        typer.Option(parser=said(parse_drop), metavar="1|2", help="Beads to a stitch: 2 for two-drop, in pairs."),
    ] = _DEFAULT.drop,
    measures: Annotated[Path | None, typer.Option(help="Your bead measures, a TOML file.")] = None,
    spare: Annotated[
        float, typer.Option(parser=said(parse_percent), metavar="PERCENT", help="Beads to buy above the count.")
    ] = _DEFAULT.spare_percent,
    title: Annotated[str, typer.Option(show_default="from the file name", help="Title of the pattern.")] = "",
    max_pixels: Annotated[
        int,
        typer.Option(parser=said(parse_pixels), metavar="PIXELS", show_default="100M", help="Refuse larger pictures."),
    ] = _DEFAULT.max_pixels,
) -> Options:
    """Make the options from what the command line says."""
    beads = None if palette is None else palette_named(palette)
    return Options(
        columns=columns,
        width_mm=width,
        rows=rows,
        length_mm=length,
        colours=colours,
        fit=fit,
        crop=crop,
        turn=turn,
        mirror=mirror,
        style=style,
        palette=beads,
        keep=tuple(given_colour(words) for words in keep or ()),
        never=tuple(never or ()),
        count=count,
        ground=None if ground is None else ground_colour(ground, beads),
        fewest=fewest,
        tidy=tidy,
        repeat=repeat,
        first_rows=first_rows,
        last_rows=last_rows,
        mirror_half=mirror_half,
        hand=hand,
        start=start,
        drop=drop,
        domes=tuple(raise_ or ()),
        thresholds=None if thresholds is None else thresholds.heights,
        slopes=slopes,
        blur_mm=blur,
        invert_heights=invert_heights,
        stretch_heights=stretch_heights,
        spare_percent=spare,
        max_pixels=max_pixels,
        title=title,
        bead_sizes=_DEFAULT.bead_sizes
        if measures is None
        else parse_bead_sizes(read_text(measures, megabytes=MOST_WORDS_MEGABYTES), source=str(measures)),
    )


SHARED = tuple(signature(_options).parameters)
"""The names of these options."""


def options_from(chosen: dict[str, Any]) -> Options:
    """Make the options from what was read for each name of `SHARED`."""
    return _options(**{name: chosen[name] for name in SHARED})


FILES = ("palette", "measures")
"""Those of them that name a file."""

OptionFiles = tuple[Path, ...]
"""Files that the options of the main job were read from: no output may replace them."""


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
    shared = signature(_options).parameters

    @wraps(command)
    def wrapped(**said_words: Any) -> None:
        chosen = {name: said_words.pop(name) for name in shared}
        command(**said_words, options=_options(**chosen), option_files=files_of(chosen))

    places: dict[str, Any] = {"options": shared.values(), "option_files": ()}
    listed = [p for name, p in own.parameters.items() for p in places.get(name, (p,))]
    keyword_only = [p.replace(kind=Parameter.KEYWORD_ONLY) for p in listed]
    wrapped.__signature__ = own.replace(parameters=keyword_only)  # type: ignore[attr-defined]
    wrapped.__annotations__ = {p.name: p.annotation for p in keyword_only}
    return wrapped
