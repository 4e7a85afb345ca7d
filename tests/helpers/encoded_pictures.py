"""One picture as arrays, and as files of many kinds."""

import struct
import zlib

import numpy as np
from picture_oracle import sampled_means
from PIL import Image

from shared.ciede2000 import ciede2000
from shared.colour import lab_from_linear
from shared.grid import Grid

WORK = {"columns": 8, "rows": 23, "fit": "stretch"}
"""On 64 x 96 pixels a column is 8 pixels wide and a half-row 4 high: the expected means are exact."""

LOSSLESS = 1e-6


def painted():
    """64 x 96 pixels, 72 colours, alike on no two sides."""
    down, across = np.mgrid[:96, :64]
    picture = np.stack([across // 11 * 51, down // 16 * 40 + 20, 200 - down // 16 * 25], axis=-1)
    picture[np.hypot(across - 20, down - 30) < 12] = [235, 240, 90]
    picture[70:90, 40:60] = [20, 20, 60]
    return picture.astype(np.uint8)


PICTURE = painted()
GREY = (PICTURE @ np.array([2, 5, 1]) // 8).astype(np.uint8)
BITS = np.where(GREY > 120, 255, 0).astype(np.uint8)
DEEP = (30_000 + GREY.astype(int)).astype(np.uint16)
"""Between two neighbouring 8-bit codes and a little more: shows whether 16 bits are kept."""
OPACITY = (np.mgrid[:96, :64][1] * 4).astype(np.uint8)


def rgb_of(grey):
    return np.repeat(grey[..., None], 3, axis=-1)


def over(linear, opacity, ground):
    share = opacity[..., None] / 255
    return share * linear + (1 - share) * ground


def expected(linear):
    return sampled_means(linear, Grid(8, 23))


def difference(one, other):
    return ciede2000(lab_from_linear(one), lab_from_linear(other))


def png(pixels, bits, colour_type):
    """A PNG (W3C PNG 3rd edition) of samples of any depth, written here: Pillow cannot write 16 bits of colour."""
    height, width = pixels.shape[:2]
    flat = pixels.reshape(height, -1)
    if bits == 16:
        rows = [row.astype(">u2").tobytes() for row in flat]
    else:
        each = (flat[..., None] >> np.arange(bits - 1, -1, -1)) & 1
        rows = [np.packbits(row).tobytes() for row in each.reshape(height, -1).astype(np.uint8)]
    header = struct.pack(">IIBBBBB", width, height, bits, colour_type, 0, 0, 0)
    chunks = [(b"IHDR", header), (b"IDAT", zlib.compress(b"".join(b"\0" + row for row in rows))), (b"IEND", b"")]
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunk(*parts) for parts in chunks)


def chunk(kind, data):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def in_palette(picture=PICTURE):
    colours, index = np.unique(picture.reshape(-1, 3), axis=0, return_inverse=True)
    image = Image.fromarray(index.reshape(picture.shape[:2]).astype(np.uint8))
    image.putpalette(colours.astype(np.uint8).tobytes())
    return image
