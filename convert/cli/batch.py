"""``hummock batch``: many pictures with one set of options, or each with its own."""

import os
import warnings
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.chart.choices import DEFAULT_INK, Ink
from convert.cli.complaints import complain, plainly
from convert.cli.options import FILES, OptionFiles, with_options
from convert.cli.output_checks import check_no_input
from convert.cli.parameters import folder_option, one_of, parse_count, said
from convert.cli.progress import shown
from convert.cli.row_options import column_names, options_of_row
from convert.files import check_targets, is_folder, is_there, place, read_bytes
from convert.options import Options
from convert.output_names import NAMES
from shared.errors import BadChoiceError, HummockError, OutputExistsError

if TYPE_CHECKING:
    from convert.batch.entries import Entry
    from convert.batch.run import Batch, Outcome

REPORT, SHEET = "report.csv", "contact-sheet.html"
_FAILED = 2


def _address(words: str) -> str:
    if not words.strip():
        raise BadChoiceError("an empty word is no address; give one like tcp://192.0.2.7:8786, or leave it out")
    return words.strip()


@with_options
def batch(
    context: typer.Context,
    pictures: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER_OR_CSV", help="A folder of pictures, or a table with a column picture and options."
        ),
    ],
    *,
    jobs: Annotated[
        int | None,
        typer.Option(
            parser=said(parse_count), metavar="NUMBER", show_default="one a core", help="Pictures made at once."
        ),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(parser=said(_address), metavar="ADDRESS", help="Have the workers of a Dask scheduler do it."),
    ] = None,
    options: Options,
    option_files: OptionFiles,
    ink: Annotated[
        Ink, typer.Option(**one_of(Ink), help="Charts in colours, or in black with a sign for each key.")
    ] = DEFAULT_INK,
    out: Annotated[Path | None, folder_option("FOLDER-patterns", "Where the outputs go.")] = None,
    no_surface: Annotated[
        bool, typer.Option("--no-surface", help="Predict no finished length; --length is then that of flat work.")
    ] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Replace outputs that other choices gave, or that were changed since.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make patterns of many pictures, going on past bad ones; what is there already is not made again.

    In a folder, cuff-heights.png is the height map of cuff.png. A table has the columns picture, and if wanted
    heights, name (of the folder for the outputs), and any long option of convert without its dashes.
    """
    from convert.batch.run import Batch

    home = Path(f"{pictures.resolve().stem}-patterns") if out is None else out
    check_targets(home, (), force=force)
    _check_report(home, force=force)
    entries, named = _entries(pictures, context, options, ink, surface=not no_surface)
    _check_inputs(entries, home, [pictures, *option_files, *named])
    failed = _run(entries, Batch(home, force, jobs or os.cpu_count() or 1, cluster), quiet=quiet)
    if failed:
        raise typer.Exit(_FAILED)


def _entries(
    pictures: Path, context: typer.Context, options: Options, ink: Ink, *, surface: bool
) -> "tuple[list[Entry], list[Path]]":
    """Return what is to be made, and the files that a table names for options of its own."""
    from convert.batch.entries import Entry, check_names, different_names, pictures_in

    if not is_folder(pictures):
        return entries_of_table(pictures, context, ink, surface=surface)
    found = pictures_in(pictures)
    names = different_names([picture for picture, _ in found])
    check_names(names, (REPORT, SHEET))
    return [Entry(name, *pair, options, ink, surface) for name, pair in zip(names, found, strict=True)], []


def entries_of_table(
    table: Path, context: typer.Context, ink: Ink, *, surface: bool
) -> "tuple[list[Entry], list[Path]]":
    """Read a table; paths in it are seen from the folder that it lies in. All its mistakes are told at once."""
    from convert.batch.entries import Entry, check_names, different_names
    from palettes.formats.encoding import LARGEST_MEGABYTES, decoded
    from palettes.formats.mistakes import Mistakes
    from palettes.formats.table import read_table

    mistakes = Mistakes()
    try:
        text = decoded(read_bytes(table, megabytes=LARGEST_MEGABYTES))
    except HummockError as error:
        raise type(error)(error.message, where=error.where or [str(table)]) from error
    own = {"picture": "picture", "heights": "heights", "name": "name"}
    rows = read_table(text, own | column_names(), mistakes)
    if "picture" not in rows.columns:
        mistakes.add(rows.line, "no column is called picture; name the columns in the first line")
    for notice in rows.notices:
        mistakes.add(rows.line, f"{notice}; columns are picture, heights, name, and long options of convert")
    parts = []
    for row in rows.rows:
        cells = {name: text for name, text in row.cells.items() if name not in own}
        options = mistakes.taken(row.line, lambda cells=cells: options_of_row(context, cells, table.parent))  # type: ignore[misc]
        if not row.text("picture"):
            mistakes.add(row.line, "names no picture; fill the column picture")
        elif options is not None:
            parts.append((row, options))
    mistakes.raise_if_any(str(table))
    if not parts:
        raise BadChoiceError(f"{table} names no picture; add a line for each under the header")
    paths = [table.parent / row.text("picture") for row, _ in parts]
    spare_names = different_names(paths)
    names = [row.text("name") or name for (row, _), name in zip(parts, spare_names, strict=True)]
    check_names(names, (REPORT, SHEET))
    maps = [table.parent / row.text("heights") if row.text("heights") else None for row, _ in parts]
    lines = zip(names, paths, maps, parts, strict=True)
    entries = [Entry(name, path, heights, options, ink, surface) for name, path, heights, (_, options) in lines]
    return entries, [table.parent / row.text(name) for row, _ in parts for name in FILES if row.text(name)]


def _run(entries: "list[Entry]", work: "Batch", *, quiet: bool) -> bool:
    """Do the batch, and write report and sheet even when it is stopped, once there is something to tell.

    Returns whether a picture failed.
    """
    from convert.batch.run import Outcome, run

    outcomes = [Outcome("left") for _ in entries]
    words = ""
    with shown(quiet=quiet) as progress, warnings.catch_warnings():
        # of processes that died or were stopped, which is told below
        warnings.filterwarnings("ignore", category=UserWarning, module="joblib")
        try:
            run(entries, work, outcomes, progress=progress)
        finally:
            if any(outcome.status != "left" for outcome in outcomes):
                words = _written(entries, outcomes, work.out)
    for entry, outcome in zip(entries, outcomes, strict=True):
        if outcome.status == "failed":
            complain(f"{entry.name}: {outcome.message}")
    if not quiet:
        typer.echo(plainly(words))
    return any(outcome.status == "failed" for outcome in outcomes)


def _written(entries: "list[Entry]", outcomes: "list[Outcome]", folder: Path) -> str:
    from convert.batch.report import report_csv, told
    from convert.batch.sheet import contact_sheet

    words = told(outcomes)
    sheet = contact_sheet(entries, outcomes, folder, words)
    texts = {REPORT: report_csv(entries, outcomes), SHEET: sheet}
    outputs = {name: text.encode(errors="backslashreplace") for name, text in texts.items()}
    place(outputs, folder, force=True)
    return f"{words}\nwrote {REPORT} and {SHEET} to {folder}"


def _check_inputs(entries: "list[Entry]", home: Path, more: list[Path]) -> None:
    """Refuse to replace what is read."""
    from convert.batch.marker import MARKER

    names = (*NAMES, MARKER)
    targets = [home / REPORT, home / SHEET, *(home / entry.name / name for entry in entries for name in names)]
    check_no_input(targets, [*more, *(path for entry in entries for path in (entry.picture, entry.heights))])


def _check_report(folder: Path, *, force: bool) -> None:
    """Refuse to replace files that are not those of an earlier run of the batch."""
    from convert.batch.report import HEADER

    report, sheet = folder / REPORT, folder / SHEET
    if force or not (is_there(report) or is_there(sheet)):
        return
    if not report.is_file() or not read_bytes(report).decode("utf-8", "replace").startswith(",".join(HEADER)):
        raise OutputExistsError(
            f"holds a {REPORT} or {SHEET} that no batch wrote; say --force, or give another --out", where=[str(folder)]
        )
