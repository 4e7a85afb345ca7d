"""``hummock colours``: how many colours are needed, to be answered by looking."""

from pathlib import Path
from typing import Annotated

import typer

from convert.cli.options import OptionFiles, with_options
from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option, parse_count, said
from convert.cli.progress import shown
from convert.colouring.choices import FEWEST_REVIEWED, MOST_REVIEWED
from convert.files import place, read_bytes
from convert.options import Options
from convert.progress import Progress

NAME = "colours.html"

_NUMBER = {"parser": said(parse_count), "metavar": "NUMBER"}


@with_options
def colours(
    picture: Annotated[Path, typer.Argument(metavar="PICTURE", help="The drawing: PNG, JPEG, TIFF, WebP, GIF …")],
    *,
    first: Annotated[int, typer.Option("--from", **_NUMBER, help="Fewest colours to look at.")] = FEWEST_REVIEWED,
    last: Annotated[int, typer.Option("--to", **_NUMBER, help="Most colours to look at.")] = MOST_REVIEWED,
    heights: Annotated[
        Path | None, typer.Option(help="Greyscale height map of the same shape: black flat, white highest.")
    ] = None,
    options: Options,
    option_files: OptionFiles,
    out: Annotated[Path | None, folder_option("PICTURE-colours", "Folder for the page.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a page that is there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Review the number of colours: the chart at each, what it takes, and the number suggested.

    Takes the options of convert, and writes a page (colours.html). It shows the suggested number next to the one given
    with --colours.
    """
    folder = out or Path(f"{picture.stem}-colours")
    check_outputs(folder, (NAME,), inputs=(picture, heights, *option_files), force=force)
    with shown(quiet=quiet) as progress:
        page, told = _make(picture, heights, options, (first, last), progress)
        place({NAME: page}, folder, force=force)
    if not quiet:
        typer.echo(f"{told}\nwrote {NAME} to {folder}")


def _make(
    picture: Path, heights: Path | None, options: Options, between: tuple[int, int], progress: Progress
) -> tuple[bytes, str]:
    """Run the job; return the page and what to tell."""
    from convert.documents.colour_review.page import review_page
    from convert.documents.colour_review.review import numbers_between
    from convert.documents.colour_review.words import review_summary
    from convert.image.decode import Source
    from convert.pattern import review_colours

    numbers = numbers_between(*between)
    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    review = review_colours(Source(str(picture), read_bytes(picture)), map_source, options, numbers, progress=progress)
    progress("drawing the charts")
    page = review_page(review, next_to=options.colours, spare_percent=options.spare_percent)
    return page.encode(), review_summary(review)
