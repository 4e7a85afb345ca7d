"""Pixels of an image of any mode as sRGB codes: profiles applied, opacity apart."""

import io

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from shared.errors import BadFileError

Codes = NDArray[np.uint8] | NDArray[np.uint16]


def codes_of(image: Image.Image, name: str) -> tuple[Codes, Codes | None, tuple[str, ...]]:
    """Bring an image of any mode to grey or RGB codes with separate opacity.

    Parameters
    ----------
    image
        Its pixels are read; its profile and its transparent colour stand in its ``info``.
    name
        What it is called in errors and notices.

    Returns
    -------
    codes, alpha, notices
        See `convert.image.decode.Decoded`.

    Raises
    ------
    BadFileError
        When its numbers are of a kind that is not read.
    """
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
