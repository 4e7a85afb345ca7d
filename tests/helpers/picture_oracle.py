"""Pictures as files, and what the cells of a work ought to show, worked out without the project's own code."""

import io

import numpy as np
from flows import plan_of
from PIL import Image

from convert.cells.area_mean import footprint_means
from convert.image.decode import Decoded, Orientation, Source, decode, read_header
from convert.image.raster import Picture, picture_from
from convert.options import Options
from shared.grid import Grid

LENGTH_MM, DIAMETER_MM = 1.3, 1.6
"""The flat bead of the default sizes (cylinder 11/0)."""


def light(codes):
    """Linear light of sRGB codes. Source: IEC 61966-2-1:1999."""
    share = np.asarray(codes) / np.iinfo(np.asarray(codes).dtype).max
    return np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)


def code(linear):
    """8-bit sRGB codes of linear light, not rounded. Source: IEC 61966-2-1:1999."""
    linear = np.asarray(linear)
    return 255 * np.where(linear <= 0.0031308, linear * 12.92, 1.055 * np.clip(linear, 0, 1) ** (1 / 2.4) - 0.055)


def encoded(codes, kind="PNG", **how):
    """Pixels, or a Pillow image, as the bytes of a file."""
    image = codes if isinstance(codes, Image.Image) else Image.fromarray(codes)
    file = io.BytesIO()
    image.save(file, kind, **how)
    return file.getvalue()


def places(columns, rows, *, hand="right", start="top", drop=1):
    """Half-row from the top and column from the left of each bead, row by row: row r holds c when W - c + r is odd.

    In two-drop the same is said of pairs.
    """
    return [
        (row - 1 if start == "top" else rows - row, column - 1 if hand == "right" else columns - column)
        for row in range(1, rows + 1)
        for column in range(1, columns + 1)
        if (columns // drop - (column + drop - 1) // drop + row) % 2
    ]


def centres_mm(columns, rows, **lattice):
    """The centre of each bead, x right and y down: columns a length apart, half-rows half a diameter."""
    down, right = np.array(places(columns, rows, **lattice)).T
    return np.stack([(right + 0.5) * LENGTH_MM, (down + 1) * DIAMETER_MM / 2], axis=1)


def sampled_means(values, grid, *, window=None, bounds=None, outside=0.0, samples=4096):
    """Mean of ``samples`` x ``samples`` points in each bead's rectangle.

    Points lie on a regular lattice, so that their sum over pixels is the number of sample columns in each
    pixel column times the number of sample rows in each pixel row.
    """
    values = np.asarray(values, dtype=np.float64)
    height, width = values.shape[:2]
    left, top, right, bottom = window or (0, 0, width, height)
    west, north, east, south = bounds or (0, 0, width, height)
    column, half_row = (right - left) / grid.columns, (bottom - top) / (grid.rows + 1)
    share = (np.arange(samples) + 0.5) / samples
    across = np.array([_hits(left + (i + share) * column, west, east, width) for i in range(grid.columns)]) / samples
    down = np.array([_hits(top + (i + 2 * share) * half_row, north, south, height) for i in range(grid.rows)]) / samples
    flat = values.reshape(height, width, -1)
    means = np.einsum("iw,jwc->jic", across, np.einsum("jh,hwc->jwc", down, flat))
    means += (1 - np.outer(down.sum(axis=1), across.sum(axis=1)))[..., None] * outside
    half_rows, columns = np.array(places(grid.columns, grid.rows, hand=grid.hand, start=grid.start, drop=grid.drop)).T
    return means[half_rows, columns].reshape(-1, *values.shape[2:])


def _hits(points, low, high, pixels):
    """How many points of a line fall in each pixel, inside low … high."""
    points = points[(points >= max(low, 0)) & (points < min(high, pixels))]
    return np.bincount(np.floor(points).astype(int), minlength=pixels)


def picture_of(codes):
    """A picture over white from its codes, or from a Pillow image."""
    image = codes if isinstance(codes, Image.Image) else Image.fromarray(np.ascontiguousarray(codes))
    return Picture(decoded=Decoded(image, Orientation(), None, ()), ground=np.ones(3))


def cells_of(data, **choices):
    """Take the steps from a file to cells; return plan, grid and cells in linear light."""
    options = Options(**choices)
    source = Source("picture", data)
    header = read_header(source, max_pixels=options.max_pixels)
    plan = plan_of(header.width, header.height, options)
    grid = Grid(plan.columns, plan.rows, options.hand, options.start, options.drop)
    ground = light(np.array([int((options.ground or "#ffffff")[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.uint8))
    seen = picture_from(
        decode(source, max_pixels=options.max_pixels), turn=plan.turn, mirror=options.mirror, ground=ground
    )
    across, down = seen.shape[1] / plan.seen_width, seen.shape[0] / plan.seen_height
    window, bounds = plan.window.scale(across, down), plan.bounds.scale(across, down)
    return plan, grid, footprint_means(seen, grid, window=window, bounds=bounds, outside=ground)
