"""``hummock lengths``: rows, repeats and beads for a wrist."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output, check_apart
from convert.cli.parameters import WRIST, one_of
from convert.progress import Progress
from convert.shopping.choices import WristChoices
from convert.shopping.wrists import SURVEY_SIZES, Size
from shared.errors import BadChoiceError
from shared.units import Units

if TYPE_CHECKING:
    from convert.shopping.fit_to_wrist import Found
    from shared.design import Design

TABLE = "lengths.csv"


@with_choices
def lengths(
    design: DesignFile,
    *,
    wrist: Annotated[
        list[float] | None, typer.Option(**WRIST, help="Circumference, like 165mm or 6.5in; may come again.")
    ] = None,
    sizes: Annotated[
        bool, typer.Option("--sizes", help="A table: of these wrists, or of ten from a survey of adults.")
    ] = False,
    wanted: WristChoices,
    units: Annotated[Units, typer.Option(**one_of(Units), help="Units of what is told.")] = "both",
    designs: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Write the design for each size into this folder.")
    ] = None,
    output: Annotated[Output, Where("DESIGN-lengths", help=f"Folder for the table, {TABLE}.")],
) -> None:
    """Make a design for a wrist: beadwork length = wrist + ease - clasp.

    A design that repeats gets as many whole repeats as that length holds; another gets plain rows at both ends, or
    loses rows there. By the predicted length the beadwork is never longer than asked for.
    """
    from convert.design_input import design_path, folder_beside, read_design
    from convert.shopping.length_table import lengths_csv, lengths_text
    from shared.design_file import design_text

    chosen = _sizes(wrist or [], sizes=sizes)
    targets = [(output.out or folder_beside(design, "lengths"), [TABLE])] if sizes else []
    if designs is not None:
        targets.append((designs, [_name(size) for size in chosen]))
    for folder, names in targets:
        output.check(folder, names, design_path(design))
    check_apart([folder / name for folder, names in targets for name in names])
    work = read_design(design)
    with output.progress() as progress:
        found = _fit(work, chosen, wanted, progress)
    made = {_name(one.size): design_text(one.design) for one in found.fits}
    told = [lengths_text(work, found, wanted, units, table=sizes)]
    for folder, names in targets:
        files = {TABLE: lengths_csv(found.fits, wanted)} if names == [TABLE] else made
        told.append(output.place(files, folder))
    output.say(*told)


def _sizes(wrists: list[float], *, sizes: bool) -> tuple[Size, ...]:
    if not wrists and not sizes:
        raise BadChoiceError("for which wrist? say --wrist 165mm (or 6.5in), or --sizes for a table")
    if len(wrists) > 1 and not sizes:
        raise BadChoiceError("several wrists make a table; say --sizes as well, or give one")
    own = tuple(Size(f"{wrist_mm:g} mm wrist", wrist_mm) for wrist_mm in sorted(set(wrists)))
    return own or SURVEY_SIZES


def _name(size: Size) -> str:
    """Return the name of the file for the design of a size."""
    return size.name.lower().removesuffix(" wrist").replace(" ", "-" if size in SURVEY_SIZES else "") + ".json"


def _fit(work: "Design", sizes: tuple[Size, ...], wanted: WristChoices, progress: Progress) -> "Found":
    from convert.rows.find_repeat import find_repeat
    from convert.shopping.fit_to_wrist import Found, fit_to_wrists
    from convert.shopping.length_model import model_length

    repeat = find_repeat(work, from_row_1=True)
    growth = model_length(work, repeat, progress=progress)
    fits, missed = fit_to_wrists(work, repeat, growth, sizes, wanted)
    if not fits:
        raise BadChoiceError(missed[-1][1])
    return Found(repeat, growth, fits, missed)
