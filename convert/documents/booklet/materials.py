"""What is needed: the beads as a table, and thread, needle, clasp and tools."""

from typing import NamedTuple

from convert.chart.page import INCH_MM, TIMES
from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.cover import Facts
from convert.shopping.packs import grams_text, known_packs
from convert.shopping.shopping_list import Purchase, shopping_list
from convert.shopping.thread import NEEDLES_MM, YARD_MM, Thread, advise, metres_text, path_mm, thread_for
from shared.design import Design
from shared.plural import counted


class WordTable(NamedTuple):
    """A table of words."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def bead_table(design: Design, choices: BookletChoices) -> WordTable:
    """List the beads to buy."""
    items = shopping_list(design, spare_percent=choices.spare_percent, pack_of=known_packs(choices, design.bead_sizes))
    packs = any(item.pack is not None for item in items)
    heads = ("Kind", "Colour", "Size", "Count", f"With {choices.spare_percent:g} % spare", "Grams")
    rows = tuple(_bead_row(item, packs=packs) for item in items)
    total = sum(item.needed for item in items), sum(item.total for item in items)
    grams = sum(item.total_centigrams for item in items)
    last = ("", "All", "", f"{total[0]:,}", f"{total[1]:,}", grams_text(grams))
    notes = ("Grams follow from beads per gram, rounded up; beads differ by up to 15 % in weight.",)
    if packs:
        many = sum(item.packs or 0 for item in items)
        return WordTable((*heads, "Packs"), (*rows, (*last, str(many))), notes)
    return WordTable(heads, (*rows, last), notes)


def _bead_row(item: Purchase, *, packs: bool) -> tuple[str, ...]:
    bead = item.bead
    row = (bead.kind, bead.name, bead.size, f"{item.needed:,}", f"{item.total:,}", grams_text(item.total_centigrams))
    if not packs:
        return row
    if item.packs is None or item.pack is None:
        return (*row, "unknown")
    return (*row, f"{item.packs} {TIMES} {item.pack.grams:g} g")


def other_materials(design: Design, choices: BookletChoices) -> Facts:
    """Return what is needed besides beads, name by words."""
    thread = thread_for(path_mm(design), choices.thread)
    advice = advise(design)
    needle = f"Size {advice.needle} ({NEEDLES_MM[advice.needle]:g} mm); {advice.smallest_hole}."
    if advice.warning:
        needle += f" Take care: {advice.warning}."
    tools = (
        "Small scissors, a mat that keeps beads from rolling, a dish or lid for each kind of bead, a ruler, and "
        "something to mark the row you are in."
    )
    return (
        ("Thread", _thread_words(thread, choices, advice.thread)),
        ("Needle", needle),
        ("Clasp", f"One that suits the width; the table of sizes counts {choices.clasp_mm:g} mm of length for it."),
        ("Tools", tools),
    )


def _thread_words(thread: Thread, choices: BookletChoices, letter: str) -> str:
    cut, tail = choices.thread.cut_mm, choices.thread.tail_mm
    pieces = counted(thread.pieces, "piece")
    return (
        f"Beading thread {letter} or finer, {metres_text(thread.total_mm)} in all: {pieces} of up to "
        f"{cut / 1000:.2f} m ({cut / YARD_MM:.1f} yd), with {tail / 10:g} cm ({tail / INCH_MM:.0f} in) of tail at each "
        "end."
    )
