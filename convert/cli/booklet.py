"""``hummock booklet``: a design as a PDF to sell and to stitch from."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.chart.choices import DEFAULT_INK, Ink
from convert.cli.buying_options import Clasp, PackPalette, Packs, Spare, known_packs
from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option, one_of, said
from convert.cli.progress import shown
from convert.documents.paper import Paper
from convert.files import MOST_WORDS_MEGABYTES, place, read_text
from convert.shopping.choices import SPARE_PERCENT
from convert.shopping.wrists import CLASP_MM
from shared.units import parse_length_mm

if TYPE_CHECKING:
    from convert.documents.booklet.choices import Studio

NAME = "booklet.pdf"


def booklet(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    paper: Annotated[Paper, typer.Option(**one_of(Paper), help="What it is printed on.")] = "a4",
    large_print: Annotated[
        bool, typer.Option("--large-print", help="Text and word rows of 18 points, a larger chart.")
    ] = False,
    ink: Annotated[
        Ink, typer.Option(**one_of(Ink), help="In black, every kind has a sign of its own instead of a colour.")
    ] = DEFAULT_INK,
    studio: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Your name, contact and terms, a TOML file; nothing else is said of you."),
    ] = None,
    colourway: Annotated[
        list[Path] | None,
        typer.Option("--colourway", "--colorway", metavar="DESIGN", help="The same in other colours; may come again."),
    ] = None,
    least_bead: Annotated[
        float | None,
        typer.Option(
            parser=said(parse_length_mm),
            metavar="LENGTH",
            show_default="2mm, in large print 3.5mm",
            help="No chart bead is smaller on paper; a wide chart is cut into strips for it.",
        ),
    ] = None,
    spare: Spare = SPARE_PERCENT,
    pack: Packs = None,
    palette: PackPalette = None,
    clasp: Clasp = CLASP_MM,
    out: Annotated[Path | None, folder_option("beside the design", "Folder for the booklet.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace a booklet that is there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make a booklet: cover, materials, how it is stitched, chart, word rows, sizes, cautions, in one PDF."""
    from convert.design_input import design_path, read_design
    from convert.documents.booklet.booklet import booklet_pdf
    from convert.documents.booklet.choices import BookletChoices

    folder = out or design_path(design).parent
    read = (design_path(design), studio, palette, *map(design_path, colourway or []))
    check_outputs(folder, (NAME,), inputs=read, force=force)
    work = read_design(design)
    choices = BookletChoices(
        paper=paper,
        large_print=large_print,
        ink=ink,
        least_bead_mm=least_bead,
        spare_percent=spare,
        pack_of=known_packs(pack or [], palette, work.bead_sizes),
        clasp_mm=clasp,
        studio=_studio(studio),
    )
    others = [read_design(path) for path in colourway or []]
    with shown(quiet=quiet) as progress:
        document = booklet_pdf(work, choices, colourways=others, progress=progress)
    place({NAME: document}, folder, force=force)
    if not quiet:
        typer.echo(f"wrote {NAME} to {folder}")


def _studio(path: Path | None) -> "Studio":
    from convert.documents.booklet.choices import Studio, parse_studio

    return Studio() if path is None else parse_studio(read_text(path, megabytes=MOST_WORDS_MEGABYTES), source=str(path))
