"""The pixel rows of an image file, a band at a time: where they stand in it as they are, without decoding it whole."""

from collections.abc import Callable
from itertools import pairwise
from typing import Any, NamedTuple

from PIL import Image

Rows = Callable[[int, int], Image.Image]
"""Returns the pixel rows from one up to before another; raises ValueError where the file ends before."""

_NAMES = {
    1: ("L",),
    2: ("LA", "I;16", "I;16B"),
    3: ("RGB", "BGR", "LAB"),
    4: ("RGBA", "RGBX", "BGRA", "BGRX", "CMYK", "I;32N", "I;32S", "I;32BS"),
    6: ("RGB;16L", "RGB;16B"),
    8: ("RGBA;16L", "RGBA;16B", "CMYK;16L", "CMYK;16B"),
}
_PIXEL_BYTES = {name: count for count, names in _NAMES.items() for name in names}
"""Bytes to a pixel in a file, by Pillow's names for ways of writing them; others are decoded whole."""


class _Direction(NamedTuple):
    """How pixels stand in a file."""

    name: str
    """See `_PIXEL_BYTES`."""
    row_bytes: int
    """From the start of a pixel row to that of the next."""
    step: int
    """-1 where the lowest row comes first."""


def rows_of(image: Image.Image, data: bytes, size: tuple[int, int]) -> Rows:
    """Return what reads bands of an image that is opened but not loaded; it is loaded if there is no other way.

    Parameters
    ----------
    image
        Opened by Pillow.
    data
        Its file.
    size
        Pixels across and down as they are stored.
    """
    rows = _stored_rows(image, data, size)
    if rows is not None:
        return rows
    image.load()
    return lambda top, bottom: image.crop((0, top, size[0], bottom))


def _stored_rows(image: Image.Image, data: bytes, size: tuple[int, int]) -> Rows | None:
    """Read from the file; None unless its rows, not compressed, lie in strips one after another."""
    tiles: list[Any] = getattr(image, "tile", [])
    directions = {_direction(args, size[0]) if codec == "raw" else None for codec, _, _, args in tiles}
    direction = directions.pop() if len(directions) == 1 else None
    edges = [0, *(extents[3] for _, extents, _, _ in tiles)]
    follow = all(tile[1][:3] == (0, top, size[0]) for tile, top in zip(tiles, edges, strict=False))
    if direction is None or not follow or edges[-1] != size[1]:
        return None
    strips = [(top, bottom, tile[2]) for tile, (top, bottom) in zip(tiles, pairwise(edges), strict=True)]

    def rows(top: int, bottom: int) -> Image.Image:
        first, last = (top, bottom) if direction.step > 0 else (size[1] - bottom, size[1] - top)
        parts = [
            data[
                offset + (max(first, start) - start) * direction.row_bytes : offset
                + (min(last, end) - start) * direction.row_bytes
            ]
            for start, end, offset in strips
            if start < last and first < end
        ]
        band = Image.frombytes(image.mode, (size[0], bottom - top), b"".join(parts), "raw", *direction)
        band.info = dict(image.info)
        return band

    return rows


def _direction(args: Any, width: int) -> _Direction | None:
    """Make one of what Pillow passes to its decoder of raw pixels; None if it is not known here."""
    name, row_bytes, step = (*((args,) if isinstance(args, str) else args), 0, 1)[:3]
    least = width * _PIXEL_BYTES.get(name, 0)
    direction = _Direction(name, row_bytes or least, step)
    return direction if least and direction.row_bytes >= least and step in {1, -1} else None
