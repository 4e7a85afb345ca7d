"""``hummock surface``: predict the shape of a design, and fit the prediction to a stitched sample."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output, check_apart
from convert.cli.parameters import LENGTH, WRIST, read_measures
from convert.progress import Progress
from convert.surface import SURFACE_NAMES
from shared.beads import BeadSizes, bead_sizes_toml
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.surface.calibrate import SampleMeasures
    from convert.surface.prediction import Prediction
    from shared.design import Design


@with_choices
def surface(
    design: DesignFile,
    *,
    wrist: Annotated[float | None, typer.Option(**WRIST, help="Lay it round a wrist, like 165mm.")] = None,
    measures: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Bead measures to use instead of the design's, a TOML file.")
    ] = None,
    measured_length: Annotated[
        float | None, typer.Option(**LENGTH, help="You stitched it: its length, lying on a table.")
    ] = None,
    measured_width: Annotated[
        float | None, typer.Option(**LENGTH, help="Its width, where it is flattest, with a ruler across.")
    ] = None,
    measured_dome: Annotated[
        float | None, typer.Option(**LENGTH, help="Its highest dome, from mid flat bead to mid top bead.")
    ] = None,
    save_measures: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Save bead measures that fit your sample, for --measures.")
    ] = None,
    output: Annotated[Output, Where("next to the design")],
) -> None:
    """Predict the shape: domes, finished size, and where beads will not fit."""
    from convert.design_input import design_path
    from convert.surface.calibrate import SampleMeasures
    from convert.surface.surface_files import surface_files
    from convert.surface.words import tell_surface

    measured = SampleMeasures(measured_length, measured_width, measured_dome)
    if save_measures is not None and not any(measured):
        raise BadChoiceError("there is nothing to save: give --measured-length, --measured-width or --measured-dome")
    work, folder = output.open_design(design, SURFACE_NAMES, measures)
    if save_measures is not None:
        output.check(save_measures.parent, (save_measures.name,), design_path(design), measures)
        check_apart([*(folder / name for name in SURFACE_NAMES), save_measures])
    with output.progress() as progress:
        found = _predict(work, measures, measured, wrist, progress)
        files = surface_files(work, found, progress=progress)
    told = [tell_surface(work.title, found)]
    wrote = output.place(files, folder)
    if save_measures is not None:
        bead_sizes = found.surface.bead_sizes
        output.place({save_measures.name: bead_sizes_toml(bead_sizes)}, save_measures.parent)
        told += [_tell_sizes(bead_sizes), f"wrote {save_measures}; use it with --measures"]
    output.say(*told, wrote)


def _predict(
    work: "Design", measures: Path | None, measured: "SampleMeasures", wrist_mm: float | None, progress: Progress
) -> "Prediction":
    from convert.surface.calibrate import fit_to_sample
    from convert.surface.prediction import predict

    bead_sizes = work.bead_sizes
    if measures is not None:
        bead_sizes = read_measures(measures)
        if set(bead_sizes.level_of.items()) != set(work.bead_sizes.level_of.items()):
            names = ", ".join(work.bead_sizes.level_of)
            raise BadChoiceError(f"has other sizes than the design; list {names}", where=[str(measures)])
    if any(measured):
        fitted = fit_to_sample(work.grid, bead_sizes, work.levels, measured, sample=work.title, progress=progress)
        if wrist_mm is None:
            return fitted.prediction
        bead_sizes = fitted.bead_sizes
    return predict(work.grid, bead_sizes, work.levels, wrist_mm=wrist_mm, progress=progress)


def _tell_sizes(bead_sizes: BeadSizes) -> str:
    sizes = (f"{size.name} {size.length_mm:.2f} x {size.diameter_mm:.2f} mm" for size in bead_sizes.sizes)
    return f"your beads: {', '.join(sizes)}"
