"""What a booklet says in figures: measures, materials and sizes, as words for its tables."""

from typing import NamedTuple

from convert.documents.booklet.choices import Choices
from convert.documents.booklet.cover import Shape
from convert.documents.booklet.difficulty import RULE, difficulty
from convert.documents.booklet.size_notes import left_over, size_notes
from convert.progress import Progress, silent
from convert.rows.find_repeat import find_repeat
from convert.shopping.fit_to_wrist import SURVEY_SIZES, beadwork_mm
from convert.shopping.kits import Item, basket
from convert.shopping.length_model import growth_of
from convert.shopping.lengths import Fit, Wanted, fits_for
from convert.shopping.needles import NEEDLES_MM, advise
from convert.shopping.packs import grams_text
from convert.shopping.thread import Thread, path_mm, thread_for
from shared.design import Design
from shared.plural import counted

TIMES = "\N{MULTIPLICATION SIGN}"
_INCH = 25.4
_HARD_BLANK = "\N{NO-BREAK SPACE}"
Pairs = tuple[tuple[str, str], ...]


class Table(NamedTuple):
    """A table of words."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def cover_facts(design: Design, shape: Shape) -> Pairs:
    """Return what the cover says, name by value."""
    grid = design.grid
    width, length = shape.width_mm, shape.length_mm
    inches = f"{width / _INCH:.2f} {TIMES} {length / _INCH:.2f} in"
    measured = "" if design.bead_sizes.is_measured("length", "width") else ", an estimate"
    flat = " of flat work" if design.levels.any() and shape.prediction is None else ""
    level = difficulty(design)
    facts = [
        ("Finished size", f"{width:.1f} {TIMES} {length:.1f} mm ({inches}){flat}{measured}, without clasp"),
        ("Stitch", f"{grid.full_name}, {'right' if grid.hand == 'right' else 'left'}-handed"),
        ("Beads", f"{grid.count:,} in {counted(grid.columns, 'column')} and {counted(grid.rows, 'row')}"),
        ("Level", f"{level.points} of 5 points, for {level.suits} ({level.reasons})"),
    ]
    return tuple(facts)


def level_rule() -> str:
    """Return how the level is worked out."""
    return RULE


def bead_table(design: Design, choices: Choices) -> Table:
    """List the beads to buy."""
    items = basket(design, spare_percent=choices.spare_percent, pack_of=choices.pack_of)
    packs = any(item.pack is not None for item in items)
    heads = ("Key", "Colour", "Size", "Count", f"With {choices.spare_percent:g} % spare", "Grams")
    rows = tuple(_bead_row(item, packs=packs) for item in items)
    total = sum(item.needed for item in items), sum(item.total for item in items)
    grams = sum(item.total_centigrams for item in items)
    last = ("", "All", "", f"{total[0]:,}", f"{total[1]:,}", grams_text(grams))
    notes = ("Grams follow from beads per gram, rounded up; beads differ by up to 15 % in weight.",)
    if packs:
        many = sum(item.packs or 0 for item in items)
        return Table((*heads, "Packs"), (*rows, (*last, str(many))), notes)
    return Table(heads, (*rows, last), notes)


def _bead_row(item: Item, *, packs: bool) -> tuple[str, ...]:
    bead = item.bead
    row = (bead.kind, bead.name, bead.size, f"{item.needed:,}", f"{item.total:,}", grams_text(item.total_centigrams))
    if not packs:
        return row
    if item.packs is None or item.pack is None:
        return (*row, "unknown")
    return (*row, f"{item.packs} {TIMES} {item.pack.grams:g} g")


def other_materials(design: Design, choices: Choices) -> Pairs:
    """Return what is needed beside beads, name by words."""
    thread = thread_for(path_mm(design), choices.thread)
    advice = advise(design)
    hole = f"the smallest hole is that of the {advice.bead.name}, {advice.bead.hole_mm:g} mm"
    needle = f"Size {advice.needle} ({NEEDLES_MM[advice.needle]:g} mm); {hole}."
    if advice.warning:
        needle += f" Take care: {advice.warning}."
    return (
        ("Thread", _thread_words(thread, choices, advice.thread)),
        ("Needle", needle),
        ("Clasp", f"One that suits the width; the table of sizes counts {choices.clasp_mm:g} mm of length for it."),
        (
            "Tools",
            (
                "Small scissors, a mat that keeps beads from rolling, a dish or lid for each key, a ruler, and "
                "something to mark the row you are in."
            ),
        ),
    )


def _thread_words(thread: Thread, choices: Choices, letter: str) -> str:
    cut, tail = choices.thread.cut_mm, choices.thread.tail_mm
    pieces = counted(thread.pieces, "piece")
    metres, yards = -(-thread.total_mm // 100) / 10, -(-thread.total_mm // 91.44) / 10
    return (
        f"Beading thread {letter} or finer, {metres:,.1f} m ({yards:,.1f} yd) in all: {pieces} of up to "
        f"{cut / 1000:.2f} m ({cut / 914.4:.1f} yd), with {tail / 10:g} cm ({tail / _INCH:.0f} in) of tail at each end."
    )


def size_table(design: Design, shape: Shape, choices: Choices, *, progress: Progress = silent) -> Table:
    """Tell for a range of wrists how long the work is to be, and of how many rows or rounds.

    A design with domes that does not repeat is not cut, for a dome would be: it has no line for smaller wrists.
    """
    repeat = find_repeat(design, strand=True)
    progress("working out sizes")
    growth = growth_of(design, repeat, known=shape.prediction, progress=progress).steady()
    wanted = Wanted(choices.ease_mm, choices.clasp_mm, spare_percent=choices.spare_percent)
    whole = bool(design.levels.any()) and repeat is None
    least_mm = growth.length_mm if whole else 0.0
    sizes = [s for s in SURVEY_SIZES if beadwork_mm(s.wrist_mm, choices.ease_mm, choices.clasp_mm) >= least_mm]
    fits, _ = fits_for(design, repeat, growth, sizes, wanted)
    heads: tuple[str, ...] = ("For", "Wrist", "Beadwork", "Rounds" if repeat else "Rows at the ends", "Rows", "Beads")
    rows = tuple(map(_size_row, fits))
    if repeat is not None:
        heads = (*heads, "Left over")
        rows = tuple((*row, str(left_over(one, growth, choices))) for row, one in zip(rows, fits, strict=True))
    return Table(heads, rows, tuple(size_notes(design, fits, growth, choices)))


def _size_row(one: Fit) -> tuple[str, ...]:
    made = str(one.rounds) if one.rounds is not None else _ends(one.change.at_start, one.change.at_end)
    wrist = _length(one.size.wrist_mm)
    length = _length(one.finished_mm)
    return one.size.name, wrist, length, made, str(one.design.grid.rows), f"{one.design.grid.count:,}"


def _length(mm: float) -> str:
    """Write a length in both units, broken between them at most."""
    return f"{mm:.0f}{_HARD_BLANK}mm, {mm / _INCH:.1f}{_HARD_BLANK}in"


def _ends(start: int, end: int) -> str:
    if not start and not end:
        return "as it is"
    verb = "add" if start + end > 0 else "leave out"
    return f"{verb} {abs(start)} first, {abs(end)} last"
