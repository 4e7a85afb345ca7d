"""What lies on the sand in more than one drawing: a starfish, a few pebbles."""

from __future__ import annotations

import numpy as np
from canvas import Canvas
from colours import CORAL, GREEN, SHADE, SLATE


def paint_starfish(canvas: Canvas, centre: tuple[float, float], size: float) -> None:
    """Paint a starfish with blunt arms, `size` from its middle to the tip of an arm."""
    for radii, thick, thin, colour in (
        (np.linspace(0, 0.81, 30), 0.35, 0.165, CORAL),
        (np.array([0.25, 0.45, 0.65]), 0.06, 0.06, SHADE[CORAL]),
    ):
        for angle in np.radians(-90 + 72 * np.arange(5)):
            for share in radii:
                spot = (centre[0] + size * share * np.cos(angle), centre[1] + size * share * np.sin(angle))
                canvas.disc(spot, size * (thick + (thin - thick) * share / 0.81), colour)


def paint_pebbles(canvas: Canvas, centre: tuple[float, float], size: float) -> None:
    """Paint three pebbles, the largest `size` in radius."""
    for dx, dy, radius, colour in ((-0.42, -1.5, 1.0, SLATE), (0.7, 0.33, 0.92, CORAL), (-0.8, 1.67, 0.8, GREEN)):
        canvas.disc((centre[0] + dx * size, centre[1] + dy * size), radius * size, colour)
