"""``hummock surface``: predict the shape of a design."""

from pathlib import Path
from typing import Annotated

import typer

from convert.commands.parameters import said
from convert.commands.progress import shown
from convert.files import check_targets, place
from shared.units import parse_length_mm

OUTPUTS = ("surface.json", "surface.png", "surface.glb")
_LENGTH = {"parser": said(parse_length_mm), "metavar": "LENGTH"}


def surface(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    wrist: Annotated[float | None, typer.Option(**_LENGTH, help="Lay it round a wrist, like 165mm.")] = None,
    out: Annotated[Path | None, typer.Option(show_default="beside the design", help="Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Predict the shape: domes, finished size, and where beads will not fit."""
    from convert.designs import design_path, read_design
    from convert.surface.predict import predict, surface_files
    from convert.surface.words import report_in_words

    folder = out or design_path(design).parent
    check_targets(folder, OUTPUTS, force=force)
    work = read_design(design)
    with shown(quiet=quiet) as progress:
        found = predict(work.grid, work.ladder, work.levels, wrist_mm=wrist, progress=progress)
        place(surface_files(work, found, progress=progress), folder, force=force)
    if not quiet:
        told = report_in_words(work.title, found.found, found.report, estimate=work.ladder.gauge is None)
        typer.echo(f"{told}\nwrote {', '.join(OUTPUTS)} to {folder}")
