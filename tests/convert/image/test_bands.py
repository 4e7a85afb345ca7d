"""Pixel rows read a band at a time, most of them straight from the file, are those of the decoded picture."""

import io

import numpy as np
import pytest
import tifffile
from encoded_pictures import GREY, OPACITY, PICTURE
from picture_oracle import encoded
from PIL import Image, ImageCms

from convert.image import decode as reader
from convert.image.bands import rows_of
from convert.image.decode import Source, decode
from shared.errors import BadFileError

HIGH, WIDE = PICTURE.shape[:2]
DEEP = PICTURE.astype(np.uint16) * 257
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def tiff(pixels, **how):
    file = io.BytesIO()
    tifffile.imwrite(file, pixels, **({"photometric": "rgb"} | how))
    return file.getvalue()


def with_opacity():
    image = Image.fromarray(PICTURE)
    image.putalpha(Image.fromarray(OPACITY))
    return image


FROM_THE_FILE = {
    "TIFF": lambda: encoded(PICTURE, "TIFF"),
    "TIFF, with a profile": lambda: encoded(PICTURE, "TIFF", icc_profile=PROFILE),
    "TIFF, strips of 7 rows": lambda: tiff(PICTURE, rowsperstrip=7),
    "TIFF, 16 bits": lambda: tiff(DEEP, rowsperstrip=10),
    "TIFF, 16 bits, big end first": lambda: tiff(DEEP, byteorder=">"),
    "TIFF, opacity": lambda: encoded(with_opacity(), "TIFF"),
    "TIFF, grey": lambda: encoded(GREY, "TIFF"),
    "TIFF, grey of 16 bits": lambda: tiff(DEEP[..., 0], photometric="minisblack"),
    "TIFF, grey of 32 bits": lambda: encoded(GREY.astype(np.int32) * 257, "TIFF"),
    "TIFF, CMYK": lambda: encoded(Image.fromarray(PICTURE).convert("CMYK"), "TIFF"),
    "TIFF, Lab": lambda: encoded(Image.merge("LAB", Image.fromarray(PICTURE).split()), "TIFF"),
    "BMP": lambda: encoded(PICTURE[:, :61], "BMP"),
    "PPM": lambda: encoded(PICTURE, "PPM"),
    "TGA": lambda: encoded(PICTURE, "TGA"),
    "TGA, lowest row first": lambda: encoded(with_opacity(), "TGA", orientation=-1),
}
DECODED = {
    "TIFF, planes": lambda: tiff(PICTURE.transpose(2, 0, 1), planarconfig="separate"),
    "TIFF, tiles": lambda: tiff(PICTURE, tile=(16, 32)),
    "TIFF, LZW": lambda: encoded(PICTURE, "TIFF", compression="tiff_lzw"),
    "TIFF, white is 0": lambda: tiff(GREY, photometric="miniswhite"),
    "TGA, run lengths": lambda: encoded(PICTURE, "TGA", compression="tga_rle"),
    "BMP, palette": lambda: encoded(Image.fromarray(PICTURE).quantize(16), "BMP"),
    "PNG": lambda: encoded(PICTURE),
}


@pytest.mark.parametrize("kind", FROM_THE_FILE | DECODED)
def test_bands_are_rows_of_the_picture(kind, decoded_formats):
    data = (FROM_THE_FILE | DECODED)[kind]()
    with Image.open(io.BytesIO(data)) as image:
        rows = rows_of(image, data, image.size)
        bands = [rows(*band) for band in ((0, 9), (9, 10), (3, 41), (41, HIGH))]
        assert bool(decoded_formats) == (kind in DECODED)
    with Image.open(io.BytesIO(data)) as image:
        whole = np.asarray(image)
        for band, part in zip(bands, (whole[:9], whole[9:10], whole[3:41], whole[41:]), strict=True):
            assert band.mode == image.mode
            assert np.array_equal(np.asarray(band), part)
            assert band.info.get("icc_profile") == (PROFILE if "profile" in kind else None)


@pytest.mark.parametrize("kind", ["TIFF", "BMP", "TGA, lowest row first"])
def test_a_file_that_ends_too_soon_is_refused(kind, monkeypatch):
    monkeypatch.setattr(reader, "MOST_WHOLE", 1000)
    data = FROM_THE_FILE[kind]()
    assert decode(Source("eel", data), reduction=2).codes.shape[0] == HIGH // 2
    with pytest.raises(BadFileError, match=r"^eel: is damaged or cut short .*anew"):
        decode(Source("eel", data[: len(data) // 2]), reduction=2)
