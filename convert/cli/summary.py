"""What a person is told of a finished pattern."""

from typing import TYPE_CHECKING

import numpy as np

from convert.pattern import Pattern
from convert.shopping.shopping_list import Purchase
from convert.text_table import in_columns
from shared.beads import BeadSizes
from shared.calibration import trust_in_words
from shared.design import Design, letter_of
from shared.plural import counted
from shared.units import length_text

if TYPE_CHECKING:
    from convert.surface.prediction import Prediction


def summary(pattern: Pattern, purchases: tuple[Purchase, ...], *, prediction: "Prediction | None" = None) -> str:
    """Write a short summary: size, beads by key, colour error, tidying, raised beads, finished size, notices."""
    design = pattern.design
    parts = [_size_lines(design), _table(purchases), _colour_line(pattern), _tidy_line(pattern), _raised_line(pattern)]
    if prediction is not None:
        parts.append(_finished_line(prediction))
    notes = [f"note: {notice}" for notice in pattern.notices]
    return "\n".join([*parts, *notes])


def _size_lines(design: Design) -> str:
    grid = design.grid
    width_mm, length_mm = design.extent_mm
    size = f"{counted(grid.columns, 'column')} x {grid.rows} rows, {grid.full_name}, {counted(grid.count, 'bead')}"
    flat = f"{length_text(width_mm)} wide, {length_text(length_mm)} long if worked flat ({_trust(design.bead_sizes)})"
    return f"{design.title}\n{size}\n{flat}\n"


def _finished_line(prediction: "Prediction") -> str:
    found = prediction.found
    gauge = prediction.surface.bead_sizes.gauge
    trust = "estimate" if gauge is None else trust_in_words(gauge)
    size = f"{length_text(found.width_mm)} wide, {length_text(found.length_mm)} long ({trust})"
    return f"finished: {size}\nsurface: {prediction.summary}"


def _trust(bead_sizes: BeadSizes) -> str:
    return "by a measured sample" if bead_sizes.is_measured("length", "width") else "estimate"


def _table(purchases: tuple[Purchase, ...]) -> str:
    heads = ("key", "size", "colour", "count", "spare incl.", "grams")
    rows = [(p.bead.kind, p.bead.size, p.bead.name, f"{p.needed:,}", f"{p.with_spare:,}", p.grams) for p in purchases]
    return in_columns([heads, *rows], words=3) + "\n"


def _colour_line(pattern: Pattern) -> str:
    colours = len({letter_of(bead.kind) for bead in pattern.design.beads})
    mean, most = float(pattern.errors.mean()), float(np.percentile(pattern.errors, 95))
    spread = f"{mean:.1f} on average, at most {most:.1f} for 95 % of the beads (CIEDE2000)"
    return f"{counted(colours, 'colour')}; colour error {spread}"


def _tidy_line(pattern: Pattern) -> str:
    before, after = pattern.before, pattern.after
    if (before.strays, before.runs_per_row) == (after.strays, after.runs_per_row):
        return f"{after.strays:,} stray beads, {after.runs_per_row:.1f} runs per row"
    strays = f"stray beads {before.strays:,} to {after.strays:,}"
    runs = f"runs per row {before.runs_per_row:.1f} to {after.runs_per_row:.1f}"
    return f"tidied: {strays}, {runs}, for a colour error of {before.mean_error:.2f} to {after.mean_error:.2f}"


def _raised_line(pattern: Pattern) -> str:
    design = pattern.design
    counts = np.bincount(design.levels, minlength=len(design.bead_sizes.sizes))[1:]
    if not counts.any():
        return "no raised beads: all of it lies flat"
    sizes = ", ".join(f"{count:,} {size.name}" for count, size in zip(counts, design.bead_sizes.sizes[1:], strict=True))
    moved = int(np.count_nonzero(pattern.moved))
    rule = f"the ladder rule changed the size of {moved:,} beads" if moved else "all wanted sizes keep the ladder rule"
    return f"raised: {sizes}; {rule}"
