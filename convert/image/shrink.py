"""Large pictures made smaller while they are read, a band at a time: exact means over rectangles."""

from collections.abc import Callable
from functools import cache
from itertools import pairwise
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from shared.colour import linear_from_srgb, srgb_from_linear

Codes = NDArray[np.uint8] | NDArray[np.uint16]
Floats = NDArray[np.float64]
Band = Callable[[int, int], tuple[Codes, Codes | None]]
"""Returns codes and opacity of the pixel rows from one up to before another."""

ROWS_AT_ONCE = 16
"""So many rows of the result are made at a time."""

_MOST = 65535


def shrunk(
    band: Band, edges: Floats, ends: Floats, *, light: bool
) -> tuple[NDArray[np.uint16], NDArray[np.uint16] | None]:
    """Average a picture over rectangles; a pixel that is cut counts with its share.

    Parameters
    ----------
    band
        Gives the picture.
    edges, ends
        Where rectangles begin and end, across and down, in pixels, rising.
    light
        Whether codes are colours, whose light is averaged, or plain numbers.

    Returns
    -------
    ndarray, ndarray or None
        Codes of 16 bits, shape (down, across, channels), and opacity, shape (down, across), where there is any. What is
        transparent does not count for colours.
    """
    colours: list[NDArray[np.uint16]] = []
    opacities: list[NDArray[np.uint16]] = []
    for first in range(0, len(ends) - 1, ROWS_AT_ONCE):
        lines = ends[first : first + ROWS_AT_ONCE + 1]
        sums = _sums(*band(floor(lines[0]), ceil(lines[-1])), lines - floor(lines[0]), edges, light=light)
        values = sums / _areas(lines, edges)
        opacity = values[..., -1:]
        means = values[..., :-1] / np.where(opacity > 0, opacity, 1)
        colours.append(_codes(srgb_from_linear(means) if light else means))
        opacities.append(_codes(opacity[..., 0]))
    alpha = np.concatenate(opacities)
    return np.concatenate(colours), None if alpha.min() == _MOST else alpha


@cache
def linear_of_codes(depth: np.dtype[np.unsignedinteger]) -> NDArray[np.float32]:
    """Return the linear light of each sRGB code of 8 or 16 bits."""
    codes = np.arange(np.iinfo(depth).max + 1)
    return linear_from_srgb(codes / codes[-1]).astype(np.float32)


def _codes(shares: Floats) -> NDArray[np.uint16]:
    return np.rint(np.clip(shares, 0, 1) * _MOST).astype(np.uint16)


def _areas(lines: Floats, edges: Floats) -> Floats:
    return np.asarray((np.diff(lines)[:, None] * np.diff(edges))[..., None])


def _sums(codes: Codes, alpha: Codes | None, lines: Floats, edges: Floats, *, light: bool) -> Floats:
    """Integrate values times opacity, and opacity as the last channel, over rectangles."""
    values = _values(codes, light=light)
    if alpha is None:
        parts = _across(_strips(values, lines), edges)
        return np.concatenate([parts, _areas(lines, edges)], axis=2)
    share = _values(alpha, light=False)[..., None]
    return _across(_strips(np.concatenate([values * share, share], axis=2), lines), edges)


def _values(codes: Codes, *, light: bool) -> NDArray[np.float32]:
    if light:
        return linear_of_codes(codes.dtype)[codes]
    return codes.astype(np.float32) / np.float32(np.iinfo(codes.dtype).max)


def _strips(values: NDArray[np.float32], lines: Floats) -> NDArray[np.float32]:
    """Integrate pixel rows between each two lines, shape (strips, width, channels)."""
    return np.stack([_strip(values, top, bottom) for top, bottom in pairwise(lines.tolist())])


def _strip(values: NDArray[np.float32], top: float, bottom: float) -> NDArray[np.float32]:
    first, last = floor(top), ceil(bottom)
    shares = np.diff(np.clip(np.arange(first, last + 1), top, bottom)).astype(np.float32)
    return np.asarray(np.einsum("y,yxc->xc", shares, values[first:last]))


def _across(values: NDArray[np.float32], edges: Floats) -> Floats:
    """Integrate each row between each two edges, shape (rows, edges - 1, channels)."""
    total = np.cumsum(values, axis=1, dtype=np.float64)
    whole = np.minimum(np.floor(edges).astype(np.int64), values.shape[1] - 1)
    before = np.where((whole > 0)[:, None], total[:, whole - 1], 0)
    return np.asarray(np.diff(before + (edges - whole)[:, None] * values[:, whole], axis=1))
