"""``hummock shopping``: what to buy for a design, or for kits of it."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cli.options import DesignFile, Where, with_choices
from convert.cli.outputs import Output
from convert.cli.parameters import COUNT, one_of
from convert.documents.paper import Paper
from convert.files import read_bytes
from convert.progress import Progress
from convert.shopping.choices import PackChoices, ThreadOptions
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from convert.shopping.stash import AtHand
    from convert.shopping.thread import Thread
    from palettes.palette import Palette
    from shared.design import Design

LIST, KITS = ("beads.csv", "shopping.txt"), ("kits.csv", "labels.html")
MOST_KITS = 1000


@with_choices
def shopping(
    design: DesignFile,
    *,
    packs: PackChoices,
    stash: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Beads at hand, a table with their grams: taken off.")
    ] = None,
    cut: ThreadOptions,
    surface: Annotated[
        bool, typer.Option("--surface", help="Lead the thread over the predicted surface (slower).")
    ] = False,
    needle: Annotated[int | None, typer.Option(**COUNT, help="A needle to check, like 10 or 12.")] = None,
    kits: Annotated[int, typer.Option(**COUNT, help=f"How many kits to fill, at most {MOST_KITS:,}.")] = 1,
    paper: Annotated[Paper, typer.Option(**one_of(Paper), help="What the labels of kits are printed on.")] = "a4",
    output: Annotated[Output, Where("DESIGN-shopping")],
) -> None:
    """List what to buy: beads with spare, packs, cost, less what is at hand; thread and needle; bags of kits."""
    from convert.documents.kit_labels import labels_page
    from convert.shopping.packs import find_finishes, known_packs
    from convert.shopping.shopping_list import kits_csv, shopping_csv, shopping_list
    from convert.shopping.shopping_text import Shopping, shopping_text
    from convert.shopping.thread import advise, spools_for

    if kits > MOST_KITS:
        raise BadChoiceError(f"{kits:,} kits are too many at once; give at most {MOST_KITS:,}")
    work, folder = output.open_design(design, LIST if kits == 1 else (*LIST, *KITS), stash, ending="shopping")
    hand, owned = _at_hand(work, stash)
    pack_of, spare = known_packs(packs, work.bead_sizes), packs.spare_percent
    items = shopping_list(work, spare_percent=spare, works=kits, pack_of=pack_of, hand_grams=hand.grams)
    with output.progress() as progress:
        thread = _thread(work, cut, progress, surface=surface)
    spools = spools_for(kits * thread.pieces, cut)
    notes = (*hand.notes, *(["the thread is led over the predicted surface (estimate)"] if surface else []))
    finishes = find_finishes(work.beads, (packs.palette, owned))
    text = shopping_text(work, Shopping(items, spare, thread, cut, spools, advise(work, needle), notes, finishes))
    outputs = {"beads.csv": shopping_csv(items), "shopping.txt": text}
    if kits > 1:
        outputs |= {"kits.csv": kits_csv(items), "labels.html": labels_page(work.title, items, paper=paper)}
    output.say(text, output.place(outputs, folder))


def _at_hand(work: "Design", stash: Path | None) -> "tuple[AtHand, Palette | None]":
    """Read the beads at hand; colours may be left out where their names are those of the design."""
    from convert.shopping.stash import AtHand, find_at_hand
    from palettes.formats.read import LARGEST_MEGABYTES, read_palette
    from palettes.palette import folded

    if stash is None:
        return AtHand({}, ()), None
    known = {folded(bead.name): bead.lab for bead in work.beads if bead.source}
    data = read_bytes(stash, megabytes=LARGEST_MEGABYTES)
    owned = read_palette(data, str(stash), flat=work.bead_sizes.flat.name, colours=known)
    found = find_at_hand(work, owned)
    return found._replace(notes=(*owned.notices, *found.notes)), owned


def _thread(work: "Design", cut: ThreadOptions, progress: Progress, *, surface: bool) -> "Thread":
    from convert.shopping.thread import path_mm, thread_for

    centres = None
    if surface:
        from convert.surface.prediction import predict

        centres = predict(work.grid, work.bead_sizes, work.levels, progress=progress).surface.centres_mm
    return thread_for(path_mm(work, centres_mm=centres), cut)
