"""The main job: a picture's bytes in, a pattern and its files out."""

import json
from collections.abc import Sequence
from importlib.metadata import version
from typing import TYPE_CHECKING, Any, NamedTuple

from convert.cells.choices import SeenStyle
from convert.chart.choices import Ink
from convert.colouring.assemble_beads import make_design
from convert.colouring.choose_colours import choose_between, smooth_palette
from convert.colouring.colour_count import Candidate
from convert.colouring.pattern_stats import PatternStats
from convert.finished_length import fit_rows
from convert.image.decode import Source
from convert.memo import Flow, Memo
from convert.options import Options
from convert.pattern_files import pattern_files
from convert.pipeline import STAGES
from convert.progress import Progress, silent
from convert.shopping.packs import pack_of
from convert.shopping.shopping_list import Purchase, shopping_list
from shared.arrays import Floats, Ints
from shared.design import Design

if TYPE_CHECKING:
    from convert.documents.colour_review.review import Review
    from convert.surface.prediction import Prediction


class Pattern(NamedTuple):
    """A design and what was found out while making it."""

    design: Design
    """The design."""
    errors: Floats
    """CIEDE2000 of each bead's colour to what the picture shows there, shape (beads,)."""
    moved: Ints
    """How far the size-step rule moved each bead's level: kept less wanted, shape (beads,)."""
    notices: tuple[str, ...]
    """What a person should know."""
    style: SeenStyle
    """As what the picture was taken."""
    before: PatternStats
    """Stray beads, changes of bead and colour difference before tidying."""
    after: PatternStats
    """The same of the design."""
    prediction: "Prediction | None" = None
    """How the work lies; None where all lies flat, where that is not known, and where nobody asked."""


def make_pattern(
    picture: Source,
    heights: Source | None = None,
    options: Options | None = None,
    *,
    surface: bool = True,
    memo: Memo | None = None,
    progress: Progress = silent,
) -> Pattern:
    """Make a pattern of a picture, and a height map if there is one.

    Parameters
    ----------
    picture, heights
        Image files.
    options
        All choices; as usual where none are given.
    surface
        Whether the shape is predicted. Then a length asked for is the finished length, domes and all: rows are
        changed until the prediction meets it.
    memo
        Keeps what stages gave, so that another pattern of the same files runs only those that must run again.
    progress
        Told what is being done; it may raise to stop that.

    Raises
    ------
    HummockError
        For every input that cannot be used, saying what is wrong and how to mend it.
    """
    options = options or Options()
    kept = Memo() if memo is None else memo

    def flow_of(some: Options) -> Flow:
        return stage_flow(picture, heights, some, kept, progress)

    plan_notices = flow_of(options)["layout"].plan.notices
    fitted = fit_rows(flow_of, options) if surface else None
    flow = flow_of(options if fitted is None else fitted.options)
    relief = flow["relief"]
    if memo is None:  # nobody comes again for the pixels: two large files need not be held at once
        kept.forget("heights")
    cells = flow["cells"]
    if memo is None:
        kept.forget("picture")
    coloured, layout = flow["smooth"], flow["layout"]
    beads = options.palette.notices if options.palette else ()
    notices = (*plan_notices, *layout.plan.notices, *cells.notices, *relief.notices, *beads, *coloured.notices)
    notices += () if fitted is None else fitted.notices
    return Pattern(
        design=flow["design"],
        errors=coloured.errors,
        moved=relief.moved,
        notices=tuple(dict.fromkeys(notices)),
        style=cells.style,
        before=coloured.before,
        after=coloured.after,
        prediction=None if fitted is None else fitted.shape.prediction,
    )


def review_colours(
    picture: Source, heights: Source | None, options: Options, numbers: Sequence[int], *, progress: Progress = silent
) -> "Review":
    """Make the design with each of several numbers of colours, rising by one; errors as in `make_pattern`."""
    from convert.documents.colour_review.review import review

    flow = stage_flow(picture, heights, options, progress=progress)
    cells, layout, relief, sizes = flow["cells"], flow["layout"], flow["relief"], options.bead_sizes
    progress("choosing colours")
    had, palettes = choose_between(options, cells, layout, sizes, relief, numbers)
    notices = (*layout.plan.notices, *cells.notices, *relief.notices)
    notices += options.palette.notices if options.palette else ()
    if had[0] > numbers[0]:
        notices += (f"fewer than {had[0]} {options.count} cannot be had, so the review begins there",)
    candidates = []
    for number, palette in zip(had, palettes, strict=True):
        work = smooth_palette(options, palette, cells, layout, sizes, relief)
        design = make_design(options, picture, flow["made_from"], work, layout, sizes, relief)
        candidates.append(Candidate(number, design, work.errors))
    return review(
        candidates,
        spare_percent=options.spare_percent,
        pack_of=pack_of(options.palette),
        notices=tuple(notices),
        counted=options.count,
    )


def stage_flow(
    picture: Source,
    heights: Source | None,
    options: Options,
    memo: Memo | None = None,
    progress: Progress = silent,
) -> Flow:
    """Return the stages over some files and options; ask it for the value of any stage, by name."""
    made_from: dict[str, Any] = {
        "hummock": version("hummock"),
        "picture_sha256": picture.sha256,
        "heights_sha256": None if heights is None else heights.sha256,
        "options": options.to_values(),
    }
    given = {
        "picture_file": picture,
        "heights_file": heights,
        "bead_sizes": options.bead_sizes,
        "made_from": json.dumps(made_from),
    }
    return Flow(STAGES, given, options, memo=memo, progress=progress)


class Job(NamedTuple):
    """What one run needs; it says nothing of where files lie, so that any machine can do it."""

    picture: Source
    """The drawing."""
    heights: Source | None
    """Its height map."""
    options: Options
    """All choices."""
    ink: Ink
    """How the chart is drawn."""
    surface: bool
    """Whether the surface is predicted."""


class Made(NamedTuple):
    """What one run gives."""

    pattern: Pattern
    """The design and what was found out on the way."""
    purchases: tuple[Purchase, ...]
    """What is to be bought."""
    files: dict[str, bytes]
    """The content of each file by its name."""

    @property
    def prediction(self) -> "Prediction | None":
        """Its surface; None where all lies flat, or it was not asked for."""
        return self.pattern.prediction


def make(job: Job, *, progress: Progress = silent) -> Made:
    """Do a job: the pattern, what is to be bought, and all files; errors as in `make_pattern`."""
    pattern = make_pattern(job.picture, job.heights, job.options, surface=job.surface, progress=progress)
    packs = pack_of(job.options.palette)
    purchases = shopping_list(pattern.design, spare_percent=job.options.spare_percent, pack_of=packs)
    return Made(pattern, purchases, pattern_files(pattern.design, purchases, ink=job.ink, progress=progress))
