"""``hummock recolour``: the same work in other colours."""

import re
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.output_checks import check_outputs
from convert.cli.palette_words import colour_named, palette_named
from convert.cli.parameters import folder_option
from convert.cli.progress import shown
from convert.files import place
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from palettes.palette import Palette
    from shared.design import Design

SHEET = "colourways.png"


def recolour(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    swap: Annotated[
        list[str] | None,
        typer.Option(metavar="A=COLOUR", help="Another look for colour A: #rrggbb, or a name of the palette."),
    ] = None,
    palette: Annotated[
        list[str] | None,
        typer.Option(metavar="FILE|NAME", help="Beads that exist; without --swap all colours are matched to them."),
    ] = None,
    out: Annotated[Path | None, folder_option("DESIGN-recoloured", "Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """Give a design other colours; sizes and letters stay.

    Several palettes give several designs; with --swap there may be one. A picture shows all of them side by side.
    """
    from convert.chart.small_chart import colourway_sheet
    from convert.design_input import design_path, read_design
    from convert.pattern_files import NAMES, pattern_files
    from convert.shopping.packs import pack_of
    from convert.shopping.shopping_list import shopping_list
    from shared.design_file import design_text

    path = design_path(design)
    home = path.resolve().parent
    folder = out or home.with_name(f"{home.name}-recoloured")
    old = read_design(design)
    palettes = [palette_named(words) for words in palette or []]
    colourways = _colourways(old, swap or [], palettes)
    single = len(colourways) == 1
    names = (*NAMES, SHEET) if single else (*(f"{_slug(name)}.json" for name, _ in colourways), SHEET)
    check_outputs(folder, names, inputs=(path, *(palette or [])), force=force)
    with shown(quiet=quiet) as progress:
        progress("drawing the colourways")
        sheet = {SHEET: colourway_sheet([("as it was", old), *colourways])}
        if single:
            packs = pack_of(palettes[0] if palettes else None)
            purchases = shopping_list(colourways[0][1], spare_percent=_spare_of(old), pack_of=packs)
            outputs = pattern_files(colourways[0][1], purchases, progress=progress) | sheet
        else:
            outputs = {f"{_slug(name)}.json": design_text(colourway).encode() for name, colourway in colourways} | sheet
        place(outputs, folder, force=force)
    if not quiet:
        notes = [f"note: {notice}" for one in palettes for notice in one.notices]
        typer.echo("\n".join([_told(colourways), *notes, f"wrote {', '.join(outputs)} to {folder}"]))


def _colourways(old: "Design", swaps: list[str], palettes: "list[Palette]") -> "list[tuple[str, Design]]":
    """Return each colourway with its name."""
    from convert.colouring.recolour import match_colours, swap_colours

    if swaps:
        if len(palettes) > 1:
            raise BadChoiceError("--swap takes its names from one palette; give --palette once")
        palette = palettes[0] if palettes else None
        pairs = [_swap(words) for words in swaps]
        if len({letter for letter, _ in pairs}) < len(pairs):
            raise BadChoiceError("one colour is swapped twice; give each letter one --swap")
        colours = {letter: colour_named(words, palette) for letter, words in pairs}
        return [("swapped", swap_colours(old, colours, source=palette.name if palette else ""))]
    if not palettes:
        raise BadChoiceError("no other colours were given; say --swap A=#2f4a5a, or --palette FILE")
    if len({_slug(palette.name) for palette in palettes}) < len(palettes):
        raise BadChoiceError("two palettes have the same name; rename one of the files")
    return [(palette.name, match_colours(old, palette)) for palette in palettes]


def _spare_of(design: "Design") -> float:
    """Return the spare that a design was made with, in per cent; the usual one where it does not say."""
    from convert.options import Options

    options = design.provenance.get("options")
    spare = options.get("spare_percent") if isinstance(options, dict) else None
    return float(spare) if isinstance(spare, int | float) and 0 <= spare <= 1000 else Options().spare_percent


def _swap(words: str) -> tuple[str, str]:
    letter, equals, colour = words.partition("=")
    if not equals or not re.fullmatch(r"\s*[A-Za-z]+\s*", letter) or not colour.strip():
        raise BadChoiceError(f"'{words}' is no swap; write it like A=#2f4a5a or A=wet slate")
    return letter.strip().upper(), colour.strip()


def _slug(name: str) -> str:
    return re.sub(r"\W+", "-", name.lower()).strip("-") or "palette"


def _told(colourways: "list[tuple[str, Design]]") -> str:
    from shared.design import letter_of

    lines = []
    for name, design in colourways:
        beads = {letter_of(bead.kind): f"{bead.name} {bead.srgb}" for bead in design.beads}
        lines += [f"{name}:", *(f"  {letter}  {words}" for letter, words in beads.items())]
    return "\n".join(lines)
