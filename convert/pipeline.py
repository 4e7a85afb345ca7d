"""The main job: a picture and a height map become a design. This page is the composition of the steps."""

import hashlib
from importlib.metadata import version
from pathlib import PurePath
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.assemble import assemble_beads
from convert.decode import Source, decode, read_header
from convert.heights import bead_heights
from convert.mounds import mound_levels
from convert.options import Options
from convert.progress import Progress, silent
from convert.quantise import few_colours
from convert.raster import picture_from
from convert.resample import footprint_means
from convert.size import Plan, plan_work
from convert.zones import cut_levels, equal_cuts, keep_ladder_rule
from shared.colour import codes_from_hex, lab_from_linear, linear_from_srgb
from shared.design import Design
from shared.grid import Grid, Ints

SAMPLES_PER_CELL = 16
"""A JPEG may be reduced while it is read as long as a column, and a half-row, keeps this many pixels."""

PIXELS_KEPT = 2_500_000
"""And as long as so many remain in all. Reading averages codes, not light, which darkens what is sharp to the
pixel (mean CIEDE2000 up to 1.5 on small photographs, under 0.1 on large ones, which are soft)."""


class Pattern(NamedTuple):
    """A design and what was found out while making it."""

    design: Design
    """The design."""
    errors: NDArray[np.float64]
    """CIEDE2000 of each bead's colour to the picture's mean over its footprint, shape (beads,)."""
    levels_cut: Ints
    """How far the ladder rule moved each bead's level: kept less wanted, shape (beads,)."""
    notices: tuple[str, ...]
    """What a person should know."""


def convert(picture: Source, heights: Source | None, options: Options, *, progress: Progress = silent) -> Pattern:
    """Make a design from a picture, and a height map if there is one.

    Raises
    ------
    HummockError
        For every input that cannot be used, saying what is wrong and how to mend it.
    """
    progress("reading the picture")
    header = read_header(picture, max_pixels=options.max_pixels)
    plan = plan_work(header.width, header.height, options)
    grid = Grid(plan.columns, plan.rows, options.hand, options.start)
    cells_linear, notices = _cell_colours(picture, plan, grid, options)
    progress("choosing colours")
    chosen = few_colours(lab_from_linear(cells_linear), options.colours)
    progress("raising the zones")
    wanted, more = _wanted_levels(heights, picture, plan, grid, options)
    levels = keep_ladder_rule(wanted, grid, policy=options.policy)
    beads, cells = assemble_beads(chosen.codes, chosen.labels, levels, options.ladder)
    title = options.title or title_from(picture.name)
    design = Design(title, grid, options.ladder, beads, cells, _provenance(picture, heights, options))
    fewer = _fewer_colours(len(chosen.codes), options.colours)
    return Pattern(design, chosen.errors, levels - wanted, plan.notices + notices + more + fewer)


def title_from(name: str) -> str:
    """Make a title of a file name.

    Examples
    --------
    >>> title_from("samples/tide-pool.png")
    'Tide pool'
    """
    words = " ".join(PurePath(name).stem.replace("-", " ").replace("_", " ").split())
    printable = "".join(letter for letter in words if letter.isprintable()).strip()
    return printable[:1].upper() + printable[1:] or "Untitled"


def _cell_colours(
    source: Source, plan: Plan, grid: Grid, options: Options
) -> tuple[NDArray[np.float64], tuple[str, ...]]:
    """Return the mean of the picture over each bead in linear light, shape (beads, 3)."""
    decoded = decode(source, reduction=_reduction(plan))
    ground = linear_from_srgb(codes_from_hex(options.ground) / 255)
    seen = picture_from(decoded, turn=plan.turn, mirror=options.mirror, ground=ground)
    across, down = seen.shape[1] / plan.seen_width, seen.shape[0] / plan.seen_height
    window, bounds = plan.window.scaled(across, down), plan.bounds.scaled(across, down)
    return footprint_means(seen, grid, window=window, bounds=bounds, outside=ground), decoded.notices


def _reduction(plan: Plan) -> int:
    cell = min(plan.window.width / plan.columns, plan.window.height / (plan.rows + 1))
    pixels = plan.seen_width * plan.seen_height
    kept = [k for k in (2, 4, 8) if cell / k >= SAMPLES_PER_CELL and pixels / k**2 >= PIXELS_KEPT]
    return max(kept, default=1)


def _wanted_levels(
    heights: Source | None, picture: Source, plan: Plan, grid: Grid, options: Options
) -> tuple[Ints, tuple[str, ...]]:
    raised = mound_levels(options.mounds, grid, options.ladder)
    if heights is None:
        return raised, ()
    means, notices = bead_heights(heights, picture, plan, grid, options)
    cuts = options.cuts or equal_cuts(len(options.ladder.sizes))
    return np.maximum(cut_levels(means, cuts), raised), notices


def _fewer_colours(found: int, asked: int) -> tuple[str, ...]:
    if found == asked:
        return ()
    return (f"{asked} colours were asked for; the picture has only {found} different ones at this size",)


def _provenance(picture: Source, heights: Source | None, options: Options) -> dict[str, Any]:
    return {
        "hummock": version("hummock"),
        "picture_sha256": hashlib.sha256(picture.data).hexdigest(),
        "heights_sha256": None if heights is None else hashlib.sha256(heights.data).hexdigest(),
        "options": options.to_values(),
    }
