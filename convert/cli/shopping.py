"""``hummock shopping``: what to buy for a design, or for kits of it."""

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.buying_options import PackPalette, Packs, Spare, known_packs
from convert.cli.output_checks import check_outputs
from convert.cli.parameters import folder_option, one_of, parse_count, parse_percent, said
from convert.cli.progress import shown
from convert.documents.paper import Paper
from convert.files import place, read_bytes
from convert.progress import Progress
from convert.shopping.choices import SPARE_PERCENT, ThreadOptions, check_spare
from shared.errors import BadChoiceError
from shared.units import parse_length_mm

if TYPE_CHECKING:
    from convert.shopping.stash import AtHand
    from convert.shopping.thread import Thread
    from shared.design import Design

LIST, KITS = ("beads.csv", "shopping.txt"), ("kits.csv", "labels.html")
MOST_KITS = 1000
_LENGTH = {"parser": said(parse_length_mm), "metavar": "LENGTH"}
_COUNT = {"parser": said(parse_count), "metavar": "NUMBER"}
_PERCENT = {"parser": said(parse_percent), "metavar": "PERCENT"}
_THREAD = ThreadOptions()


def shopping(
    design: Annotated[Path, typer.Argument(metavar="DESIGN", help="A design.json, or the folder that holds one.")],
    *,
    spare: Spare = SPARE_PERCENT,
    pack: Packs = None,
    palette: PackPalette = None,
    stash: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Beads at hand, a table with their grams: taken off.")
    ] = None,
    cut: Annotated[
        float, typer.Option(**_LENGTH, show_default="2.74m", help="One length of thread, tails included.")
    ] = _THREAD.cut_mm,
    tail: Annotated[
        float,
        typer.Option(
            parser=said(partial(parse_length_mm, zero=True)),
            metavar="LENGTH",
            show_default="30cm",
            help="Left at each end of it.",
        ),
    ] = _THREAD.tail_mm,
    slack: Annotated[
        float, typer.Option(**_PERCENT, help="Thread above the taut path, for tension, knots and turns.")
    ] = _THREAD.slack_percent,
    spool: Annotated[float | None, typer.Option(**_LENGTH, help="Thread on one spool, like 50m.")] = None,
    surface: Annotated[
        bool, typer.Option("--surface", help="Lead the thread over the predicted surface (slower).")
    ] = False,
    needle: Annotated[int | None, typer.Option(**_COUNT, help="A needle to check, like 10 or 12.")] = None,
    kits: Annotated[int, typer.Option(**_COUNT, help="How many kits to fill.")] = 1,
    paper: Annotated[Paper, typer.Option(**one_of(Paper), help="What the labels of kits are printed on.")] = "a4",
    out: Annotated[Path | None, folder_option("DESIGN-shopping", "Folder for the outputs.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace outputs that are there.")] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Print nothing but errors.")] = False,
) -> None:
    """List what to buy: beads with spare, packs, cost, less what is at hand; thread and needle; bags of kits."""
    from convert.design_input import design_path, folder_beside, read_design
    from convert.shopping.shopping_list import kits_csv, shopping_csv, shopping_list
    from convert.shopping.shopping_text import Shopping, shopping_text
    from convert.shopping.thread import advise, spools_for

    if kits > MOST_KITS:
        raise BadChoiceError(f"{kits:,} kits are too many at once; give up to {MOST_KITS:,}")
    options = ThreadOptions(cut, tail, slack, spool)
    spare_percent = check_spare(spare)
    names = LIST if kits == 1 else (*LIST, *KITS)
    folder = out or folder_beside(design, "shopping")
    check_outputs(folder, names, inputs=(design_path(design), stash, palette), force=force)
    work = read_design(design)
    hand = _at_hand(work, stash)
    pack_of = known_packs(pack or [], palette, work.bead_sizes)
    items = shopping_list(work, spare_percent=spare_percent, works=kits, pack_of=pack_of, hand_grams=hand.grams)
    with shown(quiet=quiet) as progress:
        thread = _thread(work, options, progress, surface=surface)
    spools = spools_for(kits * thread.pieces, options)
    notes = (*hand.notes, *(["the thread is led over the predicted surface (estimate)"] if surface else []))
    text = shopping_text(work, Shopping(items, spare_percent, thread, options, spools, advise(work, needle), notes))
    outputs = {"beads.csv": shopping_csv(items), "shopping.txt": text}
    if kits > 1:
        from convert.documents.kit_labels import labels_page

        outputs |= {"kits.csv": kits_csv(items), "labels.html": labels_page(work.title, items, paper=paper)}
    place({name: content.encode() for name, content in outputs.items()}, folder, force=force)
    if not quiet:
        typer.echo(f"{text}\nwrote {', '.join(outputs)} to {folder}")


def _at_hand(work: "Design", stash: Path | None) -> "AtHand":
    from convert.shopping.stash import AtHand, find_at_hand
    from palettes.formats.read import LARGEST_MEGABYTES, read_palette

    if stash is None:
        return AtHand({}, ())
    owned = read_palette(read_bytes(stash, megabytes=LARGEST_MEGABYTES), str(stash))
    found = find_at_hand(work, owned)
    return found._replace(notes=(*owned.notices, *found.notes))


def _thread(work: "Design", options: ThreadOptions, progress: Progress, *, surface: bool) -> "Thread":
    from convert.shopping.thread import path_mm, thread_for

    centres = None
    if surface:
        from convert.surface.prediction import predict

        found = predict(work.grid, work.bead_sizes, work.levels, progress=progress)
        centres = found.surface.centres_mm
    return thread_for(path_mm(work, centres_mm=centres), options)
