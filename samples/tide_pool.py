"""A strip for a bracelet with a height map: urchins in a channel that winds between sandbanks."""

from __future__ import annotations

import numpy as np
from canvas import Bytes, Canvas, Points, points
from colours import CORAL, FOAM, GREEN, INK, SAND, SHADE, SLATE
from domes import Dome, height_map
from motifs import paint_pebbles, paint_starfish

LENGTH, DIAMETER = 1.3, 1.6
"""The cylinder bead in mm: along its hole and across."""
POOL_MM = (25 * LENGTH, 151 * DIAMETER / 2)
"""25 columns and 150 rows."""
POOL_SCALE = 16
"""Pixels per mm, so chosen that the 60 rows of the repeat are whole pixels."""
POOL_PX = (520, 1933)
POOL_STEP = 30 * DIAMETER / 2


def bead_mm(column: float, row: float) -> tuple[float, float]:
    """Return the middle of a bead of the strip, in mm."""
    return (column - 0.5) * LENGTH, row * DIAMETER / 2


URCHINS = [Dome(*bead_mm(column, row), 8.2) for column, row in ((10, 16), (16, 46), (10, 76), (16, 106), (10, 136))]
"""Each sits with its middle on a bead, so that all come out alike."""


def tide_pool() -> tuple[Bytes, Bytes]:
    """Return the picture and the height map of a channel that winds between sand and urchins."""
    canvas = Canvas(POOL_PX, SLATE, pixels_per_unit=POOL_SCALE)
    for side in (-1, 1):
        paint_bank(canvas, bank(side))
    for urchin in URCHINS:
        if urchin.x < POOL_MM[0] / 2:
            paint_urchin(canvas, urchin, (CORAL, FOAM, CORAL))
            paint_starfish(canvas, (POOL_MM[0] - 4.55, urchin.y), 4.57)
        else:
            paint_urchin(canvas, urchin, (GREEN, FOAM, CORAL))
            paint_pebbles(canvas, (4.55, urchin.y), 2.4)
    return canvas.reduced(), height_map(POOL_PX, URCHINS, pixels_per_unit=POOL_SCALE)


def bank(side: int) -> Points:
    """Return the outline of the sand on the left (-1) or right (1): tongues opposite the urchins."""
    width, length = POOL_MM
    y = np.linspace(-6, length + 6, 400)
    phase = np.pi * (y - URCHINS[2].y) / POOL_STEP
    reach = 2.8 + side * (6.2 * np.cos(phase) + 0.55 * np.sin(2 * phase))
    x = reach if side < 0 else width - reach
    beyond = -9.0 if side < 0 else width + 9.0
    return np.concatenate([np.stack([x, y], axis=1), points((beyond, y[-1]), (beyond, y[0]))])


def paint_bank(canvas: Canvas, outline: Points) -> None:
    """Paint sand with a line of foam and shallow water along it."""
    shore = outline[:-2]
    canvas.stroke(shore, 8.4, GREEN)
    canvas.stroke(shore, 3.2, FOAM)
    canvas.area(outline, SAND)


def paint_urchin(canvas: Canvas, dome: Dome, colours: tuple[str, str, str]) -> None:
    """Paint an urchin from above: spines at its foot, then one ring of colour for each level."""
    middle = (dome.x, dome.y)
    for tip in dome.rim(dome.radius + 1.5, 30):
        canvas.stroke(np.stack([middle, tip]), 0.5, INK)
    canvas.disc(middle, dome.radius + 0.5, INK)
    # The heart is drawn a touch wider than the top level: white next to it outshines its edge.
    for height, colour in zip((0.25, 0.5, 0.74), colours, strict=True):
        canvas.disc(middle, dome.contour(height), colour)
    for reach, size, colour in zip((0.375, 0.625), (0.55, 0.4), colours, strict=False):
        for dot in dome.rim(dome.contour(reach), 20):
            canvas.disc((dot[0], dot[1]), size, SHADE[colour])
    for dot in dome.rim(1.35, 5):
        canvas.disc((dot[0], dot[1]), 0.35, SHADE[colours[2]])
