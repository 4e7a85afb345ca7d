"""The only reader of image files: bytes in, arrays of sRGB codes out."""

import io
import struct
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar, cast

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from convert.shrink import shrunk
from shared.errors import BadFileError

Codes = NDArray[np.uint8] | NDArray[np.uint16]
Pixels = TypeVar("Pixels", bound=NDArray[Any])

SMALLEST_SIDE = 2
"""A picture must have this many pixels a side to show anything."""

FORMATS = ("PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP", "PPM", "TGA", "JPEG2000")
"""Only these are opened: Pillow knows others that run a further program on the file."""

MOST_WHOLE = 25_000_000
"""A picture of more pixels is read in bands where it may be reduced, so that it is held once and no more."""

_QUARTER_TURN_ORIENTATIONS = range(5, 9)
_ORIENTATION_TAG, _WIDTH_TAG, _HEIGHT_TAG = 0x0112, 0x0100, 0x0101
_PNG_ORIENTATION_CHUNKS = (b"eXIf", b"Raw profile type exif", b"XML:com.adobe.xmp")
_UNREADABLE = (OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError, RuntimeError)
_DAMAGED = (*_UNREADABLE, MemoryError, AttributeError, AssertionError, struct.error, zlib.error)


@dataclass(frozen=True)
class Source:
    """An image file: what it is called in errors, and its bytes."""

    name: str
    data: bytes = field(repr=False)


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
        if min(width, height) < SMALLEST_SIDE:
            raise BadFileError(f"has only {width} x {height} pixels; give a larger picture", where=[source.name])
        with _damage_told(source.name):
            turned = _quarter_turned(image, source.data)
    return Header(height, width) if turned else Header(width, height)


def decode(source: Source, *, reduction: int = 1, managed: bool = True) -> Decoded:
    """Read the pixels of an image as sRGB codes, upright, first frame only.

    Parameters
    ----------
    source
        An image for which `read_header` had no complaint.
    reduction
        1, 2, 4 or 8: how many pixels a side a JPEG, or any picture of more than `MOST_WHOLE`, may average into one
        while it is read: the latter exactly, in light or, unless ``managed``, in plain numbers.
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
            width, height = image.size
            if reduction > 1:
                image.draft(None, (image.width // reduction, image.height // reduction))
            image.load()
            large = reduction > 1 and width * height > MOST_WHOLE and image.size == (width, height)
            exif = image.getexif()
            if not large:
                ImageOps.exif_transpose(image, in_place=True)
        if not managed:
            image.info.pop("icc_profile", None)
        notices = () if frames == 1 else (f"{source.name} has {frames} frames; the first was taken",)
        if large:
            codes, alpha, more = _shrunk(image, source.name, reduction, light=managed)
            orientation = exif.get(_ORIENTATION_TAG, 1)
            codes, alpha = _upright(codes, orientation), None if alpha is None else _upright(alpha, orientation)
        else:
            codes, alpha, more = _codes(image, source.name)
    if alpha is not None and not alpha.any():
        raise BadFileError("is wholly transparent; give a picture with something to see", where=[source.name])
    return Decoded(codes, alpha, notices + more)


def _shrunk(
    image: Image.Image, name: str, reduction: int, *, light: bool
) -> tuple[Codes, Codes | None, tuple[str, ...]]:
    """Bring any mode to codes as `_codes` does, a band at a time, averaged over squares of pixels."""
    notices: list[str] = []

    def band(top: int, bottom: int) -> tuple[Codes, Codes | None]:
        codes, alpha, told = _codes(image.crop((0, top, image.width, bottom)), name)
        notices.extend(told)
        return codes, alpha

    smaller = -(-image.width // reduction), -(-image.height // reduction)
    codes, alpha = shrunk(band, image.size, smaller, light=light)
    return codes, alpha, tuple(dict.fromkeys(notices))


def _upright(pixels: Pixels, orientation: int) -> Pixels:
    """Turn pixels as their orientation says. Source: Exif 2.32, 4.6.4, tag 274."""
    if orientation >= _QUARTER_TURN_ORIENTATIONS.start:
        pixels = pixels.swapaxes(0, 1)
    across = orientation in {2, 3, 6, 7}
    down = orientation in {3, 4, 7, 8}
    return cast("Pixels", pixels[:: -1 if down else 1, :: -1 if across else 1])


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


def _codes(image: Image.Image, name: str) -> tuple[Codes, Codes | None, tuple[str, ...]]:
    """Bring any mode to grey or RGB codes with separate opacity."""
    if image.mode.startswith("I"):
        return _deep_grey(image, name)
    if image.mode == "F":
        raise BadFileError("holds floating point numbers; save it with 8 or 16 bits a channel", where=[name])
    alpha = None
    if image.has_transparency_data:
        colours = "L" if image.mode in {"L", "LA", "La"} else "RGB"
        profile = image.info.get("icc_profile")
        image = image.convert("RGBA")
        alpha = np.asarray(image.getchannel("A"))
        image = image.convert(colours)
        image.info["icc_profile"] = profile
    if image.mode in {"1", "P"}:
        image = image.convert("L" if image.mode == "1" else "RGB")
    image, notices = _in_srgb(image, name)
    codes = np.asarray(image)
    return codes.reshape(*codes.shape[:2], -1), alpha, notices


def _deep_grey(image: Image.Image, name: str) -> tuple[Codes, Codes | None, tuple[str, ...]]:
    """Read 16-bit grey as it is: Pillow's own conversion would clip it to white."""
    values = np.asarray(image)
    if values.min() < 0 or values.max() > 65535:
        raise BadFileError("has more than 16 bits a pixel; save it with 8 or 16", where=[name])
    grey = values.astype(np.uint16)
    clear = image.info.get("transparency")
    alpha = np.where(grey == clear, 0, 65535).astype(np.uint16) if isinstance(clear, int) else None
    ignored = f"the colour profile in {name} is not used with 16 bits of grey; its codes were taken as sRGB"
    return grey[..., None], alpha, (ignored,) if image.info.get("icc_profile") else ()


def _in_srgb(image: Image.Image, name: str) -> tuple[Image.Image, tuple[str, ...]]:
    """Apply an embedded colour profile; without one the colours are taken as sRGB."""
    embedded = image.info.get("icc_profile")
    if image.mode == "LAB":
        return _through_profile(image, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))), ()
    plain = image if image.mode in {"L", "RGB"} else image.convert("RGB")
    if not embedded:
        return plain, ()
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(embedded))
        if "srgb" in ImageCms.getProfileDescription(profile).lower():
            return plain, ()
        return _through_profile(image, profile), ()
    except (ImageCms.PyCMSError, OSError, ValueError):
        return plain, (f"the colour profile in {name} cannot be used; its colours were taken as sRGB",)


def _through_profile(image: Image.Image, profile: ImageCms.ImageCmsProfile) -> Image.Image:
    converted = ImageCms.profileToProfile(
        image,
        profile,
        ImageCms.createProfile("sRGB"),
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        outputMode="RGB",
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
    if converted is None:
        raise ValueError("no picture came back")
    return converted
