"""``hummock lengths``: rows, repeats and beads for a wrist."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.buying_options import Clasp, PackPalette, Packs, Spare, known_packs
from convert.cli.output_checks import check_apart, check_outputs
from convert.cli.parameters import folder_option, one_of, said
from convert.cli.progress import shown
from convert.files import place
from convert.progress import Progress
from convert.shopping.choices import SPARE_PERCENT, check_spare
from convert.shopping.wrists import CLASP_MM, DEFAULT_EASE, EASES, SURVEY_SIZES, Size, parse_wrist_mm
from shared.errors import BadChoiceError
from shared.units import Units, parse_length_mm

if TYPE_CHECKING:
    from convert.shopping.fit_to_wrist import Found, Wanted
    from shared.design import Design

TABLE = "lengths.csv"
_WRIST = {"parser": said(parse_wrist_mm), "metavar": "LENGTH"}


def parse_ease_mm(words: str) -> float:
    """Read an ease: a word of `EASES`, or a length that may be nothing at all."""
    word = words.strip().lower()
    if word in EASES:
        return EASES[word]
    try:
        return parse_length_mm(words, zero=True)
    except BadChoiceError as error:
        raise BadChoiceError(f"{error}; or say {', '.join(EASES)}") from error


def lengths(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    wrist: Annotated[
        list[float] | None, typer.Option(**_WRIST, help="Circumference, like 165mm or 6.5in; may come again.")
    ] = None,
    sizes: Annotated[
        bool, typer.Option("--sizes", help="A table: of these wrists, or of ten from a survey of adults.")
    ] = False,
    ease: Annotated[
        float,
        typer.Option(
            parser=said(parse_ease_mm),
            metavar="snug|comfortable|loose|LENGTH",
            show_default=DEFAULT_EASE,
            help="What the bracelet is longer than the wrist: 10, 20 or 30 mm, or a length.",
        ),
    ] = EASES[DEFAULT_EASE],
    clasp: Clasp = CLASP_MM,
    plain_ends: Annotated[
        bool, typer.Option("--plain-ends", help="Fill what whole repeats leave over with plain rows at both ends.")
    ] = False,
    spare: Spare = SPARE_PERCENT,
    pack: Packs = None,
    palette: PackPalette = None,
    units: Annotated[Units, typer.Option(**one_of(Units), help="Units of what is told.")] = "both",
    designs: Annotated[
        Path | None, typer.Option(metavar="FOLDER", help="Write the design for each size into this folder.")
    ] = None,
    out: Annotated[Path | None, folder_option("DESIGN-lengths", f"Folder for the table, {TABLE}.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Make a design for a wrist: beadwork length = wrist + ease - clasp.

    A design that repeats gets as many whole repeats as that length holds; another gets plain rows at both ends, or
    loses rows there. By the predicted length the beadwork is never longer than asked for.
    """
    from convert.design_input import design_path, folder_beside, read_design
    from convert.shopping.fit_to_wrist import Wanted
    from convert.shopping.length_table import lengths_csv, lengths_text
    from shared.design_file import design_text

    chosen = _sizes(wrist or [], sizes=sizes)
    names = tuple(f"{_slug(size)}.json" for size in chosen)
    folder = out or folder_beside(design, "lengths")
    read = (design_path(design), palette)
    if sizes:
        check_outputs(folder, (TABLE,), inputs=read, force=force)
    if designs is not None:
        check_outputs(designs, names, inputs=read, force=force)
    if sizes and designs is not None:
        check_apart([folder / TABLE, *(designs / name for name in names)])
    work = read_design(design)
    pack_of = known_packs(pack or [], palette, work.bead_sizes)
    wanted = Wanted(ease, clasp, plain_ends, check_spare(spare), pack_of)
    with shown(quiet=quiet) as progress:
        found = _found(work, chosen, wanted, progress)
    told = lengths_text(work, found, wanted, units, table=sizes)
    table = {TABLE: lengths_csv(found.fits, wanted).encode()} if sizes else {}
    made = {f"{_slug(one.size)}.json": design_text(one.design).encode() for one in found.fits}
    if sizes:
        place(table, folder, force=force)
        told += f"\nwrote {TABLE} to {folder}"
    if designs is not None:
        place(made, designs, force=force)
        told += f"\nwrote {', '.join(made)} to {designs}"
    if not quiet:
        typer.echo(told)


def _sizes(wrists: list[float], *, sizes: bool) -> tuple[Size, ...]:
    if not wrists and not sizes:
        raise BadChoiceError("for which wrist? say --wrist 165mm (or 6.5in), or --sizes for a table")
    if len(wrists) > 1 and not sizes:
        raise BadChoiceError("several wrists make a table; say --sizes as well, or give one")
    own = tuple(Size(f"{wrist_mm:g} mm wrist", wrist_mm) for wrist_mm in sorted(set(wrists)))
    return own or SURVEY_SIZES


def _slug(size: Size) -> str:
    return size.name.lower().removesuffix(" wrist").replace(" ", "-" if size in SURVEY_SIZES else "")


def _found(work: "Design", sizes: tuple[Size, ...], wanted: "Wanted", progress: Progress) -> "Found":
    from convert.rows.find_repeat import find_repeat
    from convert.shopping.fit_to_wrist import Found, fit_to_wrists
    from convert.shopping.length_model import model_length

    repeat = find_repeat(work, from_row_1=True)
    growth = model_length(work, repeat, progress=progress)
    fits, missed = fit_to_wrists(work, repeat, growth, sizes, wanted)
    if not fits:
        raise BadChoiceError(missed[-1][1])
    return Found(repeat, growth, fits, missed)
