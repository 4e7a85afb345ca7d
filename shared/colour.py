"""Colours as numbers: sRGB, linear light, CIELAB and CIEDE2000. The last axis is always the channel."""

import re

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats
from shared.errors import BadChoiceError

SRGB_TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""Linear sRGB to CIE XYZ, D65, 2° observer. Source: IEC 61966-2-1:1999."""

D65_XYZ = np.array([0.3127 / 0.3290, 1.0, (1 - 0.3127 - 0.3290) / 0.3290])
"""The white of D65 from its chromaticity x = 0.3127, y = 0.3290. Source: IEC 61966-2-1:1999."""

_OKLAB_CONES = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_OKLAB_AXES = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)

_CIE_EPSILON = (6 / 29) ** 3
_CIE_SLOPE = (29 / 6) ** 2 / 3
_HEX = re.compile(r"#?(?P<digits>[0-9a-fA-F]{6})")


def linear_from_srgb(srgb: NDArray[np.floating]) -> Floats:
    """Decode sRGB to linear light, both in 0 … 1, any shape. Source: IEC 61966-2-1:1999.

    Examples
    --------
    >>> round(float(linear_from_srgb(np.array(188 / 255))), 6)
    0.502886
    """
    srgb = np.asarray(srgb, dtype=np.float64)
    return np.where(srgb <= 0.04045, srgb / 12.92, ((np.maximum(srgb, 0.04045) + 0.055) / 1.055) ** 2.4)


def srgb_from_linear(linear: NDArray[np.floating]) -> Floats:
    """Encode linear light as sRGB, both in 0 … 1 (clipped), any shape. Source: IEC 61966-2-1:1999."""
    linear = np.clip(np.asarray(linear, dtype=np.float64), 0, 1)
    return np.where(linear <= 0.0031308, linear * 12.92, 1.055 * np.maximum(linear, 0.0031308) ** (1 / 2.4) - 0.055)


def lab_from_linear(linear: NDArray[np.floating]) -> Floats:
    """Return CIELAB (D65, 2° observer) of linear sRGB in 0 … 1, shape (…, 3). Source: CIE 015:2018, 8.2.1."""
    ratio = _mixed(np.asarray(linear, dtype=np.float64), SRGB_TO_XYZ) / D65_XYZ
    f = np.where(ratio > _CIE_EPSILON, np.cbrt(ratio), _CIE_SLOPE * ratio + 4 / 29)
    fx, fy, fz = np.moveaxis(f, -1, 0)
    return np.stack([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)], axis=-1)


def oklab_from_linear(linear: NDArray[np.floating]) -> Floats:
    """Return OKLab of linear sRGB in 0 … 1, shape (…, 3): hues that stay what they are from vivid to pale.

    Source: B. Ottosson, "A perceptual color space for image processing", 2020.
    """
    return _mixed(np.cbrt(_mixed(np.asarray(linear, dtype=np.float64), _OKLAB_CONES)), _OKLAB_AXES)


def lightness_from_linear(linear: NDArray[np.floating]) -> Floats:
    """Return the lightness L* alone of linear sRGB in 0 … 1, shape (…, 3) to (…)."""
    r, g, b = np.moveaxis(np.asarray(linear, dtype=np.float64), -1, 0)
    luminance = SRGB_TO_XYZ[1, 0] * r + SRGB_TO_XYZ[1, 1] * g + SRGB_TO_XYZ[1, 2] * b
    f = np.where(luminance > _CIE_EPSILON, np.cbrt(luminance), _CIE_SLOPE * luminance + 4 / 29)
    return np.asarray(116 * f - 16)


def linear_from_lab(lab: NDArray[np.floating]) -> Floats:
    """Return linear sRGB of CIELAB, shape (…, 3); values outside 0 … 1 lie outside sRGB."""
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    fy = (lightness + 16) / 116
    f = np.stack([fy + a / 500, fy, fy - b / 200], axis=-1)
    ratio = np.where(f > 6 / 29, f**3, (f - 4 / 29) / _CIE_SLOPE)
    return _mixed(ratio * D65_XYZ, np.linalg.inv(SRGB_TO_XYZ))


def codes_from_linear(linear: NDArray[np.floating]) -> NDArray[np.uint8]:
    """Return 8-bit sRGB codes of linear light, same shape."""
    return np.rint(srgb_from_linear(linear) * 255).astype(np.uint8)


def lab_from_codes(codes: NDArray[np.uint8]) -> Floats:
    """Return CIELAB of 8-bit sRGB codes, shape (…, 3)."""
    return lab_from_linear(linear_from_srgb(codes.astype(np.float64) / 255))


def hex_from_codes(codes: NDArray[np.uint8]) -> str:
    """Write one colour of three 8-bit codes as ``#rrggbb``."""
    return "#" + bytes(codes.tolist()).hex()


def codes_from_hex(text: str) -> NDArray[np.uint8]:
    """Read ``#rrggbb`` (the ``#`` may be left out) as three 8-bit codes.

    Raises
    ------
    BadChoiceError
        When it is something else.
    """
    found = _HEX.fullmatch(text.strip())
    if found is None:
        raise BadChoiceError(f"'{text}' is no colour; write it as #rrggbb, for instance #2f4a5a")
    return np.frombuffer(bytes.fromhex(found["digits"]), dtype=np.uint8)


def _mixed(values: Floats, matrix: Floats) -> Floats:
    """Multiply each colour by a matrix, term by term: the same bits whatever BLAS is installed."""
    r, g, b = np.moveaxis(values, -1, 0)
    return np.stack([row[0] * r + row[1] * g + row[2] * b for row in matrix], axis=-1)
