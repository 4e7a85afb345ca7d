"""A picture for checking: the photograph with each patch outlined, numbered and its colour beside the number."""

import numpy as np
from numpy.typing import NDArray

from palettes.photo.reduce import Codes, reduced_light
from palettes.photo.values import Ints, Mask, Patch, Reading
from shared.colour import codes_from_hex, codes_from_linear

SHORTEST_SIDE = 900
"""A smaller photograph is enlarged to about this longest side, so that numbers can be read."""

_INK, _PAPER = np.array([20, 20, 20], np.uint8), np.array([255, 255, 255], np.uint8)
_BITMAPS = (
    "01110100011001110101110011000101110",
    "00100011000010000100001000010001110",
    "01110100010000100010001000100011111",
    "11110000010000101110000010000111110",
    "00010001100101010010111110001000010",
    "11111100001111000001000011000101110",
    "00110010001000011110100011000101110",
    "11111000010001000100010000100001000",
    "01110100011000101110100011000101110",
    "01110100011000101111000010001001100",
)
"""The figures 0 … 9, five dots wide and seven high, row by row: no font is needed."""


def labelled_picture(codes: Codes, reading: Reading) -> NDArray[np.uint8]:
    """Draw what was found on a copy of the photograph.

    Parameters
    ----------
    codes
        The photograph that was read.

    Returns
    -------
    ndarray of uint8
        sRGB codes, at the scale of ``reading.labels`` or a whole number of times larger, shape (rows, columns, 3).
    """
    times = max(1, -(-SHORTEST_SIDE // max(reading.labels.shape)))
    step = max(1, reading.step // times)
    grow = max(1, step * times // reading.step)
    labels = _enlarged(reading.labels.astype(np.int64), times)
    picture = _fitted(_enlarged(codes_from_linear(reduced_light(codes, step)), grow), labels.shape)
    _outline(picture, labels, max(1, max(labels.shape) // 700))
    for patch in reading.patches:
        _tag(picture, patch, times / reading.step)
    return picture
