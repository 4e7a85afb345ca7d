"""A drawing that lies on its side, with a height map: boats, a lighthouse, rings of pebbles."""

from __future__ import annotations

import numpy as np
from canvas import Bytes, Canvas, Points, arc, points, smooth
from colours import CORAL, DEEP, FOAM, GREEN, INK, SAND, SHADE, SKY, SLATE
from domes import Dome, height_map
from motifs import paint_pebbles, paint_starfish

SHORE_PX = (1406, 420)
COLUMN_PX = SHORE_PX[1] / 25
"""One column of 25; the columns lie one under the other, since the drawing is turned for beading."""
ROW_PX = COLUMN_PX / 1.3 * 0.8
HORIZON = 9 * COLUMN_PX
HEAPS = [Dome(row * ROW_PX, 18.5 * COLUMN_PX, 101.0) for row in (18, 52, 84, 118)]
"""Each has its middle on a bead, so that all come out alike."""
HEART, GAP = 15.0, 2.6
"""The radius of a heap's top stone and the gap between stones, in pixels."""


def shoreline() -> tuple[Bytes, Bytes]:
    """Return the picture and the height map of a beach with the sea behind it."""
    canvas = Canvas(SHORE_PX, SKY)
    paint_sky(canvas)
    paint_lighthouse(canvas, (1120, HORIZON))
    canvas.area(below(points((-20, HORIZON), (SHORE_PX[0] + 20, HORIZON))), SLATE)
    for x, size, sail, hull in ((190, 1.1, FOAM, CORAL), (430, 0.88, CORAL, INK), (905, 0.9, FOAM, INK)):
        paint_boat(canvas, (x, HORIZON + 10), size, (sail, hull))
    paint_surf(canvas)
    for heap, colours in zip(HEAPS, ((GREEN, FOAM, CORAL), (CORAL, FOAM, GREEN)) * 2, strict=True):
        paint_heap(canvas, heap, colours)
    paint_starfish(canvas, (SHORE_PX[0] / 2, HEAPS[0].y + 26), 50)
    for place in (361.0, SHORE_PX[0] - 361.0):
        paint_pebbles(canvas, (place, HEAPS[0].y + 24), 24)
    return canvas.reduced(), height_map(SHORE_PX, HEAPS)


def paint_sky(canvas: Canvas) -> None:
    """Paint the low sun, clouds and gulls."""
    canvas.disc((SHORE_PX[0] / 2 - 30, HORIZON - 34), 66, CORAL)
    for x, y, long in ((575, 62, 120), (330, 42, 90), (760, 112, 150), (1255, 64, 110)):
        canvas.stroke(points((x - long / 2, y), (x + long / 2, y)), 18, FOAM)
    for x, y, size in ((985, 44, 15), (1022, 66, 11), (60, 54, 13)):
        for side in (-size, size):
            wing = smooth(points((0, 0), (0.6 * side, -0.5 * size), (1.5 * side, -0.2 * size)))
            canvas.stroke(wing + np.array((x, y)), 3.2, INK)


def paint_surf(canvas: Canvas) -> None:
    """Paint the waves that roll in, and the sand they run up."""
    for y, rise, length, shift, colour in (
        (HORIZON + 38, 15, 140.6, 40, GREEN),
        (HORIZON + 64, 15, 200.9, 0, FOAM),
        (HORIZON + 88, 15, 200.9, 26, SAND),
    ):
        canvas.area(below(swell(y, rise, length, shift)), colour)
    canvas.stroke(swell(HORIZON + 46, 15, 140.6, 40), 3, FOAM)


def swell(y: float, rise: float, length: float, shift: float) -> Points:
    """Return a line of waves with narrow crests across the drawing."""
    x = np.linspace(-20, SHORE_PX[0] + 20, 700)
    crest = np.abs(np.sin(np.pi * (x - shift) / length))
    return np.stack([x, y + rise * (crest - 0.5) * 2], axis=1)


def below(line: Points) -> Points:
    """Return the outline of all that lies under a line across the drawing."""
    return np.concatenate([line, points((line[-1, 0], SHORE_PX[1] + 20), (line[0, 0], SHORE_PX[1] + 20))])


def paint_lighthouse(canvas: Canvas, foot: tuple[float, float]) -> None:
    """Paint a striped lighthouse on its rock; the stripes are two beads high."""
    rock = smooth(points((-220, 30), (-150, -2), (-90, -13), (0, -22), (90, -15), (140, -3), (200, 30)))
    canvas.area(rock + foot, INK)
    canvas.area(points((-30, -8.2 * COLUMN_PX), (30, -8.2 * COLUMN_PX), (0, 1 - HORIZON)) + foot, INK)
    for top, bottom, slim, wide, colour in (
        (8.2, 7, 20, 20, SAND),
        (7, 5, 25, 28, CORAL),
        (5, 3, 28, 31, FOAM),
        (3, 1, 31, 34, CORAL),
    ):
        high, low = -top * COLUMN_PX, -bottom * COLUMN_PX
        canvas.area(points((-slim, high), (slim, high), (wide, low), (-wide, low)) + foot, colour)
    canvas.stroke(points((-30, -7 * COLUMN_PX), (30, -7 * COLUMN_PX)) + foot, 5, INK)


def paint_boat(canvas: Canvas, keel: tuple[float, float], size: float, colours: tuple[str, str]) -> None:
    """Paint a sailing boat, its keel in the water."""
    sail, hull = colours
    for outline, colour in (
        (sail_outline((5, -118), (48, -76), (74, -28)), sail),
        (sail_outline((-7, -102), (-36, -66), (-54, -28)), sail),
        (points((-4, -124), (3, -124), (3, -20), (-4, -20)), INK),
        (arc((4, -20), (72, 36), (0, 180)), hull),
    ):
        canvas.area(outline * size + keel, colour)


def sail_outline(head: tuple[float, float], belly: tuple[float, float], clew: tuple[float, float]) -> Points:
    """Return a sail that bulges between its head and its free corner."""
    return np.concatenate([smooth(points(head, belly, clew)), points((head[0], clew[1]))])


def paint_heap(canvas: Canvas, heap: Dome, colours: tuple[str, str, str]) -> None:
    """Paint pebbles laid in rings, seen from above: one ring for each level and one at the foot."""
    edges = (heap.radius + 4, *(heap.contour(height) for height in (0.25, 0.5, 0.72)), HEART, 0.0)
    chance = np.random.default_rng(round(heap.x))
    for number, colour in enumerate((SLATE, *colours, colours[2])):
        # At the foot the stones stand out beyond their ground, so that the heap has no smooth edge.
        canvas.disc((heap.x, heap.y), edges[number] - (0 if number else 5), DEEP[colour])
        paint_stones(canvas, heap, (edges[number + 1], edges[number]), colour, chance)


def paint_stones(
    canvas: Canvas, heap: Dome, band: tuple[float, float], colour: str, chance: np.random.Generator
) -> None:
    """Lay a ring of stones of uneven length between two radii."""
    if band[0] == 0:
        canvas.disc((heap.x, heap.y), band[1] - GAP / 2, colour)
        return
    count = round(np.pi * (band[0] + band[1]) / (1.5 * (band[1] - band[0])))
    shares = chance.uniform(0.75, 1.25, count)
    ends = np.cumsum(shares) / shares.sum() * 360 + chance.uniform(0, 360)
    for start, end in zip(np.roll(ends, 1) - 360 * (np.arange(count) == 0), ends, strict=True):
        canvas.area(stone(heap, band, (start, end)), str(chance.choice([colour, colour, SHADE[colour]])))


def stone(heap: Dome, band: tuple[float, float], degrees: tuple[float, float]) -> Points:
    """Return the outline of a stone that fills a sector of a ring but for its rounded corners."""
    turn = np.linspace(0, 2 * np.pi, 60)
    along, out = (np.sign(part) * np.abs(part) ** 0.6 for part in (np.cos(turn), np.sin(turn)))
    reach = (band[0] + band[1]) / 2 + out * (band[1] - band[0] - GAP) / 2
    gap = np.degrees(GAP / reach)
    angle = np.radians((degrees[0] + degrees[1]) / 2 + along * (degrees[1] - degrees[0] - gap) / 2)
    return np.stack([heap.x + reach * np.cos(angle), heap.y + reach * np.sin(angle)], axis=1)
