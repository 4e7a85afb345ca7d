"""Pixels of an image of any mode as sRGB codes: profiles applied, opacity apart."""

import io
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from shared.errors import BadFileError

Codes = NDArray[np.uint8] | NDArray[np.uint16]


class Pixels(NamedTuple):
    """Codes and opacity of a part of an image."""

    codes: Codes
    """sRGB codes, shape (height, width, 3), or grey codes (height, width, 1); 0 … 255, or 0 … 65535 for uint16."""
    alpha: Codes | None
    """Opacity in the same depth, shape (height, width); None where all is opaque."""


class Conversion(NamedTuple):
    """How the pixels of an image become codes."""

    transform: ImageCms.ImageCmsTransform | None
    """Out of its colour profile; None where its numbers are taken as sRGB."""
    notices: tuple[str, ...] = ()
    """What a person should know of it."""


def find_conversion(image: Image.Image, name: str, *, managed: bool) -> Conversion:
    """Find how the pixels of an image become codes; where that needs no further room, bring them to sRGB at once.

    Parameters
    ----------
    image
        It is loaded; its profile and its transparent colour stand in its ``info``.
    name
        What it is called in errors and notices.
    managed
        Whether codes are colours, to be brought to sRGB by an embedded profile, or plain numbers.

    Raises
    ------
    BadFileError
        When its numbers are of a kind that is not read.
    """
    embedded = image.info.get("icc_profile") if managed else None
    if image.mode.startswith("I"):
        if image.mode == "I" and not _is_16_bits(image):
            raise BadFileError("has more than 16 bits a pixel; save it with 8 or 16", where=[name])
        ignored = f"the colour profile in {name} is not used with 16 bits of grey; its codes were taken as sRGB"
        return Conversion(None, (ignored,) if embedded else ())
    if image.mode == "F":
        raise BadFileError("holds floating point numbers; save it with 8 or 16 bits a channel", where=[name])
    if image.mode == "LAB":
        return Conversion(_transform(ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")), "LAB"))
    return _out_of_profile(image, embedded, name) if embedded else Conversion(None)


def read_pixels(image: Image.Image, transform: ImageCms.ImageCmsTransform | None) -> Pixels:
    """Bring a part of an image to grey or RGB codes with separate opacity; ``transform`` is that of the whole."""
    if image.mode.startswith("I"):
        return _deep_grey(image)
    alpha, mode = None, _colour_mode(image)
    if image.has_transparency_data:
        image = image.convert("RGBA")
        alpha = np.asarray(image.getchannel("A"))
    if transform is not None:
        image = ImageCms.applyTransform(image if image.mode == mode else image.convert(mode), transform) or image
    else:
        plain = mode if mode == "L" else "RGB"
        image = image if image.mode == plain else image.convert(plain)
    codes = np.asarray(image)
    return Pixels(codes.reshape(*codes.shape[:2], -1), alpha)


def _out_of_profile(image: Image.Image, embedded: bytes, name: str) -> Conversion:
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(embedded))
        if "srgb" in ImageCms.getProfileDescription(profile).lower():
            return Conversion(None)
        transform = _transform(profile, _colour_mode(image))
        if image.mode == "RGB" and not image.has_transparency_data:
            # In place, as it takes longer than all else and no room: otherwise each new size of the work pays for it.
            ImageCms.applyTransform(image, transform, inPlace=True)
            return Conversion(None)
        return Conversion(transform)
    except (ImageCms.PyCMSError, OSError, ValueError):
        return Conversion(None, (f"the colour profile in {name} cannot be used; its colours were taken as sRGB",))


def _colour_mode(image: Image.Image) -> str:
    """Return the mode of an image without opacity and palette."""
    if image.has_transparency_data:
        return "L" if image.mode in {"L", "LA", "La"} else "RGB"
    return {"1": "L", "P": "RGB"}.get(image.mode, image.mode)


def _is_16_bits(image: Image.Image) -> bool:
    least, most = np.ravel(image.getextrema())
    return bool(least >= 0 and most <= 65535)


def _deep_grey(image: Image.Image) -> Pixels:
    """Read 16-bit grey as it is: Pillow's own conversion would clip it to white."""
    grey = np.asarray(image).astype(np.uint16)
    clear = image.info.get("transparency")
    alpha = np.where(grey == clear, 0, 65535).astype(np.uint16) if isinstance(clear, int) else None
    return Pixels(grey[..., None], alpha)


def _transform(profile: ImageCms.ImageCmsProfile, mode: str) -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(
        profile,
        ImageCms.createProfile("sRGB"),
        mode,
        "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        flags=ImageCms.Flags.BLACKPOINTCOMPENSATION,
    )
