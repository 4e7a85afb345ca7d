"""The files of a predicted surface; here ``surface.json``, the surface as numbers."""

import json
from typing import Any

import numpy as np

from convert.progress import Progress, silent
from convert.surface import SURFACE_NAMES
from convert.surface.measure import SolvedDome, strain
from convert.surface.prediction import Prediction
from convert.surface.render.glb import surface_glb
from convert.surface.render.png import surface_png
from convert.surface.stitch_problems import StitchProblem
from convert.surface.surface import Surface
from convert.surface.words import list_assumptions
from shared.calibration import FIGURES
from shared.design import Design

FORMAT = "hummock-surface"
VERSION = 1

_MM_DIGITS = 3
_STRAIN_DIGITS = 4

_BETWEEN = ",\n  "


def surface_files(design: Design, prediction: Prediction, *, progress: Progress = silent) -> dict[str, bytes]:
    """Make the content of each file in `SURFACE_NAMES`; title and colours are those of the design."""
    text = surface_json(prediction, title=design.title).encode()
    progress("painting the surface")
    picture = surface_png(prediction.surface, design, prediction.found, summary=prediction.summary)
    return dict(zip(SURFACE_NAMES, (text, picture, surface_glb(prediction.surface, design)), strict=True))


def surface_json(prediction: Prediction, *, title: str) -> str:
    """Write a prediction as JSON; the same prediction gives the same text."""
    surface, found, report, wrist_mm = prediction
    values: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "title": title,
        "summary": prediction.summary,
        "estimate": not surface.bead_sizes.is_measured(*FIGURES),
        "measured": [] if surface.bead_sizes.gauge is None else list(surface.bead_sizes.gauge.measured),
        "columns": surface.grid.columns,
        "rows": surface.grid.rows,
        "ground": {"kind": "table"} if wrist_mm is None else {"kind": "wrist", "circumference_mm": wrist_mm},
        "length_mm": _mm(found.length_mm),
        "width_mm": _mm(found.width_mm),
        "flat_length_mm": _mm(found.flat_length_mm),
        "flat_width_mm": _mm(found.flat_width_mm),
    }
    parts = [f'"{name}": {_json(value)}' for name, value in values.items()]
    parts.append(f'"domes": {_lines([_json(_dome(dome)) for dome in found.domes])}')
    parts.append(f'"fit": {_lines([_json(_problem(place)) for place in report])}')
    parts.append(f'"assumptions": {_lines([_json(line) for line in list_assumptions(prediction)])}')
    parts.append(f'"axes": {_json("x right and y down the page as in the chart, z up from the ground; mm")}')
    parts.append(f'"centres_mm": {_lines(_centre_lines(surface))}')
    parts.append(f'"contacts": {_lines(_contact_lines(surface))}')
    return "{\n" + ",\n".join(parts) + "\n}\n"


def _dome(dome: SolvedDome) -> dict[str, Any]:
    return {
        "height_mm": _mm(dome.height_mm),
        "rows": list(dome.rows),
        "columns": list(dome.columns),
        "peak": {"row": dome.peak_row, "column": dome.peak_column},
        "beads": dome.beads,
    }


def _problem(place: StitchProblem) -> dict[str, Any]:
    return {
        "kind": place.kind,
        "rows": list(place.rows),
        "columns": list(place.columns),
        "count": place.count,
        "worst": round(place.worst, _STRAIN_DIGITS),
        "sentence": place.sentence,
    }


def _centre_lines(surface: Surface) -> list[str]:
    """Write the centres row by row, each row in column order, as the cells of a design."""
    centres = np.round(surface.centres_mm, _MM_DIGITS) + 0.0  # turns -0.0 into 0.0
    rows = range(1, surface.grid.rows + 1)
    return [_json(centres[surface.grid.row_slice(row)].tolist()) for row in rows]


def _contact_lines(surface: Surface) -> list[str]:
    """Write row and column of both beads of each contact, and by what share it is longer than it wants to be."""
    grid, contacts = surface.grid, surface.net.contacts
    strains = np.round(strain(surface.net, surface.centres_mm), _STRAIN_DIGITS) + 0.0
    places = np.stack([grid.row_of[contacts], grid.column_of[contacts]], axis=2).reshape(-1, 4).tolist()
    return [
        f'{{"beads": [[{row}, {column}], [{next_row}, {next_column}]], "strain": {share!r}}}'
        for (row, column, next_row, next_column), share in zip(places, strains.tolist(), strict=True)
    ]


def _mm(value: float) -> float:
    return round(value, _MM_DIGITS)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _lines(items: list[str]) -> str:
    return "[\n  " + _BETWEEN.join(items) + "\n]" if items else "[]"
