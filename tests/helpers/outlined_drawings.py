"""Drawings by script in many hands: in flat areas, the same outlined with a pen, and the pen alone.

Ink width and colour, colours, wobble of the hand, size, JPEG and what is drawn come from the seed. Lengths are shares
of the width of the picture.
"""

import io
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw

FINER = 3
PAPERS = ((255, 255, 255), (252, 249, 240), (244, 244, 246))
PAINTS = (
    *((214, 64, 69), (246, 174, 45), (242, 230, 177), (132, 169, 140), (82, 183, 136), (144, 190, 222)),
    *((249, 199, 205), (187, 148, 200), (255, 255, 255), (198, 134, 90), (120, 150, 60), (250, 225, 80)),
)
PENS = ((0, 0, 0), (26, 26, 46), (70, 30, 20), (10, 60, 60), (60, 0, 60))


class Drawn(NamedTuple):
    """A drawing, and what the pen drew."""

    pixels: np.ndarray
    pen: tuple | None
    inked: np.ndarray
    """Where ink is to be seen, `FINER` times as fine as the pixels."""
    lines: list
    """The middle of each line, points in pixels."""


class Hand:
    """Draws shapes and lines as a certain hand does."""

    def __init__(self, rng, width, height, *, ground, pen, nib, wobble):
        self.rng, self.width, self.pen, self.wobble = rng, width, pen, wobble
        self.nib = max(1, round(nib * width * FINER))
        size = width * FINER, height * FINER
        self.image, self.ink = Image.new("RGB", size, ground), Image.new("1", size)
        self.on, self.mask, self.lines = ImageDraw.Draw(self.image), ImageDraw.Draw(self.ink), []

    def shape(self, points, fill):
        points = self._by_hand([*points, points[0]])
        if fill is not None:
            for board, colour in ((self.on, fill), (self.mask, 0)):
                board.polygon([tuple(point) for point in points * FINER], fill=colour)
        self._ink(points)

    def line(self, points):
        self._ink(self._by_hand(points))

    def _by_hand(self, points):
        """The same way with many points, moved off it by slow waves that close."""
        points = np.array(points) * self.width
        run = np.append(0, np.cumsum(np.hypot(*np.diff(points, axis=0).T)))
        at = np.linspace(0, run[-1], max(12, int(run[-1] / 2)))
        even = np.stack([np.interp(at, run, axis) for axis in points.T], axis=1)
        waves = np.arange(1, 6)
        turns = 2 * np.pi * np.outer(at / run[-1], waves)[:, None] + self.rng.uniform(0, 7, (2, 5))
        return even + self.wobble * self.width * (np.sin(turns) / waves).sum(axis=2)

    def _ink(self, points):
        if self.pen is None:
            return
        for board, colour in ((self.on, self.pen), (self.mask, 1)):
            fine = [tuple(point) for point in points * FINER]
            board.line(fine, fill=colour, width=self.nib, joint="curve")
            for x, y in (fine[0], fine[-1]):
                half = self.nib / 2
                board.ellipse([x - half, y - half, x + half, y + half], fill=colour)
        self.lines.append(points)


def oval(x, y, across, down, degrees=(0, 360)):
    around = np.radians(np.linspace(*degrees, 48))
    return np.stack([x + across * np.cos(around), y + down * np.sin(around)], axis=1)


def box(left, top, right, bottom):
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def owl(hand, paint):
    body = paint()
    hand.shape(oval(0.5, 0.58, 0.3, 0.38), body)
    hand.shape(oval(0.5, 0.72, 0.17, 0.2), paint(body))
    for side in (-1, 1):
        hand.shape([(0.5 + side * x, y) for x, y in ((0.27, 0.12), (0.08, 0.27), (0.27, 0.4))], body)
        hand.shape(oval(0.5 + side * 0.13, 0.4, 0.11, 0.11), paint(body))
        hand.shape(oval(0.5 + side * 0.13, 0.4, 0.04, 0.045), paint(body) if hand.pen is None else hand.pen)
        hand.line([(0.5 + side * x, y) for x, y in ((0.33, 0.55), (0.24, 0.7), (0.27, 0.86))])
    hand.shape([(0.45, 0.48), (0.55, 0.48), (0.5, 0.57)], paint(body))


def boat(hand, paint):
    hand.shape(box(-0.1, 0.85, 1.1, 1.6), sea := paint())
    hand.shape([(0.15, 0.78), (0.85, 0.78), (0.72, 0.98), (0.26, 0.98)], paint(sea))
    for side in (-1, 1):
        hand.shape([(0.5 + 0.03 * side, 0.15), (0.5 + 0.3 * side, 0.68), (0.5 + 0.03 * side, 0.7)], paint(sea))
    hand.line([(0.5, 0.1), (0.5, 0.78)])
    for x in (0.2, 0.5, 0.8):
        hand.line(oval(x, 1.0, 0.1, 0.05, (200, 340)))


def butterfly(hand, paint):
    wing, other = paint(), paint()
    for side in (-1, 1):
        hand.shape(oval(0.5 + side * 0.22, 0.38, 0.18, 0.22), wing)
        hand.shape(oval(0.5 + side * 0.17, 0.76, 0.14, 0.17), other)
        hand.shape(oval(0.5 + side * 0.24, 0.36, 0.08, 0.09), paint(wing))
        hand.line(oval(0.5 + side * 0.12, 0.2, 0.1, 0.12, (180, 270) if side > 0 else (270, 360)))
    hand.shape(oval(0.5, 0.55, 0.045, 0.3), paint(wing, other))


def patchwork(hand, paint):
    """Patches with nothing narrower than two beads at 31 columns."""
    for row in range(6):
        for column in range(4):
            x, y = 0.25 * column, 0.25 * row
            hand.shape(box(x, y, x + 0.25, y + 0.25), ground := paint())
            if (row + column) % 2:
                hand.shape([(x + 0.04, y + 0.2), (x + 0.125, y + 0.04), (x + 0.21, y + 0.2)], paint(ground))


def cottage(hand, paint):
    hand.shape(box(-0.1, 0.9, 1.1, 1.6), paint())
    hand.shape(box(0.2, 0.5, 0.75, 0.95), wall := paint())
    hand.shape([(0.12, 0.52), (0.475, 0.2), (0.83, 0.52)], paint(wall))
    hand.shape(box(0.3, 0.65, 0.43, 0.95), paint(wall))
    hand.shape(box(0.52, 0.6, 0.67, 0.75), pane := paint(wall))
    hand.line([(0.595, 0.6), (0.595, 0.75)])
    hand.shape(oval(0.85, 0.16, 0.09, 0.09), paint(pane))


def mushrooms(hand, paint):
    for x, y, size in ((0.33, 0.55, 0.26), (0.74, 0.8, 0.18)):
        hand.shape(box(x - size * 0.3, y, x + size * 0.3, y + size * 1.5), paint())
        hand.shape([*oval(x, y, size, size, (180, 360))], cap := paint())
        for spot in (-0.5, 0.0, 0.5):
            hand.shape(oval(x + spot * size, y - size * 0.45, size * 0.17, size * 0.17), paint(cap))


SUBJECTS = (owl, boat, butterfly, patchwork, cottage, mushrooms)


def drawing(style, seed):
    """A drawing that is ``outlined``, ``flat`` or ``lines``; see `Drawn`."""
    rng = np.random.default_rng([seed, len(style)])
    width = int(rng.choice([260, 330, 420]))
    height = int(width * rng.uniform(1.05, 1.4))
    pen = None if style == "flat" else PENS[rng.integers(len(PENS))]
    papers = PAPERS if style == "lines" or seed % 3 else PAINTS
    ground = papers[rng.integers(len(papers))]
    hand = Hand(
        rng, width, height, ground=ground, pen=pen, nib=rng.uniform(0.006, 0.026), wobble=rng.choice([0, 0.002, 0.006])
    )

    def paint(*not_these):
        free = [colour for colour in PAINTS if colour not in (*not_these, ground)]
        return None if style == "lines" else free[rng.integers(len(free))]

    SUBJECTS[seed % len(SUBJECTS)](hand, paint)
    pixels = np.asarray(hand.image.resize((width, height), Image.Resampling.BOX))
    if seed % 2:
        file = io.BytesIO()
        Image.fromarray(pixels).save(file, "JPEG", quality=int(rng.integers(65, 95)))
        pixels = np.asarray(Image.open(file))
    return Drawn(pixels, pen, np.asarray(hand.ink), hand.lines)
