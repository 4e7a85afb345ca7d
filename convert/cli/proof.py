"""``hummock proof``: word rows read back, with every mistake named."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option
from convert.files import MOST_WORDS_MEGABYTES, place, read_text
from shared.beads import BeadSizes, default_bead_sizes, parse_bead_sizes
from shared.errors import BadFileError, MistakesError

if TYPE_CHECKING:
    from shared.design import Design

OUTPUT = "design.json"


def proof(
    rows: Annotated[Path, typer.Argument(metavar="ROWS", help="Word rows, typed or edited by hand.")],
    *,
    against: Annotated[
        Path | None, typer.Option(metavar="DESIGN", help="The design they should give; every other bead is named.")
    ] = None,
    measures: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your bead sizes and measures, a TOML file.")
    ] = None,
    out: Annotated[Path | None, folder_option("next to the rows", "Folder for design.json.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a design that is there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Proofread word rows: name every mistake with its line, or write the design that they give.

    For example: hummock proof cuff/rows.txt --against cuff --out proofread
    """
    from convert.design_input import design_path
    from shared.design_file import design_text

    folder = out or rows.parent
    read = (rows, measures, None if against is None else design_path(against))
    check_outputs(folder, (OUTPUT,), inputs=read, force=force)
    work = _proofread(rows, against, measures)
    place({OUTPUT: design_text(work).encode()}, folder, force=force)
    if not quiet:
        grid = work.grid
        found = "no mistakes" if against is None else f"bead for bead as in {against}"
        typer.echo(f"{rows}: {grid.columns} columns, {grid.rows} rows, {grid.count:,} beads; {found}")
        typer.echo(f"wrote {OUTPUT} to {folder}")


def _proofread(rows: Path, against: Path | None, measures: Path | None) -> "Design":
    from convert.design_input import read_design
    from convert.rows.proofread import proofread

    text = read_text(rows)
    wanted = None if against is None else read_design(against)
    bead_sizes = _read_bead_sizes(measures, wanted)
    try:
        proof = proofread(text, bead_sizes, against=wanted)
    except BadFileError as error:
        raise BadFileError(error.message, where=[str(rows), *error.where]) from error
    if proof.design is None:
        raise MistakesError([str(mistake) for mistake in proof.mistakes], where=[str(rows)])
    return proof.design


def _read_bead_sizes(file: Path | None, wanted: "Design | None") -> BeadSizes:
    if file is not None:
        return parse_bead_sizes(read_text(file, megabytes=MOST_WORDS_MEGABYTES), source=str(file))
    return default_bead_sizes() if wanted is None else wanted.bead_sizes
