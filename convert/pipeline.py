"""The main job: a picture and a height map become a design. This page is the composition of the steps."""

import hashlib
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import PurePath
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from convert.cells.cell_colours import Cells, bead_colours
from convert.cells.supersample import View
from convert.colouring.bead_keys import Coloured
from convert.colouring.choose_colours import Finished, coloured_each, least_number
from convert.colouring.colour_count import knee, spread_of
from convert.colouring.pattern_stats import Tidiness
from convert.colouring.sweep import Candidate
from convert.documents.colour_review.review import Review, review
from convert.image.decode import Header, Source, decode, read_header
from convert.image.raster import ALL, picture_from
from convert.layout.repeat import Laid, laid_out
from convert.options import FEWEST_REVIEWED, MOST_REVIEWED, WHITE, Options, SeenStyle
from convert.progress import Progress, silent
from convert.relief.domes import dome_levels
from convert.relief.height_map import bead_heights, idle_options
from convert.relief.size_steps import cut_levels, equal_thresholds, keep_size_step_rule
from convert.relief.tile_repeats import repeated
from convert.relief.work import Work
from convert.shopping.packs import pack_of
from shared.arrays import Ints
from shared.colour import codes_from_hex, lab_from_linear, linear_from_srgb
from shared.design import Design
from shared.plural import counted


class Pattern(NamedTuple):
    """A design and what was found out while making it."""

    design: Design
    """The design."""
    errors: NDArray[np.float64]
    """CIEDE2000 of each bead's colour to what the picture shows there, shape (beads,)."""
    levels_cut: Ints
    """How far the size-step rule moved each bead's level: kept less wanted, shape (beads,)."""
    notices: tuple[str, ...]
    """What a person should know."""
    style: SeenStyle
    """As what the picture was taken."""
    untidied: Tidiness
    """Stray beads, runs and colour error before tidying."""
    tidiness: Tidiness
    """The same of the design."""


class Prepared(NamedTuple):
    """A picture and its height map laid on the beads, before any colour is chosen."""

    title: str
    """One line."""
    work: Work
    """The cells."""
    levels_cut: Ints
    """See `Pattern`."""
    style: SeenStyle
    """See `Pattern`."""
    provenance: dict[str, Any]
    """What the work is made from."""
    notices: tuple[str, ...]
    """What a person should know."""


def convert(picture: Source, heights: Source | None, options: Options, *, progress: Progress = silent) -> Pattern:
    """Make a design from a picture, and a height map if there is one.

    Raises
    ------
    HummockError
        For every input that cannot be used, saying what is wrong and how to mend it.
    """
    prepared = prepare(picture, heights, options, progress=progress)
    progress("choosing colours")
    finished, more = _finished(prepared, options)
    design = design_of(prepared, finished.coloured)
    notices = prepared.notices + more
    errors, cut = finished.coloured.errors, prepared.levels_cut
    return Pattern(design, errors, cut, notices, prepared.style, finished.before, finished.after)


def review_colours(
    picture: Source, heights: Source | None, options: Options, numbers: Sequence[int], *, progress: Progress = silent
) -> Review:
    """Make the design with each of several numbers of colours, rising by one; errors as in `convert`."""
    prepared = prepare(picture, heights, options, progress=progress)
    progress("choosing colours")
    least = least_number(prepared.work, options)
    if numbers[0] < least:
        numbers = [number for number in numbers if number >= least] or [least]
        more = (f"fewer than {least} {options.count} cannot be had, so the review begins there",)
        prepared = prepared._replace(notices=prepared.notices + more)
    works = zip(numbers, coloured_each(prepared.work, options, numbers), strict=True)
    candidates = [
        Candidate(k, design_of(prepared, finished.coloured), finished.coloured.errors) for k, finished in works
    ]
    packs = pack_of(options.palette)
    return review(
        candidates, spare_percent=options.spare_percent, pack_of=packs, notices=prepared.notices, counted=options.count
    )


def prepare(picture: Source, heights: Source | None, options: Options, *, progress: Progress = silent) -> Prepared:
    """Take all steps that do not depend on the number of colours; errors as in `convert`."""
    progress("reading the picture")
    header = read_header(picture, max_pixels=options.max_pixels)
    laid = laid_out(header.width, header.height, options)
    seen, notices = _seen_cells(picture, header, laid, options)
    progress("raising the zones")
    wanted, more = _wanted_levels(heights, picture, laid, options)
    work, cut = _work(seen, wanted, laid, options)
    return Prepared(
        title=options.title or title_from(picture.name),
        work=work,
        levels_cut=cut,
        style=seen.style,
        provenance=_provenance(picture, heights, options),
        notices=laid.plan.notices + notices + more + (options.palette.notices if options.palette else ()),
    )


def design_of(prepared: Prepared, coloured: Coloured) -> Design:
    """Put beads on the lattice."""
    work = prepared.work
    grid = work.grid if work.whole is None else work.whole.grid
    return Design(prepared.title, grid, work.bead_sizes, coloured.beads, coloured.cells, prepared.provenance)


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


def _finished(prepared: Prepared, options: Options) -> tuple[Finished, tuple[str, ...]]:
    """Colour the work with at most so many colours, or as many as the rule of the colour count takes."""
    if options.colours == "auto":
        first = max(FEWEST_REVIEWED, least_number(prepared.work, options))
        numbers = range(first, max(first, MOST_REVIEWED) + 1)
        tried = tuple(coloured_each(prepared.work, options, numbers))
        taken = knee([spread_of(k, one.coloured.errors) for k, one in zip(numbers, tried, strict=True)])
        finished = tried[taken.k - first]
        words = counted(finished.coloured.colours, "colour")
        return finished, (f"{words} by --colours auto: {taken.reason}",)
    (finished,) = coloured_each(prepared.work, options, [options.colours])
    return finished, (*_fewer_colours(finished, options), *_kept_or_not(finished, options))


def _fewer_colours(finished: Finished, options: Options) -> tuple[str, ...]:
    found = len(finished.coloured.beads) if options.count == "kinds" else finished.coloured.colours
    if found == options.colours:
        return ()
    if finished.given_up:
        before, now = finished.after.mean_error, float(finished.coloured.errors.mean())
        colours = counted(finished.given_up, "colour")
        return (f"--fewest {options.fewest} gave up {colours}, for a colour error of {before:.2f} to {now:.2f}",)
    serve = "serves" if found == 1 else "serve"
    return (f"{options.colours} {options.count} were asked for; {found} {serve} this picture at this size",)


def _kept_or_not(finished: Finished, options: Options) -> tuple[str, ...]:
    """Tell of wishes for colours that changed nothing."""
    absent = [
        f"{name} is kept, but every bead is nearer to another colour; nothing of it is to be bought"
        for name in finished.absent
    ]
    if finished.no_ground:
        absent.append(f"no flat bead looks like the ground {options.ground}, so none has that colour")
    return tuple(absent)


def _work(seen: Cells, wanted: Ints, laid: Laid, options: Options) -> tuple[Work, Ints]:
    """Put sizes under the size-step rule; return how far that moved them, too."""
    cells_lab = lab_from_linear(seen.linear)
    if laid.lap is not None:
        return repeated(cells_lab, seen.ink, wanted, laid.lap, options)
    levels = keep_size_step_rule(wanted, laid.grid, slopes=options.slopes)
    return Work(laid.grid, options.bead_sizes, cells_lab, levels, seen.ink), levels - wanted


def _seen_cells(source: Source, header: Header, laid: Laid, options: Options) -> tuple[Cells, tuple[str, ...]]:
    """Return what the picture shows on each bead, and notices."""
    turn, mirror, cut = laid.plan.turn, options.mirror, laid.cut(*header)
    decoded = decode(source, reduction=laid.plan.reduction(*header), cut=cut.turned_back(turn, mirror=mirror))
    ground = linear_from_srgb(codes_from_hex(options.ground or WHITE) / 255)
    place = cut.place if decoded.cut else ALL
    seen = picture_from(decoded, turn=turn, mirror=mirror, ground=ground, place=place)
    lines, window, bounds = laid.on(seen)
    view = View(seen if lines is None else seen.of_lines(lines), window, bounds, ground)
    cells = bead_colours(view, laid.grid, style=options.style)
    return cells, decoded.notices + cells.notices


def _wanted_levels(
    heights: Source | None, picture: Source, laid: Laid, options: Options
) -> tuple[Ints, tuple[str, ...]]:
    motif = None if laid.lap is None else laid.lap.motif
    raised = dome_levels(options.domes, laid.grid, options.bead_sizes, motif=motif)
    if heights is None:
        idle = idle_options(options)
        return raised, (f"{', '.join(idle)} had no effect, for no height map was given (--heights)",) if idle else ()
    means, notices = bead_heights(heights, picture, laid, options)
    thresholds = options.thresholds or equal_thresholds(len(options.bead_sizes.sizes))
    return np.maximum(cut_levels(means, thresholds), raised), notices


def _provenance(picture: Source, heights: Source | None, options: Options) -> dict[str, Any]:
    return {
        "hummock": version("hummock"),
        "picture_sha256": hashlib.sha256(picture.data).hexdigest(),
        "heights_sha256": None if heights is None else hashlib.sha256(heights.data).hexdigest(),
        "options": options.to_values(),
    }
