"""``hummock sheet``: a design to edit in a paint program or a spreadsheet, and the edits read back."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.options import Where, with_choices
from convert.cli.outputs import Output
from convert.files import read_bytes, read_text
from convert.pattern_files import NAMES
from convert.shopping.choices import SPARE_PERCENT
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.documents.edit_sheet.edit import Edited
    from shared.design import Design

SHEETS = ("sheet.png", "sheet.csv")


@with_choices
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
    output: Annotated[Output, Where("next to the design; edits: DESIGN-edited")],
) -> None:
    """Edit a design in other programs: as a picture with one pixel for each bead, or as a table.

    With --read and --into the edits come back: sizes and letters stay, and what changed is told. In the table the
    kind tells the size (A, A11, A8); a new colour in the picture keeps the size of the bead.
    """
    given = design if into is None else into
    if given is None or (design is not None and into is not None):
        raise BadChoiceError("say which design: hummock sheet DESIGN, or --read sheet.png --into DESIGN")
    if read is None and (into is not None or new_colours):
        raise BadChoiceError("--into and --new-colours go with --read FILE; add it, or leave them out")
    if read is None:
        _write(given, output)
    else:
        _read(given, read, output, new_colours=new_colours)


def _write(given: Path, output: Output) -> None:
    from convert.documents.edit_sheet.png import sheet_png
    from convert.documents.edit_sheet.table import sheet_csv

    work, folder = output.open_design(given, SHEETS)
    wrote = output.place(dict(zip(SHEETS, (sheet_png(work), sheet_csv(work)), strict=True)), folder)
    back = f"hummock sheet --read {folder / SHEETS[0]} --into {given}"
    output.say(wrote, f"edit one of them, and read it back: {back}")


def _read(given: Path, read: Path, output: Output, *, new_colours: bool) -> None:
    from convert.documents.edit_sheet.edit import edit_in_words
    from convert.pattern_files import pattern_files
    from convert.shopping.shopping_list import shopping_list

    work, folder = output.open_design(given, NAMES, read, ending="edited")
    with output.progress() as progress:
        progress("reading the sheet")
        found = _edits(work, read, new_colours=new_colours)
        purchases = shopping_list(found.design, spare_percent=SPARE_PERCENT)
        wrote = output.place(pattern_files(found.design, purchases, progress=progress), folder)
    output.say(edit_in_words(found), wrote)


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
