"""``hummock recolour``: the same work in other colours."""

import re
from typing import TYPE_CHECKING, Annotated, Any

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output
from convert.cli.parameters import colour_named, palette_named
from convert.pattern_files import NAMES
from convert.progress import Progress
from convert.shopping.choices import MOST_SPARE_PERCENT, SPARE_PERCENT
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from palettes.palette import Palette
    from shared.design import Design

SHEET = "colourways.png"


@with_choices
def recolour(
    design: DesignFile,
    *,
    swap: Annotated[
        list[str] | None,
        typer.Option(metavar="A=COLOUR", help="Another look for colour A: #rrggbb, or a name of the palette."),
    ] = None,
    palette: Annotated[
        list[str] | None,
        typer.Option(metavar="FILE|NAME", help="Beads that exist; without --swap all colours are matched to them."),
    ] = None,
    output: Annotated[Output, Where("DESIGN-recoloured")],
) -> None:
    """Give a design other colours; sizes and letters stay.

    Several palettes give several designs; with --swap there may be one. A picture shows all of them side by side.
    """
    from convert.chart.small_chart import colourway_sheet
    from convert.design_input import design_path, folder_beside, read_design

    folder = output.out or folder_beside(design, "recoloured")
    old = read_design(design)
    palettes = [palette_named(words) for words in palette or []]
    colourways = _colourways(old, swap or [], palettes)
    names = NAMES if len(colourways) == 1 else [f"{_slug(name)}.json" for name, _ in colourways]
    output.check(folder, (*names, SHEET), design_path(design), *(palette or []))
    with output.progress() as progress:
        progress("drawing the colourways")
        sheet = colourway_sheet([("as it was", old), *colourways])
        wrote = output.place(_files(old, colourways, palettes, progress) | {SHEET: sheet}, folder)
    notes = [f"note: {notice}" for one in palettes for notice in one.notices]
    output.say(_told(colourways), *notes, wrote)


def _files(
    old: "Design", colourways: "list[tuple[str, Design]]", palettes: "list[Palette]", progress: Progress
) -> dict[str, Any]:
    """Return the whole pattern of a single colourway, and the designs of several."""
    from convert.pattern_files import pattern_files
    from convert.shopping.packs import pack_of
    from convert.shopping.shopping_list import shopping_list
    from shared.design_file import design_text

    if len(colourways) > 1:
        return {f"{_slug(name)}.json": design_text(design) for name, design in colourways}
    ((_, design),) = colourways
    packs = pack_of(palettes[0] if palettes else None)
    return pattern_files(design, shopping_list(design, spare_percent=_spare_of(old), pack_of=packs), progress=progress)


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
    options = design.provenance.get("options")
    spare = options.get("spare_percent") if isinstance(options, dict) else None
    return float(spare) if isinstance(spare, int | float) and 0 <= spare <= MOST_SPARE_PERCENT else SPARE_PERCENT


def _swap(words: str) -> tuple[str, str]:
    letter, equals, colour = words.partition("=")
    if not equals or not re.fullmatch(r"\s*[A-Za-z]+\s*", letter) or not colour.strip():
        raise BadChoiceError(f"'{words}' is no swap; write it like A=#2f4a5a or A=wet slate")
    return letter.strip().upper(), colour.strip()


def _slug(name: str) -> str:
    return re.sub(r"\W+", "-", name.lower()).strip("-") or "palette"


def _told(colourways: "list[tuple[str, Design]]") -> str:
    from shared.letters import letter_of

    lines = []
    for name, design in colourways:
        beads = {letter_of(bead.kind): f"{bead.name} {bead.srgb}" for bead in design.beads}
        lines += [f"{name}:", *(f"  {letter}  {words}" for letter, words in beads.items())]
    return "\n".join(lines)
