"""``hummock colours``: how many colours are needed, to be answered by looking."""

from pathlib import Path
from typing import Annotated

import typer

from convert.cli.options import HeightMap, Picture, Where, with_choices
from convert.cli.outputs import Output
from convert.cli.parameters import COUNT
from convert.colouring.choices import FEWEST_REVIEWED, MOST_REVIEWED
from convert.files import read_bytes
from convert.options import Options

NAME = "colours.html"


@with_choices
def colours(
    picture: Picture,
    *,
    first: Annotated[int, typer.Option("--from", **COUNT, help="Fewest colours to look at.")] = FEWEST_REVIEWED,
    last: Annotated[int, typer.Option("--to", **COUNT, help="Most colours to look at.")] = MOST_REVIEWED,
    heights: HeightMap = None,
    options: Options,
    output: Annotated[Output, Where("PICTURE-colours", help="Folder for the page.")],
) -> None:
    """Review the number of colours: the chart at each, what it takes, and the number suggested.

    Takes the options of convert, and writes a page (colours.html). It shows the suggested number next to the one given
    with --colours.
    """
    from convert.documents.colour_review.page import review_page
    from convert.documents.colour_review.review import numbers_between
    from convert.documents.colour_review.words import review_summary
    from convert.image.decode import Source
    from convert.pattern import review_colours

    folder = output.out or Path(f"{picture.stem}-colours")
    output.check(folder, (NAME,), picture, heights)
    numbers = numbers_between(first, last)
    drawing = Source(str(picture), read_bytes(picture))
    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    with output.progress() as progress:
        review = review_colours(drawing, map_source, options, numbers, progress=progress)
        progress("drawing the charts")
        page = review_page(review, next_to=options.colours, spare_percent=options.spare_percent)
        wrote = output.place({NAME: page}, folder)
    output.say(review_summary(review), wrote)
