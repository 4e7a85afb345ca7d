"""``hummock sheet``: a design to edit in a paint program or a spreadsheet, and the edits read back."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option
from convert.cli.progress import shown
from convert.files import place, read_bytes, read_text
from convert.options import Options
from convert.progress import Progress
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.documents.edit_sheet.edit import Edited
    from shared.design import Design

SHEETS = ("sheet.png", "sheet.csv")


def sheet(
    design: Annotated[
        Path | None, typer.Argument(metavar="[DESIGN]", help="A design.json, or the folder that holds one.")
    ] = None,
    *,
    read: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Read an edited sheet back, a picture or a table.")
    ] = None,
    into: Annotated[Path | None, typer.Option(metavar="DESIGN", help="The design that the sheet was made of.")] = None,
    new_colours: Annotated[
        bool,
        typer.Option("--new-colours", "--new-colors", help="Make new beads of colours that the design lacks."),
    ] = False,
    out: Annotated[
        Path | None, folder_option("beside the design; edits: DESIGN-edited", "Folder for the outputs.")
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Write a design as a picture with one pixel for each bead and as a table, to edit elsewhere.

    With --read and --into the edits come back: sizes and letters stay, and what changed is told. In the table the
    kind tells the size (A, A11, A8); a new colour in the picture keeps the size of the bead.
    """
    given = design if into is None else into
    if given is None or (design is not None and into is not None):
        raise BadChoiceError("say which design: hummock sheet DESIGN, or --read sheet.png --into DESIGN")
    if read is None and (into is not None or new_colours):
        raise BadChoiceError("--into and --new-colours go with --read FILE; add it, or leave them out")
    with shown(quiet=quiet) as progress:
        told = (
            _write(given, out, force=force)
            if read is None
            else _read(given, read, out, progress, force=force, new_colours=new_colours)
        )
    if not quiet:
        typer.echo(told)


def _write(given: Path, out: Path | None, *, force: bool) -> str:
    from convert.design_input import design_path, read_design
    from convert.documents.edit_sheet.png import sheet_png
    from convert.documents.edit_sheet.table import sheet_csv

    folder = out or design_path(given).parent
    check_outputs(folder, SHEETS, inputs=(design_path(given),), force=force)
    work = read_design(given)
    outputs = dict(zip(SHEETS, (sheet_png(work), sheet_csv(work).encode()), strict=True))
    place(outputs, folder, force=force)
    back = f"hummock sheet --read {folder / SHEETS[0]} --into {given}"
    return f"wrote {', '.join(SHEETS)} to {folder}\nedit one of them, and read it back: {back}"


def _read(given: Path, read: Path, out: Path | None, progress: Progress, *, force: bool, new_colours: bool) -> str:
    from convert.design_input import design_path, folder_beside, read_design
    from convert.documents.edit_sheet.edit import edit_in_words
    from convert.pattern_files import NAMES, pattern_files
    from convert.shopping.shopping_list import shopping_list

    folder = out or folder_beside(given, "edited")
    check_outputs(folder, NAMES, inputs=(design_path(given), read), force=force)
    progress("reading the sheet")
    found = _edits(read_design(given), read, new_colours=new_colours)
    purchases = shopping_list(found.design, spare_percent=Options().spare_percent)
    place(pattern_files(found.design, purchases, progress=progress), folder, force=force)
    return f"{edit_in_words(found)}\nwrote {', '.join(NAMES)} to {folder}"


def _edits(work: "Design", read: Path, *, new_colours: bool) -> "Edited":
    if read.suffix.lower() in (".csv", ".tsv", ".txt"):
        from convert.documents.edit_sheet.table import read_sheet_csv

        if new_colours:
            raise BadChoiceError(
                "--new-colours goes with a picture: a kind in a table does not tell a colour; leave it out"
            )
        return read_sheet_csv(read_text(read), work, source=str(read))
    from convert.documents.edit_sheet.png import read_sheet_png

    return read_sheet_png(read_bytes(read), work, source=str(read), new_colours=new_colours)
