"""``hummock convert``: the main job."""

from pathlib import Path
from typing import Annotated

import typer

from convert.commands.parameters import (
    Cuts,
    one_of,
    parse_count,
    parse_crop,
    parse_cuts,
    parse_percent,
    parse_pixels,
    said,
)
from convert.commands.progress import shown
from convert.files import check_targets, place, read_bytes, read_text
from convert.options import Crop, Fit, Options, Policy, Turn
from convert.progress import Progress
from shared.beads import parse_ladder
from shared.units import parse_length_mm
from shared.ways import Hand, Start

OUTPUTS = ("design.json", "chart.svg", "chart.png", "rows.txt", "beads.csv")

_DEFAULT = Options()


def convert(
    picture: Annotated[Path, typer.Argument(help="The drawing: PNG, JPEG, TIFF, WebP, GIF …")],
    *,
    heights: Annotated[
        Path | None, typer.Option(help="Greyscale height map of the same shape: black flat, white highest.")
    ] = None,
    columns: Annotated[
        int | None, typer.Option(parser=said(parse_count), metavar="NUMBER", help="Beads across.")
    ] = None,
    width: Annotated[
        float | None,
        typer.Option(parser=said(parse_length_mm), metavar="LENGTH", help="Or the width, like 32mm or 1.3in."),
    ] = None,
    rows: Annotated[
        int | None,
        typer.Option(
            parser=said(parse_count), metavar="NUMBER", help="Stitched rows (half as many beads down a column)."
        ),
    ] = None,
    length_: Annotated[
        float | None,
        typer.Option(
            "--length", parser=said(parse_length_mm), metavar="LENGTH", help="Or the flat length, like 165mm or 6.5in."
        ),
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
        int, typer.Option("--colours", "--colors", parser=said(parse_count), metavar="NUMBER", help="At most so many.")
    ] = _DEFAULT.colours,
    ground: Annotated[str, typer.Option(help="Colour behind transparent parts, #rrggbb.")] = _DEFAULT.ground,
    cuts: Annotated[
        Cuts | None,
        typer.Option(
            parser=said(parse_cuts), metavar="CUTS", help="Heights where the next size begins, like 0.25,0.5,0.75."
        ),
    ] = None,
    policy: Annotated[
        Policy,
        typer.Option(**one_of(Policy), help="Slopes are cut out of the domes (ground) or added around them (peak)."),
    ] = _DEFAULT.policy,
    blur: Annotated[
        float,
        typer.Option(
            parser=said(parse_length_mm),
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
    hand: Annotated[
        Hand, typer.Option(**one_of(Hand), help="Hand you stitch with; left mirrors the ways.")
    ] = _DEFAULT.hand,
    start: Annotated[Start, typer.Option(**one_of(Start), help="Where row 1 lies on the picture.")] = _DEFAULT.start,
    ladder: Annotated[Path | None, typer.Option(help="Your bead measures, a TOML file.")] = None,
    spare: Annotated[
        float, typer.Option(parser=said(parse_percent), metavar="PERCENT", help="Beads to buy above the count.")
    ] = _DEFAULT.spare_percent,
    title: Annotated[str, typer.Option(show_default="from the file name", help="Title of the pattern.")] = "",
    max_pixels: Annotated[
        int,
        typer.Option(parser=said(parse_pixels), metavar="PIXELS", show_default="100M", help="Refuse larger pictures."),
    ] = _DEFAULT.max_pixels,
    out: Annotated[Path | None, typer.Option(show_default="PICTURE-pattern", help="Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make a pattern from a drawing: design, chart, word rows and shopping list."""
    options = Options(
        columns=columns,
        width_mm=width,
        rows=rows,
        length_mm=length_,
        colours=colours,
        fit=fit,
        crop=crop,
        turn=turn,
        mirror=mirror,
        ground=ground,
        hand=hand,
        start=start,
        cuts=None if cuts is None else cuts.heights,
        policy=policy,
        blur_mm=blur,
        invert_heights=invert_heights,
        stretch_heights=stretch_heights,
        spare_percent=spare,
        max_pixels=max_pixels,
        title=title,
        ladder=_DEFAULT.ladder if ladder is None else parse_ladder(read_text(ladder), source=str(ladder)),
    )
    folder = out or Path(f"{picture.stem}-pattern")
    check_targets(folder, OUTPUTS, force=force)
    with shown(quiet=quiet) as progress:
        told = _make(picture, heights, options, folder, force=force, progress=progress)
    if not quiet:
        typer.echo(told)


def _make(
    picture: Path, heights: Path | None, options: Options, folder: Path, *, force: bool, progress: Progress
) -> str:
    """Run the job and place its files; return what to tell."""
    from convert.buying.shopping import shopping_list
    from convert.decode import Source
    from convert.outputs import pattern_files
    from convert.pipeline import convert as convert_picture
    from convert.summary import summary

    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    pattern = convert_picture(Source(str(picture), read_bytes(picture)), map_source, options, progress=progress)
    purchases = shopping_list(pattern.design, spare_percent=options.spare_percent)
    place(pattern_files(pattern.design, purchases, progress=progress), folder, force=force)
    return f"{summary(pattern, purchases)}\nwrote {', '.join(OUTPUTS)} to {folder}"
