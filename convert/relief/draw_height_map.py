"""Height maps as pictures: from levels of beads, or as a first guess from the drawing itself."""

import struct
import zlib
from itertools import pairwise
from math import floor, sqrt

import numpy as np
from numpy.typing import NDArray

from convert.image.decode import Decoded
from convert.image.raster import picture_from
from convert.layout.size import Plan
from convert.relief.choices import Guess
from shared.arrays import Floats, Ints
from shared.colour import lab_from_linear
from shared.grid import Grid

HALF_ROW_PX = 8
"""Pixels to a half-row of beads, fewer in very large work: an edge that falls between pixels shifts the mean over a
bead by a few per cent."""

_LINES_AT_ONCE = 256

GUESS_SIDE = 480
"""The longer side of a map that is guessed, in pixels: it is smooth."""

LOWEST, HIGHEST = 40, 98
"""Percentiles of a guess that become flat and highest."""


def heights_of_levels(thresholds: tuple[float, ...]) -> Floats:
    """Return a height for each level, well between the thresholds about it; 0 for the lowest and 1 for the highest.

    Examples
    --------
    >>> heights_of_levels((0.25, 0.5, 0.75)).tolist()
    [0.0, 0.375, 0.625, 1.0]
    """
    between = [(low + high) / 2 for low, high in pairwise(thresholds)]
    return np.array([0.0, *between, 1.0])


def map_of_levels(
    levels: Ints, grid: Grid, plan: Plan, *, thresholds: tuple[float, ...], mirror: bool, most_pixels: int
) -> Floats:
    """Draw the height of each bead where the bead lies on the picture, as the picture is stored.

    Parameters
    ----------
    levels
        Shape (beads,).
    grid
        Of the work.
    plan
        Where the work lies on the turned and mirrored picture.
    thresholds
        Heights at which the next level begins.
    mirror
        Whether the picture is mirrored.
    most_pixels
        So many a map may have that is to be read again.

    Returns
    -------
    ndarray
        Heights 0 to 1, in the proportions of the picture before it is turned and mirrored.
    """
    scale = (grid.rows + 1) / plan.window.height
    finest = floor(sqrt(most_pixels / (plan.seen_width * plan.seen_height)) / scale)
    scale *= max(1, min(HALF_ROW_PX, finest))
    width, height = (max(2, round(side * scale)) for side in (plan.seen_width, plan.seen_height))
    window = plan.window.scale(width / plan.seen_width, height / plan.seen_height)
    across = np.floor((np.arange(width) + 0.5 - window.left) / window.width * grid.columns).astype(np.int64)
    down = np.floor((np.arange(height) + 0.5 - window.top) / window.height * (grid.rows + 1)).astype(np.int64)
    heights = np.append(heights_of_levels(thresholds)[np.minimum(levels, len(thresholds))], 0.0)
    table = np.full((grid.rows + 3, grid.columns + 2), grid.count)
    half_row, place = grid.place_of.T
    table[half_row + 1, place + 1] = table[half_row + 2, place + 1] = np.arange(grid.count)
    seen = np.clip(down + 1, 0, grid.rows + 2)[:, None], np.clip(across + 1, 0, grid.columns + 1)
    drawn = heights[table][seen]
    return np.rot90(drawn[:, ::-1] if mirror else drawn, plan.turn // 90)


def guess_map(decoded: Decoded, guess: Guess, *, ground: Floats, softness: float) -> Floats:
    """Guess a first height map from a picture: what stands out, or what is light, smoothed.

    ``saliency`` is the distance in CIELAB of the blurred picture to its mean colour: R. Achanta, S. Hemami,
    F. Estrada, S. Susstrunk, "Frequency-tuned salient region detection", CVPR 2009, equation (4).

    Parameters
    ----------
    decoded
        The picture.
    guess
        Which of the two.
    ground
        Linear light behind transparent parts, shape (3,).
    softness
        Standard deviation of the smoothing, as a share of the picture's width.

    Returns
    -------
    ndarray
        Heights 0 to 1, in the picture's proportions.
    """
    from scipy.ndimage import gaussian_filter

    lab = lab_from_linear(_reduce(decoded, ground))
    sigma = softness * lab.shape[1]
    if guess == "saliency":
        blurred = gaussian_filter(lab, (1, 1, 0), mode="nearest")
        wanted = np.linalg.norm(blurred - lab.mean(axis=(0, 1)), axis=2)
    else:
        wanted = lab[..., 0]
    smooth = gaussian_filter(wanted, sigma, mode="nearest")
    low, high = np.percentile(smooth, [LOWEST, HIGHEST])
    return np.asarray(np.clip((smooth - low) / (high - low), 0, 1) if high > low else np.zeros_like(smooth))


def grey16_png(heights: Floats) -> bytes:
    """Write heights 0 to 1 as a greyscale PNG of 16 bits. Format: W3C, Portable Network Graphics, 3rd edition."""
    height, width = heights.shape
    packer = zlib.compressobj(6)
    packed = [packer.compress(_lines(heights[top : top + _LINES_AT_ONCE])) for top in range(0, height, _LINES_AT_ONCE)]
    header = struct.pack(">IIBBBBB", width, height, 16, 0, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", b"".join(packed) + packer.flush()), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, content) for kind, content in chunks)


def _lines(heights: Floats) -> bytes:
    """Return lines of codes, each behind the word that it is not filtered."""
    codes = np.rint(np.clip(heights, 0, 1) * 65535).astype(">u2")
    lines = np.zeros((len(codes), 1 + 2 * codes.shape[1]), np.uint8)
    lines[:, 1:] = np.ascontiguousarray(codes).view(np.uint8)
    return lines.tobytes()


def _reduce(decoded: Decoded, ground: Floats) -> Floats:
    """Return the picture in linear light, its longer side at most `GUESS_SIDE`: means of whole pixels."""
    picture = picture_from(decoded, turn=0, mirror=False, ground=ground)
    height, width = picture.shape
    step = max(1, -(-max(height, width) // GUESS_SIDE))
    lines = [_means(picture.band(slice(top, top + step)), step) for top in range(0, height, step)]
    return np.stack(lines)


def _means(band: NDArray[np.float32], step: int) -> Floats:
    line = band.mean(axis=0, dtype=np.float64)
    starts = np.arange(0, len(line), step)
    counts = np.diff(np.append(starts, len(line)))[:, None]
    return np.asarray(np.add.reduceat(line, starts, axis=0) / counts)


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
