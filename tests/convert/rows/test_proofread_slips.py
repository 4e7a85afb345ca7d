"""A thousand slips of the pen: none that matters stays unnamed, none that does not is named, and nothing crashes.

Whether a slip matters is decided by `tolerant_stitcher`, which shares no code with the project.
"""

from dataclasses import dataclass
from functools import cache

import numpy as np
from repeat_oracle import repeated
from size_levels import middle, rings
from strategies import SIZES, bead_of
from tolerant_stitcher import Work, skips_a_size, work_of

from convert.rows.proofread import proofread
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid

SLIPS = 1000
TYPED = "0123456789ABCXab ,;:#<>→←=+-–/.()\n"


def with_dome():
    """Nine columns, a dome of all four sizes in two colours, and so few rows that each letter is likely hit."""
    grid = Grid(9, 22)
    levels = rings(grid, middle(grid), radii=(0.5, 1.5, 2.5))
    kinds = [(colour, level) for colour in range(2) for level in range(4)]
    cells = 4 * (grid.column_of > 5) + levels
    used = np.unique(cells)
    beads = tuple(bead_of(*kinds[kind]) for kind in used.tolist())
    return Design("Limpet", grid, SIZES, beads, np.searchsorted(used, cells))


def with_repeat(grid, seed, level=0):
    return repeated(grid, first_rows=3, period=6, seed=seed, level=level)


WORKS = {
    "a dome, odd": with_dome,
    "a repeat, even, left-handed, from the bottom": lambda: with_repeat(Grid(6, 25, "left", "bottom"), 1),
    "two-drop": lambda: with_repeat(Grid(6, 9, drop=2), 2, level=1),
    "no repeat, odd, left-handed": lambda: repeated(Grid(7, 12, "left"), first_rows=12, period=2, seed=3),
}


@dataclass(frozen=True)
class Slip:
    """A slip of the pen.

    ``work`` is what a patient stitcher makes of the text, None where it contradicts itself; ``good`` what she made of
    it before. ``apart`` says that the slip broke a line, joined two or made a comment of one.
    """

    line: int
    text: str
    work: Work | None
    good: Work
    apart: bool
    in_row: bool

    @property
    def changes_a_bead(self):
        return self.work is None or self.work._replace(unmarked=0) != self.good

    @property
    def breaks_the_rows(self):
        return self.work is None or skips_a_size(self.work) or self.work.unmarked > 0


def slips_of(design, count, rng):
    text = rows_text(design)
    good, lines = work_of(text), text.split("\n")
    for _ in range(count):
        place, letter = int(rng.integers(0, len(text))), TYPED[int(rng.integers(0, len(TYPED)))]
        kind = str(rng.choice(["substituted", "deleted", "inserted"]))
        typed, gone = "" if kind == "deleted" else letter, "" if kind == "inserted" else text[place]
        slipped = text[:place] + typed + text[place + len(gone) :]
        line = text.count("\n", 0, place) + 1
        apart = "\n" in (typed, gone) or "#" in (typed, gone)
        yield Slip(line, slipped, stitched_or_none(slipped), good, apart, lines[line - 1].startswith("Row"))


def stitched_or_none(text):
    try:
        return work_of(text)
    except ValueError:
        return None


@cache
def slips():
    """Each slip, and what the proof says of it with the design and without."""
    rng, found = np.random.default_rng(5), []
    for make in WORKS.values():
        design = make()
        for slip in slips_of(design, SLIPS // len(WORKS), rng):
            against, alone = proofread(slip.text, SIZES, against=design), proofread(slip.text, SIZES)
            found.append((slip, against, alone))
    return found


def is_named_in_its_place(slip, proof):
    """Name the line of the slip, or the one after it where lines have come apart."""
    lines = {mistake.line for mistake in proof.mistakes}
    return slip.line in lines or (slip.apart and slip.line + 1 in lines)


def test_with_a_design_every_slip_that_changes_a_bead_is_named_with_its_line():
    changed = [(slip, proof) for slip, proof, _ in slips() if slip.changes_a_bead]
    assert len(changed) > 500
    for slip, proof in changed:
        assert proof.design is None, slip
        assert is_named_in_its_place(slip, proof), (slip, proof.mistakes)


def test_without_a_design_every_slip_that_breaks_the_rows_is_named():
    broken = [(slip, proof) for slip, _, proof in slips() if slip.breaks_the_rows]
    assert len(broken) > 500
    for slip, proof in broken:
        assert proof.design is None, slip
        assert proof.mistakes, slip
        assert is_named_in_its_place(slip, proof) or not slip.in_row, (slip, proof.mistakes)


def test_no_harmless_slip_is_named():
    harmless = [(slip, *proofs) for slip, *proofs in slips() if not slip.changes_a_bead and not slip.breaks_the_rows]
    assert len(harmless) > 150
    for slip, against, alone in harmless:
        assert against.mistakes == alone.mistakes == (), slip


def test_what_is_read_without_a_mistake_is_what_a_patient_stitcher_makes():
    for slip, _, proof in slips():
        if proof.design is None:
            continue
        grid = proof.design.grid
        places = zip(grid.row_of.tolist(), grid.column_of.tolist(), strict=True)
        beads = [proof.design.beads[cell] for cell in proof.design.cells]
        found = {
            place: (bead.size.upper(), bead.srgb[1:], bead.name) for place, bead in zip(places, beads, strict=True)
        }
        assert slip.work is not None, slip
        assert (found, grid.start, grid.drop) == (slip.work.cells, slip.work.start, slip.work.drop), slip


def test_the_slips_are_of_all_kinds():
    assert len(slips()) == SLIPS
    for which in ("changes_a_bead", "breaks_the_rows", "apart", "in_row"):
        assert 60 < sum(getattr(slip, which) for slip, *_ in slips()) < SLIPS - 60, which
