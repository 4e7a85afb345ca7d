"""A design becomes a booklet."""

from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import files
from typing import Any

from convert.chart.choices import Ink
from convert.chart.scene import chart_scene
from convert.chart.svg import drawing_svg
from convert.documents.booklet.chart_pages import chart_pages
from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.colourways import (
    check_colourways,
    colourway_pictures,
    colourway_shades,
    colourway_table,
)
from convert.documents.booklet.cover import LEVEL_RULE, CoverPicture, cover_facts, cover_picture, predict_finished
from convert.documents.booklet.layout import layout_for
from convert.documents.booklet.lessons import lessons
from convert.documents.booklet.materials import bead_table, other_materials
from convert.documents.booklet.row_pages import row_pages
from convert.documents.booklet.sizes import size_table
from convert.documents.booklet.typeset import typeset
from convert.progress import Progress, silent
from convert.shopping.shopping_text import CAUTIONS
from shared.design import Design
from shared.errors import BadChoiceError

LANGUAGE = "en"
TEMPLATE = "booklet.typ"

MOST_BEADS, MOST_ROWS = 100_000, 10_000
"""A larger work would be a book of thousands of pages, and take gigabytes to set."""

Pictures = dict[str, bytes]


def booklet_pdf(
    design: Design, choices: BookletChoices, *, colourways: Sequence[Design] = (), progress: Progress = silent
) -> bytes:
    """Make the booklet of a design: a tagged PDF; the same input gives the same bytes.

    Parameters
    ----------
    design
        What it is for.
    choices
        Paper, print and ink, what is bought, and who made it.
    colourways
        The same design in other colours.
    progress
        Told what is being done.

    Raises
    ------
    BadChoiceError
        When the work is too large, a colourway differs in more than colours, black ink has too few signs, the chart
        does not fit the paper, or the typeface lacks a character.
    """
    values, pictures = booklet_values(design, choices, colourways=colourways, progress=progress)
    progress("setting the pages")
    template = files("convert.documents.booklet").joinpath(TEMPLATE).read_text("utf-8")
    return typeset(template, values, pictures)


def booklet_values(
    design: Design, choices: BookletChoices, *, colourways: Sequence[Design] = (), progress: Progress = silent
) -> tuple[dict[str, Any], Pictures]:
    """Return all that the template sets, and its pictures; errors as in `booklet_pdf`."""
    _check_size(design)
    check_colourways(design, colourways)
    progress("drawing the chart")
    layout = layout_for(choices.paper, large_print=choices.large_print)
    scene = chart_scene(design, ink=choices.ink)
    chart, pictures = chart_pages(design, scene, layout, ink=choices.ink, least_bead_mm=choices.least_bead_mm)
    progress("predicting the shape")
    shape = predict_finished(design, progress=progress)
    cover = cover_picture(design, scene, shape, choices.ink)
    taught, drawings = _lessons(design, choices.ink)
    colourways_shown, shown = colourway_pictures(design, colourways, choices.ink) if colourways else ([], {})
    pictures |= {cover.name: cover.content} | drawings | shown
    values = {
        "language": LANGUAGE,
        "title": design.title,
        "black": choices.ink == "black",
        "layout": asdict(layout) | {"line_mm": layout.line_mm, "column_mm": layout.column_mm},
        "studio": asdict(choices.studio),
        "cover": _picture(cover) | {"facts": cover_facts(design, shape), "note": shape.note},
        "level_rule": LEVEL_RULE,
        "materials": bead_table(design, choices)._asdict() | {"others": other_materials(design, choices)},
        "lessons": taught,
        "chart": chart,
        "rows": row_pages(design, layout),
        "sizes": size_table(design, shape, choices, progress=progress)._asdict(),
        "colourways": colourways_shown,
        "colourway_table": colourway_table(design, colourways)._asdict() if colourways else None,
        "colourway_shades": colourway_shades(design, colourways) if choices.ink == "colour" else (),
        "cautions": CAUTIONS,
    }
    return values, pictures


def _check_size(design: Design) -> None:
    beads, rows = design.grid.count, design.grid.rows
    if beads > MOST_BEADS or rows > MOST_ROWS:
        raise BadChoiceError(
            f"{beads:,} beads in {rows:,} rows are too many for a booklet, which takes at most {MOST_BEADS:,} beads "
            f"and {MOST_ROWS:,} rows; stitch from the stitch page (hummock page), or convert parts of the picture "
            "(--crop) and make a booklet of each"
        )


def _picture(picture: CoverPicture) -> dict[str, Any]:
    sides = {"width": picture.width, "height": picture.height, "across": picture.across}
    return {"file": picture.name, "alt": picture.alt, **sides}


def _lessons(design: Design, ink: Ink) -> tuple[list[dict[str, Any]], Pictures]:
    taught: list[dict[str, Any]] = []
    drawings: Pictures = {}
    for lesson in lessons(design, ink):
        steps: list[dict[str, Any]] = []
        for step in lesson.steps:
            shown = None
            if step.drawing is not None:
                name = f"drawing{len(drawings) + 1}.svg"
                box = step.drawing.extent
                drawings[name] = drawing_svg(step.drawing.marks, box, title=step.drawing.alt).encode()
                shown = {"file": name, "alt": step.drawing.alt, "width": box.width, "height": box.height}
            steps.append({"drawing": shown, "words": step.words})
        taught.append({"heading": lesson.heading, "opening": lesson.opening, "steps": steps})
    return taught, drawings
