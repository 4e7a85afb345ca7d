"""``hummock convert``: the main job."""

import shlex
from pathlib import Path
from typing import Annotated

import typer

from convert.chart.choices import DEFAULT_INK, Ink
from convert.cli.options import OptionFiles, with_options
from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option, one_of
from convert.cli.progress import shown
from convert.files import place, read_bytes
from convert.options import Options
from convert.pattern_files import NAMES
from convert.text_table import in_columns


@with_options
def convert(
    picture: Annotated[Path, typer.Argument(metavar="PICTURE", help="The drawing: PNG, JPEG, TIFF, WebP, GIF …")],
    *,
    heights: Annotated[
        Path | None,
        typer.Option(
            help="Greyscale height map of the same shape: black flat, white highest.", rich_help_panel="Heights"
        ),
    ] = None,
    options: Options,
    option_files: OptionFiles,
    ink: Annotated[
        Ink, typer.Option(**one_of(Ink), help="Chart in colours, or in black with a sign for each key.")
    ] = DEFAULT_INK,
    out: Annotated[Path | None, folder_option("PICTURE-pattern", "Where the outputs go.")] = None,
    no_surface: Annotated[
        bool, typer.Option("--no-surface", help="Predict no finished length; --length is then that of flat work.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make a pattern from a drawing: design, chart, word rows and shopping list."""
    folder = Path(f"{picture.stem}-pattern") if out is None else out
    check_outputs(folder, NAMES, inputs=(picture, heights, *option_files), force=force)
    from convert.cli.summary import summary
    from convert.image.decode import Source
    from convert.pattern import Job, make

    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    job = Job(Source(str(picture), read_bytes(picture)), map_source, options, ink, surface=not no_surface)
    with shown(quiet=quiet) as progress:
        made = make(job, progress=progress)
        place(made.files, folder, force=force)
    if not quiet:
        told = summary(made.pattern, made.purchases, prediction=made.prediction)
        typer.echo(f"{told}\nwrote {', '.join(NAMES)} to {folder}\n{_next_steps(folder)}")


def _next_steps(folder: Path) -> str:
    """Return what to type next."""
    name = shlex.quote(str(folder))
    steps = (
        (f"hummock surface {name}", "its shape, and places to look at"),
        (f"hummock booklet {name}", "a PDF to stitch from and to sell"),
        (f"hummock page {name}", "a page to stitch from, in any browser"),
    )
    return "next:\n" + in_columns([(f"  {command}", what) for command, what in steps], words=2)
