"""Drawings for tests of the kinds of picture, and the beads that they fall on. A unit is the length of a bead."""

from functools import cache

import numpy as np
from flows import plan_of
from picture_oracle import picture_of
from PIL import Image, ImageDraw

from convert.cells.supersample import View
from convert.options import Options
from shared.grid import Grid

PAPER, INK = (250, 248, 242), (28, 30, 44)
FLAT = ((24, 60, 90), (230, 214, 170), (200, 70, 50), (110, 170, 150))
UNIT = 20
"""Pixels to a unit."""

FINER = 4
"""Drawn n times as large, then averaged: edges are as soft as a good drawing program makes them."""


class Board:
    """A drawing board; x right and y down, in units."""

    def __init__(self, width, height, ground=PAPER, unit=UNIT):
        self.unit = unit
        self.scale = unit * FINER
        self.image = Image.new("RGB", (round(width * unit) * FINER, round(height * unit) * FINER), ground)
        self._draw = ImageDraw.Draw(self.image)

    def line(self, points, wide, colour=INK):
        self._draw.line(self._at(points), fill=colour, width=round(wide * self.scale))

    def ring(self, middle, radii, wide, colour=INK, *, fill=None, degrees=None):
        (x, y), (across, down) = middle, radii
        box = self._at([(x - across, y - down), (x + across, y + down)])
        if degrees:
            self._draw.arc(box, *degrees, fill=colour, width=round(wide * self.scale))
        else:
            self._draw.ellipse(box, fill=fill, outline=colour, width=round(wide * self.scale))

    def disc(self, middle, radius, colour):
        (x, y) = middle
        self._draw.ellipse(self._at([(x - radius, y - radius), (x + radius, y + radius)]), fill=colour)

    def shape(self, corners, colour):
        self._draw.polygon(self._at(corners), fill=colour)

    def pixels(self):
        size = self.image.width // FINER, self.image.height // FINER
        return np.asarray(self.image.resize(size, Image.Resampling.BOX))

    def _at(self, points):
        return [(x * self.scale, y * self.scale) for x, y in points]


@cache
def slanted(degrees, wide, *, colour=INK, ground=PAPER, columns=31):
    """One straight line through the middle of a work about square, and its ends in units."""
    x, y, half = columns / 2 + 0.15, columns / 2 + 0.25, 0.42 * columns
    along = np.array([np.cos(np.radians(degrees)), -np.sin(np.radians(degrees))])
    ends = np.array([x, y]) + np.outer([-half, half], along)
    across = np.array([-along[1], along[0]]) * wide / 2
    board = Board(columns, columns, ground, unit=12)
    board.shape([*(ends + across), *(ends[::-1] - across)], colour)
    return board.pixels(), ends


EYES, MOUTH = ((10.5, 17), (19.5, 17)), ((11, 28), (19, 28))
"""In units on `face`: where the pupils are, and the corners of the mouth."""


@cache
def face(wide=0.35, columns=30, unit=UNIT):
    """A face in thin lines, 30 units wide."""
    board = Board(30, 40.5, unit=unit * columns / 30)
    board.ring((15, 20), (11, 14), wide)
    board.ring((15, 14), (12, 12), wide, degrees=(180, 360))
    for x, y in EYES:
        board.ring((x, y), (2.2, 1.3), wide)
        board.disc((x, y), 0.6, INK)
        board.ring((x, y - 1.5), (3, 2), wide, degrees=(200, 340))
    board.line([(15, 18), (14, 22.5), (15.5, 23)], wide)
    board.ring((15, 26), (4.5, 3.5), wide, degrees=(25, 155))
    return board.pixels()


@cache
def emblem(unit=UNIT):
    """Four flat colours, straight, slanted and round edges, nothing narrower than two beads; 24 x 32 units."""
    board = Board(24, 32, FLAT[0], unit)
    board.disc((12, 12), 8.3, FLAT[1])
    board.shape([(5.2, 25.1), (19.4, 22.3), (19.4, 29.7), (8.1, 30.3)], FLAT[2])
    board.shape([(12.2, 6.1), (17.3, 16.4), (7.4, 15.2)], FLAT[3])
    board.shape([(0, 0), (24, 0), (24, 2.3), (0, 2.3)], FLAT[1])
    return board.pixels()


@cache
def like_a_photo(seed=3, height=400, width=300):
    """Soft shades, soft shapes, a few hard edges, grain."""
    from scipy.ndimage import gaussian_filter

    rng = np.random.default_rng(seed)
    soft = np.stack([gaussian_filter(rng.normal(0, 1, (height, width)), 12) for _ in range(3)], axis=-1)
    picture = 120 + 900 * soft
    picture[height // 2 :, : width // 2] *= 0.6
    return np.clip(picture + rng.normal(0, 3, picture.shape), 0, 255).astype(np.uint8)


def as_scanned(pixels, seed=4):
    """A drawing photographed in uneven light, with grain."""
    width = pixels.shape[1]
    light = 0.78 + 0.2 * (np.arange(width) / width)[None, :, None]
    grain = np.random.default_rng(seed).normal(0, 4, pixels.shape)
    return np.clip(pixels * light + grain, 0, 255).astype(np.uint8)


def on_beads(pixels, columns=31, **choices):
    """The view and the lattice of a work on a picture."""
    options = Options(**({"columns": columns, "turn": "0"} | choices))
    plan = plan_of(pixels.shape[1], pixels.shape[0], options)
    turned = np.rot90(pixels, -plan.turn // 90)
    picture = picture_of(turned[:, ::-1] if options.mirror else turned)
    grid = Grid(plan.columns, plan.rows, options.hand, options.start)
    return View(picture, plan.window, plan.bounds, np.ones(3)), grid


def units_of(grid):
    """The centre of each bead in units, shape (beads, 2) as x, y."""
    return grid.centres_mm(1.0, 1.6 / 1.3)


def parts(chosen, grid):
    """The beads of each connected part (by the six contacts), largest first."""
    left, found = set(np.flatnonzero(chosen).tolist()), []
    while left:
        part, edge = [], [left.pop()]
        while edge:
            part.append(edge.pop())
            new = left & set(grid.neighbours[part[-1]].tolist())
            left -= new
            edge += new
        found.append(part)
    return sorted(found, key=len, reverse=True)
