"""One picture in every encoding, made from one array: each gives the same cells."""

import io

import numpy as np
import pytest
from encoded_pictures import BITS, DEEP, GREY, LOSSLESS, PICTURE, WORK, difference, expected, in_palette, png, rgb_of
from picture_oracle import cells_of, code, encoded, light
from PIL import Image

from convert.image.decode import Source, decode
from convert.options import Options
from convert.pattern import make_pattern


def animated(kind, **how):
    other = Image.fromarray(255 - PICTURE)
    first = in_palette() if kind == "GIF" else Image.fromarray(PICTURE)
    return encoded(first, kind, save_all=True, append_images=[other, other.rotate(180)], **how)


COLOURS = {
    "PNG": lambda: encoded(PICTURE),
    "PNG, palette": lambda: encoded(in_palette(), optimize=True),
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
    decoded = decode(
        Source("deep.png", encoded(np.array([[0, 30_000], [30_001, 65_535]], dtype=np.uint16))), max_pixels=10**8
    )
    assert decoded.pixels().codes.dtype == np.uint16
    assert decoded.pixels().codes[..., 0].tolist() == [[0, 30_000], [30_001, 65_535]]


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
    ("image", "kind", "how", "most"),
    [
        (Image.fromarray(PICTURE), "JPEG", {"quality": 95, "subsampling": 0}, 0.5),
        (Image.fromarray(PICTURE), "JPEG", {"quality": 95, "subsampling": 0, "progressive": True}, 0.5),
        (Image.fromarray(PICTURE).convert("CMYK"), "JPEG", {"quality": 95}, 0.5),
        (Image.fromarray(PICTURE), "TIFF", {"compression": "jpeg", "quality": 95}, 0.5),
        (Image.fromarray(PICTURE), "WEBP", {"quality": 100}, 1),  # colour at half resolution
        (Image.fromarray(GREY), "JPEG", {"quality": 95}, 0.5),
    ],
)
def test_lossy_encodings_are_close(image, kind, how, most):
    _, _, cells = cells_of(encoded(image, kind, **how), **WORK)
    wanted = expected(light(PICTURE if image.mode != "L" else rgb_of(GREY)))
    assert difference(cells, wanted).mean() < most
    assert difference(cells, wanted).max() < 4 * most


def test_lightness_of_lab():
    """L* = 60 is ((60 + 16) / 116)³ of the light of white (CIE 015:2018, 8.2.1); stored as 153 of 255, a* = b* = 0."""
    data = encoded(Image.merge("LAB", [Image.new("L", (64, 96), value) for value in (153, 128, 128)]), "TIFF")
    assert bytes((153, 0, 0)) * 64 in data
    _, _, cells = cells_of(data, **WORK)
    assert code(cells) == pytest.approx(np.full(cells.shape, code((76 / 116) ** 3)), abs=1)


@pytest.mark.parametrize("kind", ["PNG", "GIF", "WEBP", "TIFF"])
def test_of_several_frames_the_first_is_taken_and_said(kind):
    (notice,) = decode(Source("waves", animated(kind)), max_pixels=10**8).notices
    assert "waves has 3 frames; the first" in notice
    assert decode(Source("waves", encoded(PICTURE)), max_pixels=10**8).notices == ()


def photograph(name):
    """A photograph bundled with scikit-learn, 640 x 427 pixels, as a JPEG."""
    from sklearn.datasets import load_sample_image

    return encoded(Image.fromarray(load_sample_image(name)), "JPEG", quality=90)


@pytest.mark.parametrize("name", ["china.jpg", "flower.jpg"])
def test_a_jpeg_sharp_to_the_pixel_gives_the_cells_of_its_pixels(name):
    """The whole job, with few and large beads: a JPEG and a PNG of its pixels give one design and one error."""
    data = photograph(name)
    patterns = [
        make_pattern(Source("photo", same), None, Options(columns=4, colours=4), surface=False)
        for same in (data, encoded(Image.open(io.BytesIO(data))))
    ]
    assert np.array_equal(patterns[0].errors, patterns[1].errors)
    assert np.array_equal(patterns[0].design.cells, patterns[1].design.cells)
    assert patterns[0].design.beads == patterns[1].design.beads
