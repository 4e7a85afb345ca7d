"""A design becomes a booklet."""

from collections.abc import Sequence
from dataclasses import asdict
from importlib.resources import files
from typing import Any

import numpy as np

from convert.chart.choices import Ink
from convert.chart.png import png_bytes
from convert.chart.scene import chart_scene
from convert.chart.small_chart import small_chart
from convert.chart.svg import drawing_svg
from convert.documents.booklet.chart_pages import chart_pages
from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.cover import LEVEL_RULE, CoverPicture, cover_facts, cover_picture, predict_finished
from convert.documents.booklet.layout import layout_for
from convert.documents.booklet.lessons import lessons
from convert.documents.booklet.materials import WordTable, bead_table, other_materials
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
    choices
        Paper, print and ink, what is bought, and who made it.

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


def check_colourways(design: Design, others: Sequence[Design]) -> None:
    """Refuse designs that differ in more than their colours.

    Raises
    ------
    BadChoiceError
        Naming the first of them.
    """
    for other in others:
        alike = other.grid == design.grid and np.array_equal(other.cells, design.cells)
        if not alike or _kinds(other) != _kinds(design):
            raise BadChoiceError(
                f"'{other.title}' is no colourway of '{design.title}', for its rows or kinds differ; "
                "give designs that differ in colours only, as hummock recolour makes them"
            )


def colourway_table(design: Design, others: Sequence[Design]) -> WordTable:
    """List the colour of each kind in every colourway."""
    every = [design, *others]
    heads = ("Kind", "Size", *(f"{place}" for place in range(1, len(every) + 1)))
    rows = tuple(
        (bead.kind, bead.size, *(one.beads[place].name for one in every)) for place, bead in enumerate(design.beads)
    )
    return WordTable(heads, rows)


def colourway_shades(design: Design, others: Sequence[Design]) -> tuple[tuple[str, ...], ...]:
    """Return the colour of each kind in every colourway as ``#rrggbb``, kind by kind as in the table."""
    return tuple(tuple(one.beads[place].srgb for one in (design, *others)) for place in range(len(design.beads)))


def colourway_pictures(
    design: Design, others: Sequence[Design], ink: Ink
) -> tuple[list[dict[str, Any]], dict[str, bytes]]:
    """Return what the pages say of each colourway, and the pictures; black ink has none."""
    shown: list[dict[str, Any]] = []
    pictures: dict[str, bytes] = {}
    for place, colourway in enumerate([design, *others], start=1):
        name = f"colourway{place}.png"
        entry: dict[str, Any] = {"number": place, "title": colourway.title, "picture": None}
        if ink == "colour":
            pixels = small_chart(colourway)
            pictures[name] = png_bytes(pixels, dots_per_inch=150)
            names = ", ".join(dict.fromkeys(bead.name for bead in colourway.beads))
            size = {"width": pixels.shape[1], "height": pixels.shape[0]}
            entry["picture"] = {"file": name, "alt": f"Colourway {place}, {colourway.title}: {names}", **size}
        shown.append(entry)
    return shown, pictures


def _kinds(design: Design) -> list[tuple[str, str]]:
    return [(bead.kind, bead.size) for bead in design.beads]
