"""The files of a finished pattern, as bytes. What writes them is loaded when it is needed: commands take the names."""

from typing import TYPE_CHECKING

from convert.chart.choices import DEFAULT_INK, Ink
from convert.progress import Progress, silent

if TYPE_CHECKING:
    from convert.shopping.shopping_list import Purchase
    from shared.design import Design

NAMES = ("design.json", "chart.svg", "chart.png", "rows.txt", "beads.csv")


def pattern_files(
    design: "Design", purchases: "tuple[Purchase, ...]", *, ink: Ink = DEFAULT_INK, progress: Progress = silent
) -> dict[str, bytes]:
    """Make the content of each file in `NAMES`."""
    from convert.chart.png import chart_png
    from convert.chart.scene import chart_scene
    from convert.chart.svg import chart_svg
    from convert.rows.writer import rows_text
    from convert.shopping.shopping_list import beads_csv
    from shared.design_file import design_text

    progress("drawing the chart")
    scene = chart_scene(design, ink=ink)
    charts = chart_svg(scene).encode(), chart_png(scene)
    progress("writing the rows")
    rows = rows_text(design).encode()
    contents = (design_text(design).encode(), *charts, rows, beads_csv(purchases).encode())
    return dict(zip(NAMES, contents, strict=True))
