"""``hummock convert``: the main job, and the summary of what it made."""

import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from convert.chart.choices import InkChoice
from convert.cli.options import HeightMap, NoSurface, Picture, Where, with_choices
from convert.cli.outputs import Output
from convert.files import read_bytes
from convert.options import Options
from convert.pattern_files import NAMES
from convert.text_table import in_columns
from shared.calibration import trust_in_words
from shared.plural import counted
from shared.units import length_text

if TYPE_CHECKING:
    from convert.pattern import Pattern
    from convert.shopping.shopping_list import Purchase
    from convert.surface.prediction import Prediction
    from shared.beads import BeadSizes
    from shared.design import Design


@with_choices
def convert(
    picture: Picture,
    *,
    heights: HeightMap = None,
    options: Options,
    chart: InkChoice,
    output: Annotated[Output, Where("PICTURE-pattern")],
    no_surface: NoSurface = False,
) -> None:
    """Make a pattern from a drawing: design, chart, word rows and shopping list."""
    from convert.image.decode import Source
    from convert.pattern import Job, make

    folder = output.out or Path(f"{picture.stem}-pattern")
    output.check(folder, NAMES, picture, heights)
    map_source = None if heights is None else Source(str(heights), read_bytes(heights))
    job = Job(Source(str(picture), read_bytes(picture)), map_source, options, chart.ink, surface=not no_surface)
    with output.progress() as progress:
        made = make(job, progress=progress)
        wrote = output.place(made.files, folder)
    told = summary(made.pattern, made.purchases, prediction=made.prediction)
    output.say(told, wrote, _next_steps(folder))


def _next_steps(folder: Path) -> str:
    """Return what to type next."""
    name = shlex.quote(str(folder))
    steps = (
        (f"hummock surface {name}", "its shape, and places to look at"),
        (f"hummock booklet {name}", "a PDF to stitch from and to sell"),
        (f"hummock page {name}", "a page to stitch from, in any browser"),
    )
    return "next:\n" + in_columns([(f"  {command}", what) for command, what in steps], words=2)


def summary(pattern: "Pattern", purchases: "tuple[Purchase, ...]", *, prediction: "Prediction | None" = None) -> str:
    """Write a short summary: size, beads by kind, colour difference, tidying, raised beads, finished size, notices."""
    design = pattern.design
    parts = [_size_lines(design), _table(purchases), _colour_line(pattern), _tidy_line(pattern), _raised_line(pattern)]
    if prediction is not None:
        parts.append(_finished_line(prediction))
    notes = [f"note: {notice}" for notice in pattern.notices]
    return "\n".join([*parts, *notes])


def _size_lines(design: "Design") -> str:
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


def _trust(bead_sizes: "BeadSizes") -> str:
    return "by a measured sample" if bead_sizes.is_measured("length", "width") else "estimate"


def _table(purchases: "tuple[Purchase, ...]") -> str:
    heads = ("kind", "size", "colour", "count", "spare incl.", "grams")
    rows = [(p.bead.kind, p.bead.size, p.bead.name, f"{p.needed:,}", f"{p.with_spare:,}", p.grams) for p in purchases]
    return in_columns([heads, *rows], words=3) + "\n"


def _colour_line(pattern: "Pattern") -> str:
    import numpy as np

    from shared.letters import letter_of

    colours = len({letter_of(bead.kind) for bead in pattern.design.beads})
    mean, most = float(pattern.errors.mean()), float(np.percentile(pattern.errors, 95))
    spread = f"{mean:.1f} on average, at most {most:.1f} for 95 % of the beads (CIEDE2000)"
    return f"{counted(colours, 'colour')}; colour difference {spread}"


def _tidy_line(pattern: "Pattern") -> str:
    before, after = pattern.before, pattern.after
    if (before.strays, before.runs_per_row) == (after.strays, after.runs_per_row):
        return f"{after.strays:,} stray beads, {after.runs_per_row - 1:.1f} changes of bead per row"
    strays = f"stray beads {before.strays:,} to {after.strays:,}"
    changes = f"changes of bead per row {before.runs_per_row - 1:.1f} to {after.runs_per_row - 1:.1f}"
    difference = f"colour difference {before.mean_error:.2f} to {after.mean_error:.2f}"
    return f"tidied: {strays}, {changes}, {difference}"


def _raised_line(pattern: "Pattern") -> str:
    import numpy as np

    design = pattern.design
    counts = np.bincount(design.levels, minlength=len(design.bead_sizes.sizes))[1:]
    if not counts.any():
        return "no raised beads: all of it lies flat"
    sizes = ", ".join(f"{count:,} {size.name}" for count, size in zip(counts, design.bead_sizes.sizes[1:], strict=True))
    moved = int(np.count_nonzero(pattern.moved))
    rule = (
        f"the size-step rule changed the size of {counted(moved, 'bead')}"
        if moved
        else "all wanted sizes keep the size-step rule"
    )
    return f"raised: {sizes}; {rule}"
