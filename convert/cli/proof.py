"""``hummock proof``: word rows read back, with every mistake named."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.options import Where, with_choices
from convert.cli.outputs import Output
from convert.cli.parameters import read_measures
from convert.files import read_text
from shared.beads import default_bead_sizes
from shared.errors import BadFileError, MistakesError

if TYPE_CHECKING:
    from shared.design import Design

OUTPUT = "design.json"


@with_choices
def proof(
    rows: Annotated[Path, typer.Argument(metavar="ROWS", help="Word rows, typed or edited by hand.")],
    *,
    against: Annotated[
        Path | None, typer.Option(metavar="DESIGN", help="The design they should give; every other bead is named.")
    ] = None,
    measures: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Your bead sizes and measures, a TOML file.")
    ] = None,
    output: Annotated[Output, Where("next to the rows", help="Folder for design.json.")],
) -> None:
    """Proofread word rows: name every mistake with its line, or write the design that they give."""
    from convert.design_input import design_path
    from shared.design_file import design_text

    folder = output.out or rows.parent
    output.check(folder, (OUTPUT,), rows, measures, None if against is None else design_path(against))
    work = _proofread(rows, against, measures)
    wrote = output.place({OUTPUT: design_text(work)}, folder)
    found = "no mistakes" if against is None else f"bead for bead as in {against}"
    size = f"{work.grid.columns} columns, {work.grid.rows} rows, {work.grid.count:,} beads"
    output.say(f"{rows}: {size}; {found}", wrote)


def _proofread(rows: Path, against: Path | None, measures: Path | None) -> "Design":
    from convert.design_input import read_design
    from convert.rows.proofread import proofread

    text = read_text(rows)
    wanted = None if against is None else read_design(against)
    if measures is not None:
        bead_sizes = read_measures(measures)
    else:
        bead_sizes = default_bead_sizes() if wanted is None else wanted.bead_sizes
    try:
        proof = proofread(text, bead_sizes, against=wanted)
    except BadFileError as error:
        raise BadFileError(error.message, where=[str(rows), *error.where]) from error
    if proof.design is None:
        raise MistakesError([str(mistake) for mistake in proof.mistakes], where=[str(rows)])
    return proof.design
