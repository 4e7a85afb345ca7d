"""The only reader of image files: bytes in, sRGB codes out."""

import hashlib
import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import ceil
from typing import NamedTuple

from PIL import Image, ImageCms, UnidentifiedImageError

from convert.image.choices import PictureChoices
from convert.image.colour_profile import Codes, Pixels, find_conversion, read_pixels
from shared.errors import BadFileError

ALL = slice(None)

SMALLEST_SIDE = 2
"""A picture must have this many pixels a side to show anything."""

FORMATS = ("PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP", "PPM", "TGA", "JPEG2000")
"""Only these are opened: Pillow knows others that run a further program on the file."""

WHOLE_PERCENT = {"WEBP": 40, "JPEG2000": 25}
"""Formats whose decoders hold several copies, 16 to 24 bytes a pixel where others hold 4: this share of the limit on
pixels holds for them, so that a picture within it takes no more memory than of others."""

_ROWS_AT_ONCE = 64
_PIXEL_BYTES = {"1": 1, "L": 1, "P": 1, "I;16": 2, "I;16B": 2, "I;16L": 2}
_ORIENTATION_TAG, _WIDTH_TAG, _HEIGHT_TAG = 0x0112, 0x0100, 0x0101
_PNG_ORIENTATION_CHUNKS = (b"eXIf", b"Raw profile type exif", b"XML:com.adobe.xmp")
_UNREADABLE = (OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError, RuntimeError)
_DAMAGED = (*_UNREADABLE, MemoryError, AttributeError, AssertionError, struct.error, zlib.error)


@dataclass(frozen=True)
class Source:
    """An image file: what it is called in errors, and its bytes."""

    name: str
    data: bytes = field(repr=False)

    @cached_property
    def sha256(self) -> str:
        """The hash of the bytes, in hexadecimal."""
        return hashlib.sha256(self.data).hexdigest()

    @property
    def digest(self) -> tuple[str, str]:
        """What it is known by: its name, which notices tell, and what it holds."""
        return self.name, self.sha256


class Header(NamedTuple):
    """What is known of an image before its pixels are read."""

    width: int
    """Pixels across, as one sees it (orientation applied)."""
    height: int
    """Pixels down."""


class Orientation(NamedTuple):
    """How stored pixels are brought upright: rows for columns first, then what is mirrored."""

    swapped: bool = False
    across: bool = False
    down: bool = False

    def turn(self, turn: int, *, mirror: bool) -> "Orientation":
        """Return it followed by a turn clockwise by ``turn`` degrees, then a mirror if asked."""
        swapped, across, down = self
        for _ in range(turn // 90):
            swapped, across, down = not swapped, not down, across
        return Orientation(swapped, across != mirror, down)


_ORIENTATIONS = {
    number: Orientation(number > 4, number in {2, 3, 6, 7}, number in {3, 4, 7, 8}) for number in range(1, 9)
}
"""By the values of their tag. Source: Exif 2.32, 4.6.4, tag 274."""


@dataclass(frozen=True, eq=False)
class Decoded:
    """The pixels of an image, upright. They are held once, as they were decoded, and brought to codes part by part.

    Parameters
    ----------
    image
        Loaded by Pillow, as it is stored.
    orientation
        What brings it upright.
    transform
        See `convert.image.colour_profile.Conversion`.
    notices
        What a person should know of how it was read.
    """

    image: Image.Image = field(repr=False)
    orientation: Orientation
    transform: ImageCms.ImageCmsTransform | None
    notices: tuple[str, ...]

    @property
    def header(self) -> Header:
        """Pixels across and down, as one sees it."""
        width, height = self.image.im.size
        return Header(height, width) if self.orientation.swapped else Header(width, height)

    @property
    def nbytes(self) -> int:
        """Bytes that the pixels take: Pillow holds those of more than one channel in four."""
        width, height = self.image.im.size
        return int(width * height) * _PIXEL_BYTES.get(self.image.mode, 4)

    def turn(self, turn: int, *, mirror: bool) -> "Decoded":
        """Return it turned clockwise by ``turn`` degrees, then mirrored if asked; nothing is copied."""
        return replace(self, orientation=self.orientation.turn(turn, mirror=mirror))

    def pixels(self, rows: slice = ALL, columns: slice = ALL) -> Pixels:
        """Return some rows and columns; slices may have steps."""
        swapped, across, down = self.orientation
        lines = _find_stored(rows, self.header.height, flipped=down)
        places = _find_stored(columns, self.header.width, flipped=across)
        part = _part(self.image, lines, places) if swapped else _part(self.image, places, lines)
        codes, alpha = read_pixels(part, self.transform)
        return Pixels(self._upright(codes), None if alpha is None else self._upright(alpha))

    def _upright(self, codes: Codes) -> Codes:
        swapped, across, down = self.orientation
        turned = codes.swapaxes(0, 1) if swapped else codes
        turned = turned[:: -1 if down else 1, :: -1 if across else 1]
        return turned.copy() if swapped else turned  # in rows again, as all that follows goes along them


def _find_stored(taken: slice, side: int, *, flipped: bool) -> range:
    """Return where places lie, rising, on a side that may be mirrored."""
    places = range(side)[taken]
    return range(side - 1 - places[-1], side - places[0], places.step) if flipped else places


def _part(image: Image.Image, across: range, down: range) -> Image.Image:
    """Copy pixels out of an image: only these, for one of Pillow's own copies of a large picture is as large again."""
    if across.step == down.step == 1:
        with _pillow_limit(None):
            return image.crop((across[0], down[0], across[-1] + 1, down[-1] + 1))
    # Sampled in the middle of each step, which is the middle of the pixel wanted.
    left, top = across[0] + (1 - across.step) / 2, down[0] + (1 - down.step) / 2
    box = (left, top, left + len(across) * across.step, top + len(down) * down.step)
    return image.transform((len(across), len(down)), Image.Transform.EXTENT, box, Image.Resampling.NEAREST)


def read_header(source: Source, *, max_pixels: int) -> Header:
    """Read the size of an image, and refuse it if it is none, or too large or too small.

    Raises
    ------
    BadFileError
        In each of these cases.
    """
    with _open(source, max_pixels) as image, _tell_damage(source.name):
        turned = _is_quarter_turned(image, source.data)
        width, height = _read_stored_size(image)
    return Header(height, width) if turned else Header(width, height)


def decode(source: Source, *, max_pixels: int, managed: bool = True) -> Decoded:
    """Read the pixels of an image, first frame only.

    Parameters
    ----------
    source
        An image.
    max_pixels
        More are refused before any is read.
    managed
        Whether codes are colours, to be brought to sRGB by an embedded profile, or plain numbers.

    Raises
    ------
    BadFileError
        As `read_header`, and when the file is damaged or of a kind that cannot be read.
    """
    with _open(source, max_pixels) as image:
        with _tell_damage(source.name):
            frames = getattr(image, "n_frames", 1)
            # Taken out, as a TIFF is turned by Pillow itself while it is loaded, which holds it twice.
            orientation = _ORIENTATIONS.get(image.getexif().pop(_ORIENTATION_TAG, 1), Orientation())
            image.load()
        conversion = find_conversion(image, source.name, managed=managed)
    frames_told = (f"{source.name} has {frames} frames; the first was taken",) if frames > 1 else ()
    decoded = Decoded(image, orientation, conversion.transform, frames_told + conversion.notices)
    if not _shows_anything(decoded):
        raise BadFileError("is wholly transparent; give a picture with something to see", where=[source.name])
    return decoded


def read_size(choices: PictureChoices, source: Source) -> Header:
    """Read how large a picture is, which is all that the layout needs of it; errors as in `read_header`."""
    return read_header(source, max_pixels=choices.max_pixels)


def decode_picture(choices: PictureChoices, source: Source) -> Decoded:
    """Read a picture, in colours; errors as in `decode`."""
    return decode(source, max_pixels=choices.max_pixels)


def decode_heights(choices: PictureChoices, source: Source | None) -> Decoded | None:
    """Read a height map, whose codes are plain numbers; None for none. Errors as in `decode`."""
    return None if source is None else decode(source, max_pixels=choices.max_pixels, managed=False)


def _shows_anything(decoded: Decoded) -> bool:
    height = decoded.header.height
    parts = (decoded.pixels(slice(top, top + _ROWS_AT_ONCE)).alpha for top in range(0, height, _ROWS_AT_ONCE))
    return any(alpha is None or alpha.any() for alpha in parts)


def _check_size(image: Image.Image, max_pixels: int, name: str) -> None:
    """Refuse what would take more memory than the limit on pixels promises, or shows nothing."""
    width, height = _read_stored_size(image)
    pixels, percent = width * height, WHOLE_PERCENT.get(image.format or "", 100)
    if pixels > max_pixels:
        raise BadFileError(
            f"has {width} x {height} pixels, over the limit of {max_pixels:,}; "
            "make it smaller, or raise the limit with --max-pixels",
            where=[name],
        )
    if pixels * 100 > max_pixels * percent:
        enough = ceil(pixels / percent / 10_000)
        raise BadFileError(
            f"has {width} x {height} pixels, over {max_pixels * percent // 100:,}, the limit for "
            f"a {image.format_description}, which takes several times the memory; save it as PNG, JPEG or TIFF, or "
            f"raise the limit with --max-pixels {enough}M, for more memory",
            where=[name],
        )
    if min(width, height) < SMALLEST_SIDE:
        raise BadFileError(f"has only {width} x {height} pixels; give a larger picture", where=[name])


@contextmanager
def _open(source: Source, max_pixels: int) -> Iterator[Image.Image]:
    """Open an image that is neither too large nor too small.

    Pillow's own size limit is off, as ours is checked instead, and its warnings are kept quiet. Of a GIF it must know
    ours: its first frame, which may be larger than the picture, is made room for at once.
    """
    if not source.data:
        raise BadFileError("is empty; give a picture", where=[source.name])
    is_gif = source.data.startswith(b"GIF8")
    with _pillow_limit(max_pixels if is_gif else None), warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with _recognise(source) as image:
            _check_size(image, max_pixels, source.name)
            yield image


@contextmanager
def _pillow_limit(pixels: int | None) -> Iterator[None]:
    """Put another limit in place of Pillow's own, which is one for the whole process."""
    before, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, pixels
    try:
        yield
    finally:
        Image.MAX_IMAGE_PIXELS = before


@contextmanager
def _tell_damage(name: str) -> Iterator[None]:
    try:
        yield
    except MemoryError as error:
        raise BadFileError("is damaged, or takes more memory than there is; make it smaller", where=[name]) from error
    except _DAMAGED as error:
        raise BadFileError(f"is damaged or cut short ({error}); save or copy it anew", where=[name]) from error


def _read_stored_size(image: Image.Image) -> tuple[int, int]:
    """Return width and height before orientation: of a TIFF, newer releases of Pillow give those after it."""
    tags = getattr(image, "tag_v2", None)
    return image.size if tags is None else (int(tags[_WIDTH_TAG]), int(tags[_HEIGHT_TAG]))


def _is_quarter_turned(image: Image.Image, data: bytes) -> bool:
    """Return whether width and height swap. Pillow reads all of a PNG to answer, so ask only where it may be said."""
    if image.format == "PNG" and not any(chunk in data for chunk in _PNG_ORIENTATION_CHUNKS):
        return False
    return _ORIENTATIONS.get(image.getexif().get(_ORIENTATION_TAG, 1), Orientation()).swapped


def _recognise(source: Source) -> Image.Image:
    try:
        return Image.open(io.BytesIO(source.data), formats=FORMATS)
    except UnidentifiedImageError as error:
        raise BadFileError(
            "is no picture that can be read; give a PNG, JPEG, TIFF, WebP or GIF", where=[source.name]
        ) from error
    except Image.DecompressionBombError as error:
        raise BadFileError(
            "has a frame of far more pixels than the limit; make it smaller, or raise the limit with --max-pixels",
            where=[source.name],
        ) from error
    except _DAMAGED as error:
        raise BadFileError(f"is damaged ({error}); save or copy it anew", where=[source.name]) from error
