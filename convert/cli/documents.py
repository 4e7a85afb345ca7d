"""``hummock page`` and ``hummock booklet``: a design as the stitch page, and as a PDF to sell and to stitch from."""

from pathlib import Path
from typing import Annotated

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output
from convert.documents.booklet.choices import BookletChoices

STITCH_NAME = "stitch.html"
BOOKLET_NAME = "booklet.pdf"


@with_choices
def page(
    design: DesignFile,
    *,
    surface: Annotated[
        bool, typer.Option("--surface/--no-surface", help="Show the predicted shape, to be turned about.")
    ] = True,
    output: Annotated[Output, Where("next to the design", help="Folder for the page.")],
) -> None:
    """Write the stitch page: one HTML file to stitch from, which opens in any browser, without a network.

    It shows one row at a time, keeps your place, counts repeats, and tells when to check.
    """
    from convert.documents.stitch_page.page import plan_steps, stitch_page
    from convert.documents.stitch_page.shape import predict_lying

    work, folder = output.open_design(design, (STITCH_NAME,))
    with output.progress() as progress:
        lying, why_not = predict_lying(work, progress=progress) if surface else (None, "")
        content = stitch_page(work, plan_steps(work), lying, why_not)
    wrote = output.place({STITCH_NAME: content}, folder)
    output.say(*([f"note: no view in space: {why_not}"] if why_not else []), wrote)


@with_choices
def booklet(
    design: DesignFile,
    *,
    choices: BookletChoices,
    colourway: Annotated[
        list[Path] | None,
        typer.Option("--colourway", "--colorway", metavar="DESIGN", help="The same in other colours; may come again."),
    ] = None,
    output: Annotated[Output, Where("next to the design", help="Folder for the booklet.")],
) -> None:
    """Make a booklet: cover, materials, how it is stitched, chart, word rows, sizes, cautions, in one PDF."""
    from convert.design_input import design_path, read_design
    from convert.documents.booklet.booklet import booklet_pdf

    work, folder = output.open_design(design, (BOOKLET_NAME,), *map(design_path, colourway or []))
    others = [read_design(path) for path in colourway or []]
    with output.progress() as progress:
        document = booklet_pdf(work, choices, colourways=others, progress=progress)
    output.say(output.place({BOOKLET_NAME: document}, folder))
