"""The only reader of image files: bytes in, arrays of sRGB codes out."""

import hashlib
import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil
from typing import Any, NamedTuple, TypeVar, cast

from numpy.typing import NDArray
from PIL import Image, ImageOps, UnidentifiedImageError

from convert.image.bands import rows_of
from convert.image.choices import PictureChoices
from convert.image.colour_profile import Codes, codes_of
from convert.image.cut import Cut, Span
from convert.image.shrink import shrunk
from shared.errors import BadFileError

Pixels = TypeVar("Pixels", bound=NDArray[Any])

SMALLEST_SIDE = 2
"""A picture must have this many pixels a side to show anything."""

FORMATS = ("PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP", "PPM", "TGA", "JPEG2000")
"""Only these are opened: Pillow knows others that run a further program on the file."""

MOST_WHOLE = 25_000_000
"""A picture of more pixels is read in bands where it may be reduced, so that it is held once and no more."""

WHOLE_PERCENT = {"WEBP": 40, "JPEG2000": 25}
"""Formats that are decoded in one piece and in several copies, 16 to 24 bytes a pixel: so much of the limit on pixels
holds for them, that a picture within it takes no more memory than of others."""

MOST_PROGRESSIVE = 60_000_000
"""A progressive JPEG of more pixels is reduced as it is decoded, since its decoder holds all its coefficients."""

_REDUCED = (
    "is so large a progressive JPEG that it was made smaller while it was decoded; where colours meet sharply a bead "
    "may be a little off: for exact colours save it as PNG, or as a JPEG that is not progressive"
)
_QUARTER_TURN_ORIENTATIONS = range(5, 9)
_FLIPPED_ACROSS, _FLIPPED_DOWN = {2, 3, 6, 7}, {3, 4, 7, 8}
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


class Decoded(NamedTuple):
    """The pixels of an image."""

    codes: Codes
    """sRGB codes, shape (height, width, 3), or grey codes (height, width, 1); 0 … 255, or 0 … 65535 for uint16."""
    alpha: Codes | None
    """Opacity in the same depth, shape (height, width); None where all is opaque."""
    notices: tuple[str, ...]
    """What a person should know of how it was read."""
    cut: bool = False
    """Whether they are means over the rectangles that were asked for."""


def read_header(source: Source, *, max_pixels: int) -> Header:
    """Read the size of an image, and refuse it if it is none, or too large or too small.

    Raises
    ------
    BadFileError
        In each of these cases.
    """
    with _opened(source, gif_pixels=max_pixels) as image:
        width, height = _stored_size(image)
        if width * height > max_pixels:
            raise BadFileError(
                f"has {width} x {height} pixels, over the limit of {max_pixels:,}; "
                "make it smaller, or raise the limit with --max-pixels",
                where=[source.name],
            )
        _check_whole(image, width * height, max_pixels, source.name)
        if min(width, height) < SMALLEST_SIDE:
            raise BadFileError(f"has only {width} x {height} pixels; give a larger picture", where=[source.name])
        with _damage_told(source.name):
            turned = _quarter_turned(image, source.data)
    return Header(height, width) if turned else Header(width, height)


def _check_whole(image: Image.Image, pixels: int, max_pixels: int, name: str) -> None:
    """Refuse what would take more memory than the limit on pixels promises."""
    percent = WHOLE_PERCENT.get(image.format or "", 100)
    if pixels * 100 <= max_pixels * percent:
        return
    enough = ceil(pixels / percent / 10_000)
    raise BadFileError(
        f"has {image.width} x {image.height} pixels, over {max_pixels * percent // 100:,}, the limit for "
        f"a {image.format_description}, which can only be decoded whole; save it as PNG, JPEG or TIFF, or raise the "
        f"limit with --max-pixels {enough}M, for more memory",
        where=[name],
    )


def decode(source: Source, *, reduction: int = 1, cut: Cut | None = None, managed: bool = True) -> Decoded:
    """Read the pixels of an image as sRGB codes, upright, first frame only.

    Parameters
    ----------
    source
        An image for which `read_header` had no complaint.
    reduction
        1, 2, 4 or 8: how many pixels a side of a picture of more than `MOST_WHOLE` may be averaged into one while it
        is read: exactly, in light or, unless ``managed``, in plain numbers; only progressive JPEGs of more than
        `MOST_PROGRESSIVE` by their codes, which a notice tells.
    cut
        Over which rectangles, about as large, a picture is averaged that is averaged exactly; None for squares. If it
        does not take all of a picture of more than `MOST_WHOLE`, only that part is kept.
    managed
        Whether codes are colours, to be brought to sRGB by an embedded profile, or plain numbers.

    Raises
    ------
    BadFileError
        When the file is damaged or of a kind that cannot be read.
    """
    with _opened(source) as image:
        with _damage_told(source.name):
            frames = getattr(image, "n_frames", 1)
            reduced = _reduced_in_decoding(image, reduction)
            in_part = cut is not None and not cut.whole
            smaller = reduction > 1 or in_part
            large = smaller and image.width * image.height > MOST_WHOLE and not reduced
            if not large:
                image.load()
                ImageOps.exif_transpose(image, in_place=True)
        if not managed:
            image.info.pop("icc_profile", None)
        told = {f"has {frames} frames; the first was taken": frames > 1, _REDUCED: reduced}
        notices = tuple(f"{source.name} {words}" for words, so in told.items() if so)
        codes, alpha, more = (
            _shrunk(image, source, reduction, cut, light=managed) if large else codes_of(image, source.name)
        )
    if alpha is not None and not alpha.any() and not (large and in_part):
        raise BadFileError("is wholly transparent; give a picture with something to see", where=[source.name])
    return Decoded(codes, alpha, notices + more, cut=large and cut is not None)


def decode_picture(options: PictureChoices, source: Source) -> Decoded:
    """Read a picture, in colours; errors as in `decode`."""
    read_header(source, max_pixels=options.max_pixels)
    return decode(source)


def decode_heights(options: PictureChoices, source: Source | None) -> Decoded | None:
    """Read a height map, whose codes are plain numbers; None for none. Errors as in `decode`."""
    if source is None:
        return None
    read_header(source, max_pixels=options.max_pixels)
    return decode(source, managed=False)


def _reduced_in_decoding(image: Image.Image, reduction: int) -> bool:
    """Have a picture decoded smaller where it would take too much memory otherwise; tell whether that is done."""
    size = image.size
    if reduction > 1 and "progressive" in image.info and size[0] * size[1] > MOST_PROGRESSIVE:
        image.draft(None, (size[0] // reduction, size[1] // reduction))
    return image.size != size


def _shrunk(
    image: Image.Image, source: Source, reduction: int, cut: Cut | None, *, light: bool
) -> tuple[Codes, Codes | None, tuple[str, ...]]:
    """Bring any mode to codes as `codes_of` does, a band at a time, averaged over rectangles; upright."""
    notices: list[str] = []
    size = _stored_size(image)
    with _damage_told(source.name):
        # Taken out, as what Pillow itself turns it holds twice.
        orientation = image.getexif().pop(_ORIENTATION_TAG, 1)
        rows = rows_of(image, source.data, size)

    def band(top: int, bottom: int) -> tuple[Codes, Codes | None]:
        with _damage_told(source.name):
            part = rows(top, bottom)
        codes, alpha, told = codes_of(part, source.name)
        notices.extend(told)
        return codes, alpha

    squares = Cut(*(Span(0, 1, ceil(side / reduction)) for side in size))
    stored = _as_stored(cut, orientation) if cut else squares
    edges, ends = (span.lines * side for span, side in zip(stored, size, strict=True))
    codes, alpha = shrunk(band, edges, ends, light=light)
    upright = None if alpha is None else _upright(alpha, orientation)
    return _upright(codes, orientation), upright, tuple(dict.fromkeys(notices))


def _upright(pixels: Pixels, orientation: int) -> Pixels:
    """Turn pixels as their orientation says. Source: Exif 2.32, 4.6.4, tag 274."""
    if orientation >= _QUARTER_TURN_ORIENTATIONS.start:
        pixels = pixels.swapaxes(0, 1)
    across, down = orientation in _FLIPPED_ACROSS, orientation in _FLIPPED_DOWN
    return cast("Pixels", pixels[:: -1 if down else 1, :: -1 if across else 1])


def _as_stored(cut: Cut, orientation: int) -> Cut:
    """Turn a cut as `_upright` turns pixels, the other way."""
    cut = cut.flipped(across=orientation in _FLIPPED_ACROSS, down=orientation in _FLIPPED_DOWN)
    return cut.swapped() if orientation >= _QUARTER_TURN_ORIENTATIONS.start else cut


@contextmanager
def _opened(source: Source, *, gif_pixels: int | None = None) -> Iterator[Image.Image]:
    """Open an image with Pillow's own size limit off (ours is checked instead) and its warnings kept quiet.

    Of a GIF it must know ours: its first frame, which may be larger than the picture, is made room for at once.
    """
    if not source.data:
        raise BadFileError("is empty; give a picture", where=[source.name])
    is_gif = source.data.startswith(b"GIF8")
    limit, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, gif_pixels if is_gif else None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with _recognised(source) as image:
                yield image
    finally:
        Image.MAX_IMAGE_PIXELS = limit


@contextmanager
def _damage_told(name: str) -> Iterator[None]:
    try:
        yield
    except MemoryError as error:
        raise BadFileError("is damaged, or takes more memory than there is; make it smaller", where=[name]) from error
    except _DAMAGED as error:
        raise BadFileError(f"is damaged or cut short ({error}); save or copy it anew", where=[name]) from error


def _stored_size(image: Image.Image) -> tuple[int, int]:
    """Return width and height before orientation: of a TIFF, newer releases of Pillow give those after it."""
    tags = getattr(image, "tag_v2", None)
    return image.size if tags is None else (int(tags[_WIDTH_TAG]), int(tags[_HEIGHT_TAG]))


def _quarter_turned(image: Image.Image, data: bytes) -> bool:
    """Tell whether width and height swap. Pillow reads all of a PNG to answer, so ask only where it may be said."""
    if image.format == "PNG" and not any(chunk in data for chunk in _PNG_ORIENTATION_CHUNKS):
        return False
    return image.getexif().get(_ORIENTATION_TAG) in _QUARTER_TURN_ORIENTATIONS


def _recognised(source: Source) -> Image.Image:
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
