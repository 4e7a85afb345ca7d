"""The files of a finished pattern, as bytes."""

from convert.chart.choices import DEFAULT_INK, Ink
from convert.chart.png import chart_png
from convert.chart.scene import chart_scene
from convert.chart.svg import chart_svg
from convert.output_names import NAMES
from convert.progress import Progress, silent
from convert.rows.writer import rows_text
from convert.shopping.shopping_list import Purchase, beads_csv
from shared.design import Design
from shared.design_file import design_text


def pattern_files(
    design: Design, purchases: tuple[Purchase, ...], *, ink: Ink = DEFAULT_INK, progress: Progress = silent
) -> dict[str, bytes]:
    """Make the content of each file in `NAMES`."""
    progress("drawing the chart")
    scene = chart_scene(design, ink=ink)
    charts = chart_svg(scene).encode(), chart_png(scene)
    progress("writing the rows")
    rows = rows_text(design).encode()
    contents = (design_text(design).encode(), *charts, rows, beads_csv(purchases).encode())
    return dict(zip(NAMES, contents, strict=True))
