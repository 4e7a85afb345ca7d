"""``hummock rows``: the word rows of a design, for the hand, for a spreadsheet and in sentences."""

from pathlib import Path
from typing import Annotated

import typer

from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option
from convert.files import place

OUTPUTS = ("rows.txt", "rows.csv", "rows-in-words.txt")


def rows(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    full: Annotated[bool, typer.Option("--full", help="Write every row, also those that repeat earlier ones.")] = False,
    out: Annotated[Path | None, folder_option("next to the design", "Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Write the word rows: rows.txt, a table, and plain language with the beads to lay out and what to check.

    For example: hummock rows cuff --full --out rows-of-cuff
    """
    from convert.design_input import design_path, read_design
    from convert.rows.abbreviate import abbreviate_rows
    from convert.rows.sentences import rows_in_words
    from convert.rows.writer import rows_csv, write_rows

    folder = out or design_path(design).parent
    check_outputs(folder, OUTPUTS, inputs=(design_path(design),), force=force)
    work = read_design(design)
    lines = abbreviate_rows(work, full=full)
    texts = [write(work, lines) for write in (write_rows, rows_csv, rows_in_words)]
    place({name: text.encode() for name, text in zip(OUTPUTS, texts, strict=True)}, folder, force=force)
    if not quiet:
        typer.echo(f"wrote {', '.join(OUTPUTS)} to {folder}")
