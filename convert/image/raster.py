"""Pictures and height maps as they are averaged: strip by strip, as numbers that may be averaged."""

from dataclasses import dataclass, replace
from functools import cache
from typing import Protocol, Self, cast

import numpy as np
from numpy.typing import NDArray

from convert.image.colour_profile import Codes, Pixels
from convert.image.decode import ALL, Decoded
from shared.colour import linear_from_srgb

Floats32 = NDArray[np.float32]
Ints = NDArray[np.int64]

_ROWS_AT_ONCE = 64


class Raster(Protocol):
    """Pixels whose values may be averaged over an area."""

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        ...

    def band(self, rows: slice, columns: slice = ALL) -> Floats32:
        """Return these pixels, shape (rows, columns, channels)."""
        ...

    def of_lines(self, lines: Ints) -> Self:
        """Return these pixel rows, in this order."""
        ...


@dataclass(frozen=True, eq=False)
class ArrayRaster:
    """Numbers that may be averaged as they are, shape (height, width, channels)."""

    values: Floats32

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        return self.values.shape[0], self.values.shape[1]

    def band(self, rows: slice, columns: slice = ALL) -> Floats32:
        """Return these pixels."""
        return self.values[rows, columns]

    def of_lines(self, lines: Ints) -> Self:
        """Return these pixel rows, in this order."""
        return replace(self, values=self.values[lines])


@dataclass(frozen=True, eq=False, kw_only=True)
class _Seen:
    """A decoded image, turned and mirrored as the work needs it.

    Parameters
    ----------
    decoded
        The image.
    lines
        Which of its pixel rows are taken, in which order; None for all as they are.
    """

    decoded: Decoded
    lines: Ints | None = None

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        width, height = self.decoded.header
        return height if self.lines is None else len(self.lines), width

    def of_lines(self, lines: Ints) -> Self:
        """Return these pixel rows, in this order."""
        return replace(self, lines=lines if self.lines is None else self.lines[lines])

    def pixels(self, rows: slice = ALL, columns: slice = ALL) -> Pixels:
        """Return the codes of these pixels; slices may have steps."""
        if self.lines is None:
            return self.decoded.pixels(rows, columns)
        lines, step = self.lines[rows], rows.step or 1
        runs = np.split(lines, np.flatnonzero(np.diff(lines) != step) + 1)
        parts = [self.decoded.pixels(slice(run[0], run[-1] + 1, step), columns) for run in runs]
        alphas = [part.alpha for part in parts if part.alpha is not None]
        return Pixels(
            _one_below_another([part.codes for part in parts]), _one_below_another(alphas) if alphas else None
        )


@dataclass(frozen=True, eq=False, kw_only=True)
class Picture(_Seen):
    """A picture in linear light over a ground colour.

    Parameters
    ----------
    ground
        Linear sRGB behind transparent parts, shape (3,).
    """

    ground: NDArray[np.float64]

    def band(self, rows: slice, columns: slice = ALL) -> Floats32:
        """Return pixels in linear light, shape (rows, columns, 3)."""
        codes, alpha = self.pixels(rows, columns)
        linear = np.broadcast_to(linear_of_codes(codes.dtype)[codes], (*codes.shape[:2], 3))
        if alpha is None:
            return linear
        opacity = _share(alpha)[..., None]
        return opacity * linear + (1 - opacity) * self.ground.astype(np.float32)


@dataclass(frozen=True, eq=False, kw_only=True)
class HeightField(_Seen):
    """A height map as heights 0 (flat) … 1 (highest).

    Codes are heights as they are, without decoding to light; of colours the mean of the channels is taken, and
    transparent parts are flat.

    Parameters
    ----------
    coloured
        Whether it has colours.
    invert
        Whether black is highest.
    """

    coloured: bool
    invert: bool

    def band(self, rows: slice, columns: slice = ALL) -> Floats32:
        """Return heights, shape (rows, columns, 1)."""
        codes, alpha = self.pixels(rows, columns)
        heights = _share(codes).mean(axis=2, dtype=np.float32) if self.coloured else _share(codes[..., 0])
        if self.invert:
            heights = 1 - heights
        if alpha is not None:
            heights = heights * _share(alpha)
        return heights[..., None]


def picture_from(decoded: Decoded, *, turn: int, mirror: bool, ground: NDArray[np.float64]) -> Picture:
    """Return a decoded image as a picture, turned clockwise by ``turn`` degrees, then mirrored if asked."""
    return Picture(decoded=decoded.turn(turn, mirror=mirror), ground=ground)


def heights_from(decoded: Decoded, *, turn: int, mirror: bool, invert: bool) -> HeightField:
    """Return a decoded image as heights, turned clockwise by ``turn`` degrees, then mirrored if asked."""
    seen = decoded.turn(turn, mirror=mirror)
    return HeightField(decoded=seen, coloured=_has_colours(decoded), invert=invert)


@cache
def linear_of_codes(depth: np.dtype[np.unsignedinteger]) -> Floats32:
    """Return the linear light of each sRGB code of 8 or 16 bits."""
    codes = np.arange(np.iinfo(depth).max + 1)
    return linear_from_srgb(codes / codes[-1]).astype(np.float32)


def _has_colours(decoded: Decoded) -> bool:
    """Return whether the channels of any pixel differ; of most pictures with colours a few rows tell."""
    rows = (slice(top, top + _ROWS_AT_ONCE) for top in range(0, decoded.header.height, _ROWS_AT_ONCE))
    return any((codes[..., 1:] != codes[..., :1]).any() for codes, _ in map(decoded.pixels, rows))


def _one_below_another(parts: list[Codes]) -> Codes:
    return cast("Codes", np.concatenate(parts))


def _share(codes: Codes) -> Floats32:
    return codes.astype(np.float32) / np.float32(np.iinfo(codes.dtype).max)
