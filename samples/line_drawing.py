"""A drawing in thin ink lines on white: a fish, a sea urchin, weed, a shell and a starfish."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from canvas import Bytes, Canvas, arc, points, smooth, star
from colours import INK

SIZE_PX = (600, 900)
PEN = 5.0
URCHIN, URCHIN_RADII = (258.0, 572.0), (160.0, 134.0)


def urchin_lines() -> Bytes:
    """Return the picture, shape (height, width, 3)."""
    canvas = Canvas(SIZE_PX, "#ffffff")
    draw_fish(canvas, (322, 205), 1.14)
    draw_urchin(canvas)
    draw_weed(canvas, (532, 762), 300)
    sand = np.linspace(25, 575, 120)
    canvas.stroke(np.stack([sand, 768 - 12 * np.sin(sand / 62)], axis=1), PEN, INK, taper=True)
    draw_shell(canvas, (150, 872), 84)
    canvas.stroke(smooth(star((400, 836), (52, 23), 5), closed=True), PEN, INK)
    return canvas.reduced()


def draw_fish(canvas: Canvas, middle: tuple[float, float], size: float) -> None:
    """Draw a fish that swims to the left, and its bubbles."""
    lines = (
        points((-185, 5), (-120, -62), (-20, -88), (80, -55), (140, -14), (205, -82)),
        points((-185, 5), (-120, 62), (-20, 78), (80, 48), (140, 14), (205, 84)),
        points((205, -82), (182, 0), (205, 84)),
        points((-50, -84), (-5, -132), (70, -122), (72, -59)),
        points((-45, 8), (4, 38), (24, 4), (-8, -14), (-45, 8)),
        points((-92, -62), (-72, 0), (-96, 62)),
        points((-176, 12), (-158, 22), (-142, 20)),
    )
    for line in lines:
        canvas.stroke(smooth(line) * size + middle, PEN, INK)
    for x in (64, 100):
        canvas.stroke(arc((x, 0), (14, 50 - 0.3 * x), (-70, 70)) * size + middle, PEN, INK)
    canvas.disc((middle[0] - 132 * size, middle[1] - 18 * size), 10, INK)
    for x, y, radius in ((52, 176, 12), (70, 112, 18), (42, 56, 11)):
        canvas.stroke(arc((x, y), (radius, radius), (0, 360)), PEN, INK)


def draw_urchin(canvas: Canvas) -> None:
    """Draw an urchin: its shell with seams and dots, and spines all round."""
    canvas.stroke(arc(URCHIN, URCHIN_RADII, (0, 360)), PEN, INK)
    for number, angle in enumerate(np.radians(np.arange(20) * 18)):
        direction = np.array([np.cos(angle), np.sin(angle)])
        spine = np.stack([direction * URCHIN_RADII, direction * URCHIN_RADII + direction * (34 if number % 2 else 58)])
        canvas.stroke(spine + URCHIN, PEN, INK)
    for share, reach in ((-0.72, 58), (-0.26, 66), (0.26, 66), (0.72, 58)):
        seam = arc((0, 0), (URCHIN_RADII[0] * abs(share), URCHIN_RADII[1]), (-reach, reach))
        canvas.stroke(seam * (np.sign(share), 1) + URCHIN, PEN, INK)
    for share in (-0.49, 0.0, 0.49):
        for angle in np.radians((-44, -22, 0, 22, 44)):
            spot = (URCHIN_RADII[0] * share * np.cos(angle), URCHIN_RADII[1] * np.sin(angle))
            canvas.disc((URCHIN[0] + spot[0], URCHIN[1] + spot[1]), 7, INK)


def draw_weed(canvas: Canvas, root: tuple[float, float], height: float) -> None:
    """Draw a stem of weed with leaves on both sides and one at its tip."""
    rise = np.linspace(0, 1, 80)
    stem = np.stack([12 * np.sin(rise * 7), -height * rise], axis=1) + root
    canvas.stroke(stem, PEN, INK)
    for place, side, long in ((12, 40, 1.0), (28, -40, 1.0), (44, 40, 0.95), (60, -38, 0.9), (79, 4, 0.95)):
        tip = np.array([side, -48.0]) * long * (1 if abs(side) > 9 else 1.25)
        belly = np.array([-tip[1], tip[0]]) * 0.24
        leaf = np.stack([0 * tip, 0.5 * tip + belly, tip, 0.5 * tip - belly, 0 * tip])
        canvas.stroke(smooth(leaf) + stem[place], PEN, INK)


def draw_shell(canvas: Canvas, hinge: tuple[float, float], size: float) -> None:
    """Draw a fan shell with its ribs."""
    angles = np.radians(np.linspace(198, 342, 9))
    edge = np.stack([size * 1.15 * np.cos(angles), size * np.sin(angles)], axis=1)
    for start, end in pairwise(edge):
        canvas.stroke(smooth(np.stack([start, (start + end) / 2 * 1.12, end])) + hinge, PEN, INK)
    for rib in edge[::2]:
        canvas.stroke(np.linspace((rib[0] * 0.12, 0), rib, 20) + hinge, PEN, INK)
    canvas.stroke(points((-24, 4), (24, 4)) + hinge, PEN, INK)
