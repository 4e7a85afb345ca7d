"""``hummock batch``: many pictures with one set of options, or each with its own."""

import os
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.chart.choices import Ink, InkChoice
from convert.cli.batch_table import read_batch_table
from convert.cli.options import NoSurface, Where, with_choices
from convert.cli.outputs import Output, check_no_input, complain, plainly
from convert.cli.parameters import COUNT, said
from convert.files import check_targets, is_folder, is_there, place, read_bytes
from convert.options import Options
from convert.pattern_files import NAMES
from shared.errors import BadChoiceError, OutputExistsError

if TYPE_CHECKING:
    from convert.batch.entries import Entry
    from convert.batch.run import Batch, Outcome

REPORT, SHEET = "report.csv", "contact-sheet.html"
_FAILED = 2


def _address(words: str) -> str:
    if not words.strip():
        raise BadChoiceError("an empty word is no address; give one like tcp://192.0.2.7:8786, or leave it out")
    return words.strip()


@with_choices
def batch(
    context: typer.Context,
    pictures: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER_OR_CSV", help="A folder of pictures, or a table with a column picture and options."
        ),
    ],
    *,
    jobs: Annotated[int | None, typer.Option(**COUNT, show_default="one a core", help="Pictures made at once.")] = None,
    cluster: Annotated[
        str | None,
        typer.Option(parser=said(_address), metavar="ADDRESS", help="Have the workers of a Dask scheduler do it."),
    ] = None,
    options: Options,
    chart: InkChoice,
    output: Annotated[Output, Where("FOLDER-patterns")],
    no_surface: NoSurface = False,
) -> None:
    """Make patterns of many pictures, going on past bad ones; what is there already is not made again.

    In a folder, cuff-heights.png is the height map of cuff.png. A table has the columns picture, and if wanted
    heights, name (of the folder for the outputs), and any long option of convert without its dashes. With --force,
    outputs that other choices gave, or that were changed since, are replaced.
    """
    from convert.batch.run import Batch

    home = output.out or Path(f"{pictures.resolve().stem}-patterns")
    check_targets(home, (), force=output.force)
    entries, named = _entries(pictures, context, options, chart.ink, surface=not no_surface)
    _check_home(home, entries, [pictures, *output.read, *named], force=output.force)
    if _run(entries, Batch(home, output.force, jobs or os.cpu_count() or 1, cluster), output):
        raise typer.Exit(_FAILED)


def _entries(
    pictures: Path, context: typer.Context, options: Options, ink: Ink, *, surface: bool
) -> "tuple[list[Entry], list[Path]]":
    """Return what is to be made, and the files that a table names for options of its own."""
    from convert.batch.entries import Entry, check_names, different_names, pictures_in

    if not is_folder(pictures):
        return read_batch_table(pictures, context, ink, surface=surface, taken=(REPORT, SHEET))
    found = pictures_in(pictures)
    names = different_names([picture for picture, _ in found])
    check_names(names, (REPORT, SHEET))
    return [Entry(name, *pair, options, ink, surface) for name, pair in zip(names, found, strict=True)], []


def _run(entries: "list[Entry]", work: "Batch", output: Output) -> bool:
    """Do the batch, and write report and sheet even when it is stopped; return whether a picture failed."""
    from convert.batch.run import Outcome, run

    outcomes = [Outcome("left") for _ in entries]
    words = ""
    with output.progress() as progress:
        try:
            run(entries, work, outcomes, progress=progress)
        finally:
            if any(outcome.status != "left" for outcome in outcomes):  # else there is nothing to tell
                words = _write(entries, outcomes, work.out)
    for entry, outcome in zip(entries, outcomes, strict=True):
        if outcome.status == "failed":
            complain(f"{entry.name}: {outcome.message}")
    output.say(plainly(words))
    return any(outcome.status == "failed" for outcome in outcomes)


def _write(entries: "list[Entry]", outcomes: "list[Outcome]", folder: Path) -> str:
    """Write report and sheet; return what to tell."""
    from convert.batch.contact_sheet import contact_sheet, count_outcomes, report_csv

    words = count_outcomes(outcomes)
    texts = {REPORT: report_csv(entries, outcomes), SHEET: contact_sheet(entries, outcomes, folder, words)}
    place({name: text.encode(errors="backslashreplace") for name, text in texts.items()}, folder, force=True)
    return f"{words}\nwrote {REPORT} and {SHEET} to {folder}"


def _check_home(home: Path, entries: "list[Entry]", inputs: list[Path], *, force: bool) -> None:
    """Refuse to replace what is read, and files that are not those of an earlier run of the batch."""
    from convert.batch.contact_sheet import HEADER
    from convert.batch.marker import MARKER

    report, sheet = home / REPORT, home / SHEET
    targets = [report, sheet, *(home / entry.name / name for entry in entries for name in (*NAMES, MARKER))]
    check_no_input(targets, [*inputs, *(path for entry in entries for path in (entry.picture, entry.heights))])
    if force or not (is_there(report) or is_there(sheet)):
        return
    if not report.is_file() or not read_bytes(report).decode("utf-8", "replace").startswith(",".join(HEADER)):
        raise OutputExistsError(
            f"holds a {REPORT} or {SHEET} that no batch wrote; say --force, or give another --out", where=[str(home)]
        )
