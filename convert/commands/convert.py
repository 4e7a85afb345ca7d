"""``hummock convert``: the main job."""

from pathlib import Path
from typing import Annotated

import typer

from convert.commands.options import with_options
from convert.commands.parameters import named_folder, one_of
from convert.commands.progress import shown
from convert.files import check_targets, place, read_bytes
from convert.options import DEFAULT_INK, Ink, Options
from convert.progress import Progress

OUTPUTS = ("design.json", "chart.svg", "chart.png", "rows.txt", "beads.csv")


@with_options
def convert(
    picture: Annotated[Path, typer.Argument(metavar="PICTURE", help="The drawing: PNG, JPEG, TIFF, WebP, GIF …")],
    *,
    heights: Annotated[
        Path | None, typer.Option(help="Greyscale height map of the same shape: black flat, white highest.")
    ] = None,
    options: Options,
    ink: Annotated[
        Ink, typer.Option(**one_of(Ink), help="Chart in colours, or in black with a sign for each key.")
    ] = DEFAULT_INK,
    out: Annotated[
        str | None, typer.Option(metavar="FOLDER", show_default="PICTURE-pattern", help="Where the outputs go.")
    ] = None,
    no_surface: Annotated[
        bool, typer.Option("--no-surface", help="Predict no finished length; --length is then that of flat work.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make a pattern from a drawing: design, chart, word rows and shopping list."""
    folder = Path(f"{picture.stem}-pattern") if out is None else named_folder(out)
    check_targets(folder, OUTPUTS, force=force)
    with shown(quiet=quiet) as progress:
        outputs, told = _make(picture, heights, options, ink, surface=not no_surface, progress=progress)
        place(outputs, folder, force=force)
    if not quiet:
        typer.echo(f"{told}\nwrote {', '.join(OUTPUTS)} to {folder}")


def _make(
    picture: Path, heights: Path | None, options: Options, ink: Ink, *, surface: bool, progress: Progress
) -> tuple[dict[str, bytes], str]:
    """Run the job; return the files and what to tell."""
    from convert.buying.packs import pack_of
    from convert.buying.shopping import shopping_list
    from convert.decode import Source
    from convert.finished import Finished, convert_finished
    from convert.outputs import pattern_files
    from convert.pipeline import convert as convert_picture
    from convert.summary import summary

    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    source = Source(str(picture), read_bytes(picture))
    if surface:
        pattern, prediction = convert_finished(source, map_source, options, progress=progress)
    else:
        pattern, prediction = Finished(convert_picture(source, map_source, options, progress=progress), None)
    purchases = shopping_list(pattern.design, spare_percent=options.spare_percent, pack_of=pack_of(options.palette))
    told = summary(pattern, purchases, prediction=prediction)
    return pattern_files(pattern.design, purchases, ink=ink, progress=progress), told
