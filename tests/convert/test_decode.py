"""One picture in every encoding, made from one array: each gives the same cells."""

import struct
import zlib

import numpy as np
import pytest
from PIL import Image
from pictures import cells_of, code, encoded, light, sampled_means

from convert.decode import Source, decode, read_header
from shared.colour import lab_from_linear
from shared.difference import ciede2000
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


def animated(kind, **how):
    other = Image.fromarray(255 - PICTURE)
    first = in_palette() if kind == "GIF" else Image.fromarray(PICTURE)
    return encoded(first, kind, save_all=True, append_images=[other, other.rotate(180)], **how)


COLOURS = {
    "PNG": lambda: encoded(PICTURE),
    "PNG, interlaced palette": lambda: encoded(in_palette(), optimize=True),
    "PNG, opaque alpha": lambda: encoded(Image.fromarray(PICTURE).convert("RGBA")),
    "PNG, 16 bits": lambda: png(PICTURE.astype(np.uint16) * 257, 16, 2),
    "PNG, animated": lambda: animated("PNG"),
    "TIFF": lambda: encoded(PICTURE, "TIFF"),
    "TIFF, LZW": lambda: encoded(PICTURE, "TIFF", compression="tiff_lzw"),
    "TIFF, deflate": lambda: encoded(PICTURE, "TIFF", compression="tiff_adobe_deflate"),
    "TIFF, palette": lambda: encoded(in_palette(), "TIFF"),
    "TIFF, CMYK": lambda: encoded(Image.fromarray(PICTURE).convert("CMYK"), "TIFF"),
    "TIFF, pages": lambda: animated("TIFF"),
    "WebP": lambda: encoded(PICTURE, "WEBP", lossless=True),
    "WebP, animated": lambda: animated("WEBP", lossless=True),
    "GIF": lambda: encoded(in_palette(), "GIF"),
    "GIF, animated": lambda: animated("GIF"),
    "BMP": lambda: encoded(PICTURE, "BMP"),
    "BMP, palette": lambda: encoded(in_palette(), "BMP"),
    "PPM": lambda: encoded(PICTURE, "PPM"),
    "TGA": lambda: encoded(PICTURE, "TGA"),
}


@pytest.mark.parametrize("kind", COLOURS)
def test_lossless_encodings_give_exact_cells(kind):
    _, _, cells = cells_of(COLOURS[kind](), **WORK)
    assert np.abs(cells - expected(light(PICTURE))).max() < LOSSLESS


@pytest.mark.parametrize(
    ("data", "seen"),
    [
        (encoded(GREY), light(GREY)),
        (encoded(Image.fromarray(GREY).convert("LA")), light(GREY)),
        (encoded(Image.fromarray(BITS).convert("1")), light(BITS)),
        (encoded(Image.fromarray(BITS).convert("1"), "TIFF", compression="group4"), light(BITS)),
        (png(GREY // 16, 4, 0), light(GREY // 16 * 17)),
        (png(GREY // 64, 2, 0), light(GREY // 64 * 85)),
        (encoded(GREY, "TIFF"), light(GREY)),
        (encoded(GREY, "BMP"), light(GREY)),
        (encoded(DEEP), light(DEEP)),
        (encoded(DEEP, "TIFF"), light(DEEP)),
        (encoded(Image.frombytes("I;16B", (64, 96), DEEP.astype(">u2").tobytes()), "TIFF"), light(DEEP)),
        (encoded(DEEP.astype(np.int32), "TIFF"), light(DEEP)),
    ],
)
def test_greys_give_exact_cells_in_their_own_depth(data, seen):
    _, _, cells = cells_of(data, **WORK)
    wanted = expected(rgb_of(seen))
    assert np.ptp(wanted) > 1e-3
    assert np.abs(cells - wanted).max() < LOSSLESS


def test_sixteen_bits_of_grey_are_neither_clipped_nor_cut():
    """The whole range and single steps: 257 x an 8-bit code is that code; 30,001 is not 30,000."""
    decoded = decode(Source("deep.png", encoded(np.array([[0, 30_000], [30_001, 65_535]], dtype=np.uint16))))
    assert decoded.codes.dtype == np.uint16
    assert decoded.codes[..., 0].tolist() == [[0, 30_000], [30_001, 65_535]]


@pytest.mark.parametrize("colour_type", [2, 4, 6])
def test_other_sixteen_bits_are_right_to_one_code(colour_type):
    """Low bytes at random: 16-bit RGB, grey with opacity, and RGB with opacity."""
    deep = PICTURE if colour_type != 4 else GREY[..., None]
    deep = deep.astype(np.uint16) * 256 + np.random.default_rng(6).integers(0, 256, deep.shape).astype(np.uint16)
    opaque = np.full((96, 64, 1), 65_535, dtype=np.uint16)
    data = png(deep if colour_type == 2 else np.concatenate([deep, opaque], axis=2), 16, colour_type)
    _, _, cells = cells_of(data, **WORK)
    wanted = expected(light(deep if colour_type != 4 else rgb_of(deep[..., 0])))
    assert np.abs(code(cells) - code(wanted)).max() <= 1


@pytest.mark.parametrize(
    ("image", "kind", "how"),
    [
        (Image.fromarray(PICTURE), "JPEG", {"quality": 95, "subsampling": 0}),
        (Image.fromarray(PICTURE), "JPEG", {"quality": 95, "subsampling": 0, "progressive": True}),
        (Image.fromarray(PICTURE).convert("CMYK"), "JPEG", {"quality": 95}),
        (Image.fromarray(PICTURE), "TIFF", {"compression": "jpeg", "quality": 95}),
        (Image.fromarray(PICTURE), "WEBP", {"quality": 100}),
        (Image.fromarray(GREY), "JPEG", {"quality": 95}),
    ],
)
def test_lossy_encodings_are_close(image, kind, how):
    _, _, cells = cells_of(encoded(image, kind, **how), **WORK)
    wanted = expected(light(PICTURE if image.mode != "L" else rgb_of(GREY)))
    assert difference(cells, wanted).mean() < 0.5
    assert difference(cells, wanted).max() < 2


def test_lightness_of_lab():
    """CIE 015: L* = 60 is ((60 + 16) / 116)³ of the light of white."""
    flat = [Image.new("L", (64, 96), value) for value in (153, 0, 0)]
    _, _, cells = cells_of(encoded(Image.merge("LAB", flat), "TIFF"), **WORK)
    assert code(cells) == pytest.approx(np.full(cells.shape, code((76 / 116) ** 3)), abs=1)


@pytest.mark.parametrize("kind", ["PNG", "GIF", "WEBP", "TIFF"])
def test_of_several_frames_the_first_is_taken_and_said(kind):
    (notice,) = decode(Source("waves", animated(kind))).notices
    assert "waves has 3 frames; the first" in notice
    assert decode(Source("waves", encoded(PICTURE))).notices == ()


# What each value of the orientation tag says of the stored picture: the side of the seen picture where its first
# row lies, and that where its first column lies. Source: Exif 2.32 (CIPA DC-008-2019), 4.6.4 A, tag 274.
ORIENTATIONS = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored(seen, orientation):
    """The picture as it is stored so that it is seen as given."""
    first_row, first_column = ORIENTATIONS[orientation]
    turned = seen.swapaxes(0, 1) if first_row in {"left", "right"} else seen
    turned = turned[::-1] if first_row in {"right", "bottom"} else turned
    return np.ascontiguousarray(turned[:, ::-1] if first_column in {"right", "bottom"} else turned)


@pytest.mark.parametrize("orientation", ORIENTATIONS)
@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP", "JPEG"])
def test_orientation_is_applied_before_rows_are_counted(kind, orientation):
    exif = Image.Exif()
    exif[274] = orientation
    how = {"WEBP": {"lossless": True}, "JPEG": {"quality": 95, "subsampling": 0}}.get(kind, {})
    data = encoded(stored(PICTURE, orientation), kind, exif=exif, **how)
    header = read_header(Source("shell", data), max_pixels=10**6)
    assert (header.width, header.height) == (64, 96)
    plan, grid, cells = cells_of(data, columns=8)
    assert (plan.rows, plan.turn) == (19, 0)
    wanted = sampled_means(light(PICTURE), grid, window=plan.window)
    assert difference(cells, wanted).max() < (2 if kind == "JPEG" else 0.05)


@pytest.mark.parametrize("kind", [b"IDAT", b"IEND"])
def test_orientation_of_a_png_is_found_before_and_after_its_pixels(kind):
    exif = Image.Exif()
    exif[274] = 6
    plain = encoded(stored(PICTURE, 6))
    where = plain.index(kind) - 4
    data = plain[:where] + chunk(b"eXIf", exif.tobytes().removeprefix(b"Exif\0\0")) + plain[where:]
    header = read_header(Source("shell", data), max_pixels=10**6)
    assert (header.width, header.height) == (64, 96)
    assert np.array_equal(decode(Source("shell", data)).codes, PICTURE)


def with_opacity(mode):
    image = Image.fromarray(PICTURE if mode == "RGBA" else GREY).convert(mode)
    image.putalpha(Image.fromarray(OPACITY))
    return image


def palette_opacity():
    """One opacity for each colour of a palette (tRNS chunk), and the opacity of each pixel."""
    image = in_palette()
    each = (np.arange(256) * 7 % 256).astype(np.uint8)
    return encoded(image, transparency=each.tobytes()), each[np.asarray(image)]


@pytest.mark.parametrize("ground", ["#ffffff", "#000000", "#2f4a5a"])
def test_transparency_is_composited_in_linear_light(ground):
    behind = light(np.array([int(ground[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.uint8))
    palette, of_pixels = palette_opacity()
    clear = np.where((PICTURE == [235, 240, 90]).all(axis=2), 0, 255)
    nineteen = np.where(DEEP == DEEP[0, 0], 0, 255)
    disc = int(np.asarray(in_palette())[30, 20])
    for data, opacity, linear in (
        (encoded(with_opacity("RGBA")), OPACITY, light(PICTURE)),
        (encoded(with_opacity("RGBA"), "WEBP", lossless=True, exact=True), OPACITY, light(PICTURE)),
        (encoded(with_opacity("RGBA"), "TIFF"), OPACITY, light(PICTURE)),
        (encoded(with_opacity("LA")), OPACITY, rgb_of(light(GREY))),
        (palette, of_pixels, light(PICTURE)),
        (encoded(PICTURE, transparency=(235, 240, 90)), clear, light(PICTURE)),
        (encoded(in_palette(), "GIF", transparency=disc), clear, light(PICTURE)),
        (encoded(DEEP, transparency=int(DEEP[0, 0])), nineteen, rgb_of(light(DEEP))),
    ):
        _, _, cells = cells_of(data, ground=ground, **WORK)
        assert opacity.min() < 255
        assert np.abs(cells - expected(over(linear, opacity, behind))).max() < LOSSLESS


def test_half_transparent_black_on_white_is_188():
    """IEC 61966-2-1: half the light of white is sRGB 188; mixing codes would give 127."""
    image = Image.new("RGBA", (64, 96), (0, 0, 0, 128))
    _, _, cells = cells_of(encoded(image), ground="#ffffff", **WORK)
    assert np.abs(code(cells) - 187).max() <= 1


@pytest.mark.parametrize("picture", ["china.jpg", "flower.jpg"])
@pytest.mark.parametrize(("reduction", "columns"), [(2, 8), (4, 4), (8, 2)])
def test_reduction_of_a_jpeg_while_reading_is_not_seen(picture, reduction, columns):
    """Photographs bundled with scikit-learn: as long as 16 pixels remain in a half-row, mean CIEDE2000 is under 0.1."""
    from sklearn.datasets import load_sample_image

    data = encoded(load_sample_image(picture), "JPEG", quality=95, subsampling=0)
    plan, _, whole = cells_of(data, columns=columns)
    assert plan.window.height / (plan.rows + 1) / reduction >= 16
    _, _, reduced = cells_of(data, columns=columns, reduction=reduction)
    assert decode(Source("photo", data), reduction=reduction).codes.shape[1] == -(-640 // reduction)
    assert 0 < difference(whole, reduced).mean() <= 0.1
