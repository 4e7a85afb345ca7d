"""``hummock page``: the stitch page of a design."""

from pathlib import Path
from typing import Annotated

import typer

from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option
from convert.cli.progress import shown
from convert.files import place

NAME = "stitch.html"


def page(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    surface: Annotated[
        bool, typer.Option("--surface/--no-surface", help="Show the predicted shape, to be turned about.")
    ] = True,
    out: Annotated[Path | None, folder_option("beside the design", "Folder for the page.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a page that is there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Write the stitch page: one HTML file to stitch from, which opens in any browser, without a network.

    It shows one row at a time, keeps your place, counts repeats, and tells when to check.
    """
    from convert.design_input import design_path, read_design
    from convert.documents.stitch_page.page import plan_steps, stitch_page
    from convert.documents.stitch_page.shape import predict_lying

    folder = out or design_path(design).parent
    check_outputs(folder, (NAME,), inputs=(design_path(design),), force=force)
    work = read_design(design)
    with shown(quiet=quiet) as progress:
        lying, why_not = predict_lying(work, progress=progress) if surface else (None, "")
        content = stitch_page(work, plan_steps(work), lying, why_not)
    place({NAME: content}, folder, force=force)
    if not quiet:
        notes = [f"note: no view in space: {why_not}"] if why_not else []
        typer.echo("\n".join([*notes, f"wrote {NAME} to {folder}"]))
