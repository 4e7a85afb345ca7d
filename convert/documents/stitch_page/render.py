"""The bench page of a design: values become one HTML file that holds all it needs and asks for nothing."""

from convert.documents.html import part, rendered
from convert.documents.stitch_page.data import drawn_beads, page_data
from convert.documents.stitch_page.plan import Plan
from convert.documents.stitch_page.shape import Lying
from shared.design import Design
from shared.plural import counted

_PACKAGE = "convert.documents.stitch_page"
_SCRIPTS = ("place.js", "row.js", "chart.js", "shaders.js", "view.js", "script.js")


def bench_page(design: Design, plan: Plan, lying: Lying | None, why_not: str = "") -> bytes:
    """Write the page; the same values give the same bytes.

    Parameters
    ----------
    design
        What is stitched.
    plan
        Its steps, of `convert.documents.stitch_page.plan`.
    lying
        How its beads lie, for the view in space; None leaves the view out.
    why_not
        In words, why there is no view; the page says so where they are not empty.
    """
    text = rendered(
        _PACKAGE,
        "page.html",
        style=part(_PACKAGE, "style.css"),
        script=_script(),
        title=design.title,
        work=_work_line(design),
        beads=drawn_beads(design),
        data=page_data(design, plan, lying),
        shape=lying is not None,
        why_not=why_not,
        rounds=plan.rounds is not None,
        checks=bool(plan.checks),
    )
    return text.encode()


def _script() -> str:
    """Join the parts; in a block of its own nothing of them can be reached from outside."""
    return "\n".join(['"use strict";\n{', *(part(_PACKAGE, name) for name in _SCRIPTS), "}\n"])


def _work_line(design: Design) -> str:
    grid = design.grid
    side = "left" if grid.hand == "right" else "right"
    end = "" if grid.start == "top" else ", row 1 at the bottom"
    size = f"{counted(grid.columns, 'column')}, {grid.rows} rows, {counted(grid.count, 'bead')}"
    return f"{size}; {grid.full_name}, tail at the {side}{end}"
