"""One whole run of the main job: from a picture's bytes to the bytes of all its files."""

from typing import TYPE_CHECKING, NamedTuple

from convert.chart.choices import Ink
from convert.finished_length import Finished, convert_finished
from convert.image.decode import Source
from convert.options import Options
from convert.pattern_files import pattern_files
from convert.pipeline import Pattern, convert
from convert.progress import Progress, silent
from convert.shopping.packs import pack_of
from convert.shopping.shopping_list import Purchase, shopping_list

if TYPE_CHECKING:
    from convert.surface.predict import Prediction


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
    prediction: "Prediction | None"
    """Its surface; None where all lies flat, or it was not asked for."""
    purchases: tuple[Purchase, ...]
    """What is to be bought."""
    files: dict[str, bytes]
    """The content of each file by its name."""


def make(job: Job, *, progress: Progress = silent) -> Made:
    """Do a job; errors as in `convert.pipeline.convert`."""
    if job.surface:
        pattern, prediction = convert_finished(job.picture, job.heights, job.options, progress=progress)
    else:
        pattern, prediction = Finished(convert(job.picture, job.heights, job.options, progress=progress), None)
    packs = pack_of(job.options.palette)
    purchases = shopping_list(pattern.design, spare_percent=job.options.spare_percent, pack_of=packs)
    files = pattern_files(pattern.design, purchases, ink=job.ink, progress=progress)
    return Made(pattern, prediction, purchases, files)
