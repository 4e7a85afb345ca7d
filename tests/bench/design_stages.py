"""The stages that have to do with a finished design and its documents; each names its floor."""

import io
import json
from typing import Any

import numpy as np
from PIL import Image
from works import Stage, design, domed, flat_design, saved

from shared.beads import default_bead_sizes


def chart_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow saves the pixels of the picture."""
    from convert.chart.png import chart_png
    from convert.chart.scene import chart_scene
    from convert.chart.svg import chart_svg

    made = design(columns, rows)
    pixels = np.asarray(Image.open(io.BytesIO(chart_png(chart_scene(made)))))

    def work() -> Any:
        scene = chart_scene(made)
        return chart_svg(scene).encode(), chart_png(scene)

    return Stage(work, lambda: saved(pixels))


def rows_stage(columns: int, rows: int) -> Stage:
    """Floor: Python joins the key of every bead into one text."""
    from convert.rows.writer import rows_text

    made = design(columns, rows)
    keys = [bead.kind for bead in made.beads]
    return Stage(lambda: rows_text(made), lambda: " ".join([keys[cell] for cell in made.cells.tolist()]))


def proof_stage(columns: int, rows: int) -> Stage:
    """Proofread the word rows against the design. Floor: Python takes the text to words."""
    from convert.rows.proofread import proofread
    from convert.rows.writer import rows_text

    made = design(columns, rows)
    text = rows_text(made)
    return Stage(lambda: proofread(text, made.bead_sizes, against=made), text.split)


def sheet_stage(columns: int, rows: int) -> Stage:
    """Write the sheet as a picture and read it again. Floor: Pillow saves and opens its pixels."""
    from convert.documents.edit_sheet.png import read_sheet_png, sheet_png

    made = design(columns, rows)
    pixels = np.asarray(Image.open(io.BytesIO(sheet_png(made))))
    return Stage(
        lambda: read_sheet_png(sheet_png(made), made, source="sheet.png", new_colours=False),
        lambda: np.asarray(Image.open(io.BytesIO(saved(pixels)))),
    )


def shopping_stage(columns: int, rows: int) -> Stage:
    """Floor: NumPy counts the beads of each kind."""
    from convert.shopping.shopping_list import shopping_list

    made = design(columns, rows)
    return Stage(lambda: shopping_list(made, spare_percent=10), lambda: np.bincount(made.cells))


def lengths_stage(columns: int, rows: int) -> Stage:
    """Make the design for each usual wrist. Floor: NumPy copies the beads once a wrist."""
    from convert.rows.find_repeat import find_repeat
    from convert.shopping.choices import WristChoices
    from convert.shopping.fit_to_wrist import fit_to_wrists
    from convert.shopping.length_model import model_length
    from convert.shopping.wrists import SURVEY_SIZES

    made = flat_design(columns, rows)
    wanted = WristChoices()

    def work() -> Any:
        repeat = find_repeat(made, from_row_1=True)
        return fit_to_wrists(made, repeat, model_length(made, repeat), SURVEY_SIZES, wanted)

    return Stage(work, lambda: [made.cells.copy() for _ in SURVEY_SIZES])


def file_stage(columns: int, rows: int) -> Stage:
    """Floor: json writes and reads the keys of all beads."""
    from shared.design_file import design_text, parse_design

    made = design(columns, rows)
    keys = [made.beads[cell].kind for cell in made.cells.tolist()]
    return Stage(lambda: parse_design(design_text(made)), lambda: json.loads(json.dumps(keys)))


def surface_stage(columns: int, rows: int) -> Stage:
    """Floor: one banded Cholesky and one solve of the matrix that the descent stands on."""
    from bench_surface import factor_and_solve, shape_matrix

    from convert.surface.solve import solve_surface

    grid, levels = domed(columns, rows)
    matrix = shape_matrix(grid, levels)
    return Stage(lambda: solve_surface(grid, default_bead_sizes(), levels), lambda: factor_and_solve(matrix))


def booklet_stage(columns: int, rows: int) -> Stage:
    """Floor: Typst sets a page of text."""
    import typst

    from convert.documents.booklet.booklet import booklet_pdf
    from convert.documents.booklet.choices import BookletChoices

    made = flat_design(columns, rows)
    return Stage(lambda: booklet_pdf(made, BookletChoices()), lambda: typst.compile(b"= A page of text"))


def page_stage(columns: int, rows: int) -> Stage:
    """Floor: json writes the place of every bead in the list of beads."""
    from convert.documents.stitch_page.page import plan_steps, stitch_page

    made = flat_design(columns, rows)
    return Stage(lambda: stitch_page(made, plan_steps(made), None), lambda: json.dumps(made.cells.tolist()))


DESIGN_STAGES = {
    "chart": chart_stage,
    "rows": rows_stage,
    "proof": proof_stage,
    "design file": file_stage,
    "sheet": sheet_stage,
    "shopping": shopping_stage,
    "lengths": lengths_stage,
    "surface": surface_stage,
    "booklet": booklet_stage,
    "page": page_stage,
}
