"""A picture for checking: the photograph with each patch outlined, numbered and its colour next to the number."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from palettes.photo.copies import Codes, mean_light
from palettes.photo.patches import Patch, PhotoReading
from shared.arrays import Bools
from shared.colour import codes_from_hex, codes_from_linear

Picture = NDArray[np.uint8]

LEAST_SIDE = 900
"""A smaller picture is enlarged until its longest side has this many pixels, so that numbers can be read."""

_INK, _PAPER = np.array([20, 20, 20], np.uint8), np.array([255, 255, 255], np.uint8)
_DIGITS = (
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
"""The figures 0 … 9, five dots wide and seven high, row by row: so no font is needed."""


def labelled_picture(codes: Codes, reading: PhotoReading) -> Picture:
    """Draw what was found on a copy of the photograph.

    Parameters
    ----------
    codes
        The photograph that was read.

    Returns
    -------
    ndarray of uint8
        sRGB codes, shape (rows, columns, 3).
    """
    times = -(-LEAST_SIDE // max(reading.labels.shape))
    seen = codes_from_linear(mean_light(codes, reading.step))
    picture = _enlarged(seen, times)
    labels = _enlarged(reading.labels, times)
    _outline(picture, labels, max(1, max(labels.shape) // 900))
    for patch in reading.patches:
        _tag(picture, patch, times / reading.step, max(2, max(labels.shape) // 450))
    return picture


def _enlarged(values: NDArray[Any], times: int) -> NDArray[Any]:
    return np.repeat(np.repeat(values, times, axis=0), times, axis=1)


def _outline(picture: Picture, labels: NDArray[np.uint16], width: int) -> None:
    """Draw a dark line inside each patch and a light one round it: one of them shows on any colour."""
    for colour, near in ((_PAPER, 2 * width), (_INK, width)):
        picture[_near_edge(labels, near)] = colour


def _near_edge(labels: NDArray[np.uint16], reach: int) -> Bools:
    """Return where another label lies within ``reach`` pixels to the right or below, or to the left or above."""
    edge = np.zeros(labels.shape, dtype=bool)
    for away in range(1, reach + 1):
        for one, other in ((np.s_[:, :-away], np.s_[:, away:]), (np.s_[:-away], np.s_[away:])):
            unlike = labels[one] != labels[other]
            edge[one] |= unlike
            edge[other] |= unlike
    return edge


def _tag(picture: Picture, patch: Patch, scale: float, dot: int) -> None:
    """Put a patch's number, and its colour under it, at the middle of its box."""
    figure = _enlarged(_number(patch.number), dot)
    tag = np.where(figure[..., None], _INK, _PAPER)
    swatch = np.full((4 * dot, tag.shape[1], 3), codes_from_hex(patch.hex), np.uint8)
    tag = np.concatenate([tag, swatch, np.broadcast_to(_PAPER, (dot, tag.shape[1], 3))])
    box = patch.box
    middle = (box.y + box.height / 2) * scale, (box.x + box.width / 2) * scale
    top, left = (
        int(np.clip(round(at - side / 2), 0, max(0, whole - side)))
        for at, side, whole in zip(middle, tag.shape[:2], picture.shape[:2], strict=True)
    )
    place = picture[top : top + tag.shape[0], left : left + tag.shape[1]]
    place[:] = tag[: place.shape[0], : place.shape[1]]


def _number(number: int) -> Bools:
    """Return a number in dots, with a dot of margin all round."""
    figures = [np.array([int(dot) for dot in _DIGITS[int(digit)]], dtype=bool).reshape(7, 5) for digit in str(number)]
    return np.pad(np.concatenate([np.pad(figure, ((0, 0), (0, 1))) for figure in figures], axis=1), ((1, 1), (1, 0)))
