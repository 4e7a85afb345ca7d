"""The file ``surface.png``: a predicted surface as one sees it."""

from io import BytesIO
from typing import Any

import numpy as np

from convert.surface.measure import SurfaceFigures
from convert.surface.render.views import PAPER, SurfaceView, make_views
from convert.surface.surface import Surface
from shared.calibration import trust_in_words
from shared.colour import codes_from_linear
from shared.design import Design
from shared.plural import counted
from shared.typeface import Lettering, wrap

TEXT = 20
HEADING = 30
LABEL = 17
"""Heights of lettering, in pixels."""

INK, HALO = (34, 44, 52), (255, 255, 255)
EDGE = 44
LEAST_WIDTH = 620
KNOWN_FACE = 1.15
"""How much more of our own typeface fits into a line than lettering of unknown face is given."""

_COMPRESSION = 4


def surface_png(surface: Surface, design: Design, found: SurfaceFigures, *, summary: str) -> bytes:
    """Paint a prediction: views of the shaded beads in the colours of the design, scales in mm, and a caption."""
    from PIL import Image, ImageDraw

    looks = make_views(surface, design, found)
    width = max(LEAST_WIDTH, *(look.pixels.shape[1] for look in looks)) + 2 * EDGE
    lines = _caption(surface, found, summary, width - 2 * EDGE)
    head = EDGE + HEADING + 14 + len(lines) * (TEXT + 8)
    height = head + sum(look.pixels.shape[0] + TEXT + 22 for look in looks) + EDGE
    picture = Image.new("RGB", (width, height), _paper())
    pen, lettering = ImageDraw.Draw(picture), Lettering()
    bold, plain = lettering.font(HEADING, bold=True), lettering.font(TEXT, bold=False)
    pen.text((EDGE, EDGE), design.title, fill=INK, font=bold, anchor="lt")
    for place, line in enumerate(lines):
        pen.text((EDGE, EDGE + HEADING + 14 + place * (TEXT + 8)), line, fill=INK, font=plain, anchor="lt")
    _place_looks(picture, looks, head, lettering)
    file = BytesIO()
    picture.save(file, "PNG", compress_level=_COMPRESSION)
    return file.getvalue()


def _caption(surface: Surface, found: SurfaceFigures, summary: str, width: int) -> tuple[str, ...]:
    grid = surface.grid
    size = (
        f"{counted(grid.columns, 'column')} x {counted(grid.rows, 'row')}, "
        f"{found.width_mm:.1f} x {found.length_mm:.1f} mm "
        f"(flat work {found.flat_width_mm:.1f} x {found.flat_length_mm:.1f} mm); "
        f"{trust_in_words(surface.bead_sizes.gauge)}"
    )
    return tuple(line for text in (summary, size) for line in wrap(text, width * KNOWN_FACE, TEXT))


def _place_looks(picture: Any, looks: tuple[SurfaceView, ...], top: int, lettering: Lettering) -> None:
    from PIL import Image, ImageDraw

    pen = ImageDraw.Draw(picture)
    for look in looks:
        caption = lettering.font(TEXT, bold=True)
        pen.text((EDGE, top + 14), look.caption, fill=INK, font=caption, anchor="lt")
        top += TEXT + 22
        left = (picture.width - look.pixels.shape[1]) // 2
        picture.paste(Image.fromarray(look.pixels), (left, top))
        _draw_marks(pen, look, (left, top), lettering.font(LABEL, bold=True))
        top += look.pixels.shape[0]


def _draw_marks(pen: Any, look: SurfaceView, corner: tuple[int, int], font: Any) -> None:
    for mark in look.marks:
        (x0, y0), (x1, y1) = (tuple(np.add(end, corner).round().astype(int).tolist()) for end in (mark.start, mark.end))
        if (x0, y0) != (x1, y1):
            pen.line((x0, y0, x1, y1), fill=INK, width=2)
        if mark.text:
            gap = -4 if mark.anchor == "rm" else 0
            halo: dict[str, Any] = {"stroke_width": 3, "stroke_fill": HALO}
            pen.text((x0 + gap, y0), mark.text, fill=INK, font=font, anchor=mark.anchor, **halo)


def _paper() -> tuple[int, int, int]:
    red, green, blue = codes_from_linear(np.array(PAPER)).tolist()
    return red, green, blue
