"""``hummock surface``: predict the shape of a design, and fit the prediction to a stitched sample."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.output_checks import check_apart, check_outputs
from convert.cli.parameters import folder_option, said
from convert.cli.progress import shown
from convert.files import MOST_WORDS_MEGABYTES, place, read_text
from convert.progress import Progress
from convert.shopping.wrists import parse_wrist_mm
from convert.surface import SURFACE_NAMES
from shared.errors import BadChoiceError
from shared.units import parse_length_mm

if TYPE_CHECKING:
    from convert.surface.calibrate import SampleMeasures
    from convert.surface.prediction import Prediction
    from shared.design import Design

_LENGTH = {"parser": said(parse_length_mm), "metavar": "LENGTH"}
_WRIST = {"parser": said(parse_wrist_mm), "metavar": "LENGTH"}


def surface(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    wrist: Annotated[float | None, typer.Option(**_WRIST, help="Lay it round a wrist, like 165mm.")] = None,
    bead_sizes: Annotated[
        Path | None,
        typer.Option("--measures", metavar="FILE", help="Bead measures to use instead of the design's, a TOML file."),
    ] = None,
    measured_length: Annotated[
        float | None, typer.Option(**_LENGTH, help="You stitched it: its length, lying on a table.")
    ] = None,
    measured_width: Annotated[
        float | None, typer.Option(**_LENGTH, help="Its width, where it is flattest, with a ruler across.")
    ] = None,
    measured_dome: Annotated[
        float | None, typer.Option(**_LENGTH, help="Its highest dome, from mid flat bead to mid top bead.")
    ] = None,
    save_measures: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Save bead measures that fit your sample, for --measures.")
    ] = None,
    out: Annotated[Path | None, folder_option("next to the design", "Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Predict the shape: domes, finished size, and where beads will not fit."""
    from convert.design_input import design_path, read_design
    from convert.surface.calibrate import SampleMeasures
    from convert.surface.surface_files import surface_files
    from convert.surface.words import tell_surface

    measured = SampleMeasures(measured_length, measured_width, measured_dome)
    if save_measures is not None and not any(measured):
        raise BadChoiceError("there is nothing to save: give --measured-length, --measured-width or --measured-dome")
    folder = out or design_path(design).parent
    read = (design_path(design), bead_sizes)
    check_outputs(folder, SURFACE_NAMES, inputs=read, force=force)
    if save_measures is not None:
        check_outputs(save_measures.parent, (save_measures.name,), inputs=read, force=force)
        check_apart([*(folder / name for name in SURFACE_NAMES), save_measures])
    work = read_design(design)
    with shown(quiet=quiet) as progress:
        found = _predict(work, bead_sizes, measured, wrist, progress)
        files = surface_files(work, found, progress=progress)
    told = f"{tell_surface(work.title, found)}\n"
    place(files, folder, force=force)
    if save_measures is not None:
        told += _save(found, save_measures, force=force)
    if not quiet:
        typer.echo(f"{told}wrote {', '.join(SURFACE_NAMES)} to {folder}")


def _predict(
    work: "Design", measures_file: Path | None, measured: "SampleMeasures", wrist_mm: float | None, progress: Progress
) -> "Prediction":
    from convert.surface.calibrate import fit_to_sample
    from convert.surface.prediction import predict

    bead_sizes = work.bead_sizes
    if measures_file is not None:
        from shared.beads import parse_bead_sizes

        bead_sizes = parse_bead_sizes(
            read_text(measures_file, megabytes=MOST_WORDS_MEGABYTES), source=str(measures_file)
        )
        if set(bead_sizes.level_of.items()) != set(work.bead_sizes.level_of.items()):
            names = ", ".join(work.bead_sizes.level_of)
            raise BadChoiceError(f"has other sizes than the design; list {names}", where=[str(measures_file)])
    if any(measured):
        fitted = fit_to_sample(work.grid, bead_sizes, work.levels, measured, sample=work.title, progress=progress)
        if wrist_mm is None:
            return fitted.prediction
        bead_sizes = fitted.bead_sizes
    return predict(work.grid, bead_sizes, work.levels, wrist_mm=wrist_mm, progress=progress)


def _save(found: "Prediction", path: Path, *, force: bool) -> str:
    """Write the bead sizes of a prediction; return what to tell."""
    from shared.beads import bead_sizes_toml

    bead_sizes = found.surface.bead_sizes
    place({path.name: bead_sizes_toml(bead_sizes).encode()}, path.parent, force=force)
    sizes = ", ".join(f"{size.name} {size.length_mm:.2f} x {size.diameter_mm:.2f} mm" for size in bead_sizes.sizes)
    return f"your beads: {sizes}\nwrote {path}; use it with --measures\n"
