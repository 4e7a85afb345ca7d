"""A work for the stitch page, and what each of its rows must say, recomputed from word rows."""

import json
import re
from itertools import groupby
from typing import Any, NamedTuple

import numpy as np
from independent_reader import Stitched, stitch
from size_levels import rings
from strategies import SIZES, bead_of

from convert.documents.stitch_page.page import StitchPlan, plan_steps, stitch_page
from convert.documents.stitch_page.shape import predict_lying
from convert.rows.find_repeat import Repeat
from convert.rows.writer import rows_text
from shared.design import Design
from shared.grid import Grid

CHECKS = {8: ("The first dome begins & its middle is <column 4>.",), 24: ("The second dome begins.", "Count.")}


def waves(columns: int = 9, rows: int = 160, *, title: str = "Waves", **turned: Any) -> Design:
    """A strip of stripes with a dome every 16 rows, the same again and again from row 4 on."""
    grid = Grid(columns, rows, **turned)
    levels = rings(grid, *((row, (columns + 1) // 2) for row in range(12, rows, 16)), radii=(0.5, 1.5))
    colours = np.where(grid.row_of < 4, 2, (grid.column_of + (grid.row_of - 4) % 16 // 4) % 2)
    used, cells = np.unique(colours * 4 + levels, return_inverse=True)
    return Design(title, grid, SIZES, tuple(bead_of(*divmod(kind, 4)) for kind in used.tolist()), cells)


def planned(design: Design) -> StitchPlan:
    """The plan of `waves`: repeats of 16 rows from row 4 on, and two checks."""
    return plan_steps(design)._replace(repeat=Repeat(3, 16, 0, design.grid.rows), checks=CHECKS)


def page_of(design: Design, plan: StitchPlan | None = None) -> str:
    return stitch_page(design, plan or planned(design), *predict_lying(design)).decode()


def data_of(page: str) -> dict[str, Any]:
    (text,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    return dict(json.loads(text))


class Said(NamedTuple):
    """What a row must say."""

    name: str
    direction: str
    count: int
    runs: tuple[str, ...]
    odd_count_turn: bool
    totals: dict[str, int]


def sayings(design: Design) -> list[Said]:
    """Follow the needle over the stitched piece; source: the rules of flat peyote as common practice has them."""
    piece = stitch(rows_text(design))
    odd = piece.columns // design.grid.drop % 2 == 1
    every = [_said(piece, (1, 2), range(1, piece.columns + 1), odd=odd)]
    for row in range(3, piece.rows + 1):
        away = range(1, piece.columns + 1) if row % 2 == 0 else range(piece.columns, 0, -1)
        every.append(_said(piece, (row,), away, odd=odd))
    return every


def _said(piece: Stitched, rows: tuple[int, ...], columns: range, *, odd: bool) -> Said:
    keys = [piece.cells[row, column] for column in columns for row in rows if (row, column) in piece.cells]
    back = rows[-1] % 2 == 1
    return Said(
        name="Rows 1 and 2" if rows == (1, 2) else f"Row {rows[0]}",
        direction="right to left" if back == (piece.tail == "left") else "left to right",
        count=len(keys),
        runs=tuple(f"{len(list(run))} {key}" for key, run in groupby(keys)),
        odd_count_turn=back and odd,
        totals={key: keys.count(key) for key in keys},
    )
