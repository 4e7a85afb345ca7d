"""The pages of the chart: one picture for each sheet, with what stands around it."""

from typing import Any

from convert.chart.choices import Ink
from convert.chart.part import draw_printed_bead, part_extent, part_scene
from convert.chart.row_numbers import PLAIN_NUMBER
from convert.chart.scene import Scene
from convert.chart.svg import chart_svg, drawing_svg
from convert.documents.booklet.chart_sheets import ChartSheet, CutChart, cut_chart
from convert.documents.booklet.layout import PageLayout
from convert.rows.find_repeat import Repeat, find_repeat
from shared.design import Design
from shared.plural import counted

LARGEST_NUMBER = 0.95
"""Numbers are at most this part of a slot's diameter, or they would touch."""


def chart_pages(
    design: Design, scene: Scene, layout: PageLayout, *, ink: Ink, least_bead_mm: float | None
) -> tuple[dict[str, Any], dict[str, bytes]]:
    """Return what the template needs for the chart, and its pictures.

    Raises
    ------
    BadChoiceError
        When the chart does not fit the paper.
    """
    repeat = find_repeat(design)
    opening = " ".join(_notes(design, ink, repeat))
    cut = cut_chart(design, layout, least_bead_mm=least_bead_mm, opening=opening, repeat=repeat)
    beads, pictures = _beads(design, scene, cut)
    sheets = []
    for place, sheet in enumerate(cut.sheets, start=1):
        name = f"sheet{place}.svg"
        pictures[name] = _draw_sheet(design, scene, sheet, cut, ink)
        sheets.append(_describe(design, sheet, cut, name, place))
    values = {
        "sheets": sheets,
        "beads": beads,
        "list": {name: getattr(cut.kind_list, name) for name in ("columns", "row_mm", "bead_mm", "note")},
        "opening": f"{opening} Drawn {cut.enlargement:.1f} times its size.",
    }
    return values, pictures


def _draw_sheet(design: Design, scene: Scene, sheet: ChartSheet, cut: CutChart, ink: Ink) -> bytes:
    number = max(PLAIN_NUMBER, min(LARGEST_NUMBER, cut.number_mm / (scene.slot_mm[1] * cut.enlargement)))
    part = part_scene(
        scene,
        design,
        sheet.part,
        ink=ink,
        again=sheet.again,
        enlargement=cut.enlargement,
        number=number,
        columns_again=sheet.columns_again,
        repeat=cut.repeat,
    )
    return chart_svg(part).encode()


def _describe(design: Design, sheet: ChartSheet, cut: CutChart, name: str, place: int) -> dict[str, Any]:
    rows, columns = sheet.part
    many = len(cut.sheets)
    heading = f"Rows {rows[0]} to {rows[-1]}" + (f" (sheet {place} of {many})" if many > 1 else "")
    if len(columns) < design.grid.columns:
        heading = f"Columns {columns[0]} to {columns[-1]}, r{heading[1:]}"
    again = []
    if sheet.again:
        again.append(f"Rows {sheet.again[0]} to {sheet.again[-1]}, pale, are on the sheet before as well.")
    if sheet.columns_again:
        again.append(
            f"Columns {sheet.columns_again[0]} and {sheet.columns_again[-1]}, pale, are on the strip before as well."
        )
    box = part_extent(design, sheet.part, cut.repeat)
    return {
        "file": name,
        "alt": f"Chart of {design.title}, rows {rows[0]} to {rows[-1]}, columns {columns[0]} to {columns[-1]}; "
        "the word rows give every bead of it.",
        "width_mm": box.width * cut.enlargement,
        "height_mm": box.height * cut.enlargement,
        "heading": heading,
        "again": " ".join(again),
        "kinds": sheet.kinds,
    }


def _beads(design: Design, scene: Scene, cut: CutChart) -> tuple[list[dict[str, Any]], dict[str, bytes]]:
    """Return each kind with its words for the lists below the charts, and its picture."""
    beads: list[dict[str, Any]] = []
    pictures = {}
    for bead, kind, words in zip(design.beads, scene.kinds, cut.kind_list.words, strict=True):
        marks, box = draw_printed_bead(kind)
        name = f"bead{len(beads)}.svg"
        pictures[name] = drawing_svg(marks, box, title=kind.label, enlargement=cut.enlargement).encode()
        beads.append({"file": name, "kind": bead.kind, "words": words, "proportion": box.width / box.height})
    return beads, pictures


def _notes(design: Design, ink: Ink, repeat: Repeat | None) -> tuple[str, ...]:
    grid = design.grid
    end = "top" if grid.start == "top" else "bottom"
    notes = [
        (
            f"Row 1 is at the {end}. From row 3 on, a row number stands at the side where the needle begins the row; "
            "a line crosses the work after every tenth row."
        )
    ]
    if design.levels.any():
        marks = design.bead_sizes.marks[1:]
        size = f"carries its size number ({marks[0]} is {marks[0]}/0)" if ink == "colour" else "has a heavier outline"
        notes.append(f"A larger bead bulges over its place, not to scale, and {size}.")
    if repeat is not None:
        part = f", then {counted(repeat.partial, 'row')} of it once more" if repeat.partial else ""
        notes.append(
            f"The bracket at the side marks the repeat: rows {repeat.first} to {repeat.last}, "
            f"worked {counted(repeat.times, 'time')}{part}."
        )
    return tuple(notes)
