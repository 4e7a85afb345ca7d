"""The pictures, heights and designs that stages are measured on, made here; they depend on the size alone."""

import io
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any, NamedTuple

import numpy as np
from PIL import Image

from convert.image.decode import Source
from convert.options import Options
from convert.pattern import make_pattern
from shared.design import Design
from shared.grid import Grid

COLOURS = 24


class Stage(NamedTuple):
    """What is measured: the work of a stage, and what is its floor."""

    work: Callable[[], Any]
    floor: Callable[[], Any]


def saved(pixels: Any) -> bytes:
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", compress_level=3)
    return file.getvalue()


def pool_and_heights(columns: int, rows: int) -> tuple[Source, Source]:
    """Paint a tide pool with limpets, two pixels to a column, and their heights."""
    width, height = 2 * columns, round(2 * columns * (rows + 1) * 0.8 / (columns * 1.3))
    random = np.random.default_rng(7)
    down, across = np.mgrid[0:height, 0:width] / width
    shades = [90 + 60 * np.sin(7 * across + 3 * down), 120 + 50 * np.sin(5 * down), 140 + 40 * np.cos(6 * across)]
    codes, heights = np.stack(shades, axis=2), np.zeros((height, width))
    for _ in range(24):
        x, y, radius = random.uniform(0, 1), random.uniform(0, height / width), random.uniform(0.04, 0.12)
        away = np.hypot(across - x, down - y) / radius
        codes[away < 1] = random.uniform(20, 250, 3) * (1.2 - 0.5 * away[away < 1, None])
        heights = np.maximum(heights, np.sqrt(np.maximum(1 - away**2, 0)))
    codes += random.normal(0, 6, codes.shape)
    painted = (saved(np.clip(each, 0, 255).astype(np.uint8)) for each in (codes, 255 * heights))
    return Source("pool.png", next(painted)), Source("pool-heights.png", next(painted))


def options(columns: int, rows: int) -> Options:
    return Options(columns=columns, rows=rows, colours=COLOURS, turn="0", style="photo")


@cache
def design(columns: int, rows: int) -> Design:
    return make_pattern(*pool_and_heights(columns, rows), options(columns, rows), surface=False).design


@cache
def flat_design(columns: int, rows: int) -> Design:
    """Return one without domes, in few colours, so that it is the document that is measured and not the surface."""
    picture, _ = pool_and_heights(columns, rows)
    return make_pattern(picture, None, replace(options(columns, rows), colours=8), surface=False).design


def domed(columns: int, rows: int) -> tuple[Grid, Any]:
    from size_levels import rings

    grid = Grid(columns, rows)
    places = [(row, column) for row in range(25, rows - 10, 50) for column in range(9, columns - 7, 16)]
    return grid, rings(grid, *places, radii=(0.5, 2.5, 4.5))
