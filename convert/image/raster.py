"""Pictures and height maps as the resampler reads them: band by band, as numbers that may be averaged."""

from dataclasses import dataclass
from typing import Protocol, TypeVar, cast

import numpy as np
from numpy.typing import NDArray

from convert.image.colour_profile import Codes
from convert.image.decode import Decoded
from convert.image.shrink import linear_of_codes

Floats32 = NDArray[np.float32]
Pixels = TypeVar("Pixels", bound=NDArray[np.generic])


_ALIKE = {np.dtype(np.uint8): 0, np.dtype(np.uint16): 1}
"""How far codes of one grey may lie apart: colours in 16 bits are means, each rounded."""


Place = tuple[float, float, float, float]
ALL: Place = (0, 0, 1, 1)


class Raster(Protocol):
    """Pixels whose values may be averaged over an area."""

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        ...

    @property
    def place(self) -> Place:
        """Where it lies on the picture: left, top, right and bottom as shares of the picture's width and height."""
        ...

    def band(self, top: int, bottom: int) -> Floats32:
        """Return the pixel rows from ``top`` up to before ``bottom``, shape (rows, width, channels)."""
        ...

    def of_lines(self, lines: NDArray[np.int64]) -> "Raster":
        """Return these pixel rows, in this order."""
        ...

    def between(self, left: int, right: int) -> "Raster":
        """Return the pixel columns from ``left`` up to before ``right``."""
        ...


@dataclass(frozen=True, eq=False)
class ArrayRaster:
    """Numbers that may be averaged as they are, shape (height, width, channels)."""

    values: Floats32
    place: Place = ALL

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        return self.values.shape[0], self.values.shape[1]

    def band(self, top: int, bottom: int) -> Floats32:
        """Return the pixel rows from ``top`` up to before ``bottom``."""
        return self.values[top:bottom]

    def of_lines(self, lines: NDArray[np.int64]) -> "ArrayRaster":
        """Return these pixel rows, in this order."""
        return ArrayRaster(self.values[lines])

    def between(self, left: int, right: int) -> "ArrayRaster":
        """Return the pixel columns from ``left`` up to before ``right``."""
        return ArrayRaster(self.values[:, left:right])


@dataclass(frozen=True, eq=False)
class Picture:
    """A picture in linear light over a ground colour, decoded a band at a time to spare memory.

    Parameters
    ----------
    codes
        sRGB codes, shape (height, width, 3) or (height, width, 1) for grey.
    alpha
        Opacity in the same depth, shape (height, width), or None.
    ground
        Linear sRGB behind transparent parts, shape (3,).
    place
        See `Raster`.
    """

    codes: Codes
    alpha: Codes | None
    ground: NDArray[np.float64]
    place: Place = ALL

    @property
    def shape(self) -> tuple[int, int]:
        """Pixels down and across."""
        return self.codes.shape[0], self.codes.shape[1]

    def band(self, top: int, bottom: int) -> Floats32:
        """Return pixel rows in linear light, shape (rows, width, 3)."""
        codes = self.codes[top:bottom]
        linear = np.broadcast_to(linear_of_codes(codes.dtype)[codes], (*codes.shape[:2], 3))
        if self.alpha is None:
            return linear
        opacity = _share(self.alpha[top:bottom])[..., None]
        return opacity * linear + (1 - opacity) * self.ground.astype(np.float32)

    def of_lines(self, lines: NDArray[np.int64]) -> "Picture":
        """Return these pixel rows, in this order."""
        return Picture(self.codes[lines], None if self.alpha is None else self.alpha[lines], self.ground)

    def between(self, left: int, right: int) -> "Picture":
        """Return the pixel columns from ``left`` up to before ``right``."""
        alpha = None if self.alpha is None else self.alpha[:, left:right]
        return Picture(self.codes[:, left:right], alpha, self.ground)


def picture_from(
    decoded: Decoded, *, turn: int, mirror: bool, ground: NDArray[np.float64], place: Place = ALL
) -> Picture:
    """Return a decoded image as a picture, turned clockwise by ``turn`` degrees, then mirrored if asked."""
    alpha = None if decoded.alpha is None else _oriented(decoded.alpha, turn, mirror=mirror)
    return Picture(_oriented(decoded.codes, turn, mirror=mirror), alpha, ground, place)


def heights_from(
    decoded: Decoded, *, turn: int, mirror: bool, invert: bool, place: Place = ALL
) -> tuple[ArrayRaster, bool]:
    """Return a decoded image as heights 0 (flat) … 1 (highest), and whether it had colours.

    Codes are heights as they are, without decoding to light; of colours the mean of the channels is taken,
    and transparent parts are flat.
    """
    coloured = decoded.codes.shape[2] > 1 and bool((np.ptp(decoded.codes, axis=2) > _ALIKE[decoded.codes.dtype]).any())
    heights = _share(decoded.codes).mean(axis=2, dtype=np.float32) if coloured else _share(decoded.codes[..., 0])
    if invert:
        heights = 1 - heights
    if decoded.alpha is not None:
        heights = heights * _share(decoded.alpha)
    return ArrayRaster(_oriented(heights, turn, mirror=mirror)[..., None], place), coloured


def _oriented(pixels: Pixels, turn: int, *, mirror: bool) -> Pixels:
    turned = np.rot90(pixels, -turn // 90)
    return cast("Pixels", turned[:, ::-1] if mirror else turned)


def _share(codes: Codes) -> Floats32:
    return codes.astype(np.float32) / np.float32(np.iinfo(codes.dtype).max)
