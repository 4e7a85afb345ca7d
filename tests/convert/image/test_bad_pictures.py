"""Files that are no picture, or not one to work from: each gives one sentence that names it."""

import struct
import zlib

import numpy as np
import pytest
from encoded_pictures import OPACITY, PICTURE, chunk, in_palette
from picture_oracle import encoded
from PIL import Image

from convert.image.decode import Source, decode, read_header
from convert.options import Options
from convert.pattern import make_pattern
from shared.errors import BadFileError

SCATTERED = np.random.default_rng(8).permutation(PICTURE.reshape(-1, 3)).reshape(PICTURE.shape)
"""The picture's pixels in disorder, so that its files are long and their ends matter."""


def turned():
    exif = Image.Exif()
    exif[274] = 6
    return exif


KINDS = {
    "PNG": lambda: encoded(SCATTERED),
    "PNG, 16 bits": lambda: encoded(SCATTERED[..., 0].astype(np.uint16) * 199),
    "PNG, turned": lambda: encoded(SCATTERED, exif=turned()),
    "JPEG": lambda: encoded(SCATTERED, "JPEG"),
    "JPEG, turned": lambda: encoded(SCATTERED, "JPEG", exif=turned(), progressive=True),
    "TIFF": lambda: encoded(SCATTERED, "TIFF"),
    "TIFF, LZW": lambda: encoded(SCATTERED, "TIFF", compression="tiff_lzw"),
    "TIFF, turned": lambda: encoded(SCATTERED, "TIFF", exif=turned()),
    "WebP": lambda: encoded(SCATTERED, "WEBP"),
    "GIF": lambda: encoded(in_palette(SCATTERED), "GIF"),
    "BMP": lambda: encoded(SCATTERED, "BMP"),
}


def many_frames(kind):
    others = [in_palette(255 - SCATTERED), in_palette(SCATTERED[::-1])]
    return encoded(in_palette(SCATTERED), kind, save_all=True, append_images=others)


def blank_png(width, height):
    """A PNG that says how large it is, and holds the beginning of its pixels only."""
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")


def blank_bmp(width, height):
    """A BMP of one bit a pixel that says how large it is and ends there."""
    info = struct.pack("<IiiHHIIiiII", 40, width, height, 1, 1, 0, 0, 0, 0, 2, 0)
    return b"BM" + struct.pack("<IHHI", 62, 0, 0, 62) + info + bytes([0, 0, 0, 0, 255, 255, 255, 0])


def read(data, name, max_pixels=100_000_000):
    read_header(Source(name, data), max_pixels=max_pixels)
    return decode(Source(name, data), max_pixels=10**8)


def sentence(data, **limit):
    """Read a file that must be refused and return what is said."""
    with pytest.raises(BadFileError) as refused:
        read(data, "kelp bed.png", **limit)
    told = str(refused.value)
    assert told.startswith("kelp bed.png: ")
    assert "\n" not in told
    assert len(told) < 250
    assert refused.value.exit_status == 2
    return told


@pytest.mark.parametrize(
    ("data", "told"),
    [
        (b"", "is empty; give a picture"),
        (b"tide table for May\n", "is no picture"),
        (bytes(5000), "is no picture"),
        (b"\x89PNG\r\n\x1a\n", "is no picture"),
        (b"%PDF-1.7\n", "is no picture"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is no picture"),
        (encoded(PICTURE[:1, :1]), "has only 1 x 1 pixels; give a larger picture"),
        (encoded(PICTURE[:, :1]), "has only 1 x 96 pixels; give a larger picture"),
        (encoded(PICTURE[:1, :1], "GIF"), "has only 1 x 1 pixels; give a larger picture"),
        (encoded(Image.new("RGBA", (9, 9), (200, 10, 10, 0))), "is wholly transparent"),
        (encoded(Image.new("LA", (9, 9), (200, 0))), "is wholly transparent"),
        (encoded(Image.new("P", (9, 9), 3), "GIF", transparency=3), "is wholly transparent"),
        (encoded(np.full((9, 9), 7, dtype=np.uint16), transparency=7), "is wholly transparent"),
        (encoded(np.ones((9, 9), dtype=np.float32), "TIFF"), "floating point numbers; save it with 8 or 16 bits"),
        (encoded(np.full((9, 9), 70_000, dtype=np.int32), "TIFF"), "more than 16 bits"),
        (encoded(np.full((9, 9), -1, dtype=np.int32), "TIFF"), "more than 16 bits"),
    ],
)
def test_what_is_wrong_and_how_to_mend_it_is_said(data, told):
    assert told in sentence(data)


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_is_cut_short_is_refused(kind):
    whole = KINDS[kind]()
    assert read(whole, "whole").pixels().codes.size
    for share in (0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.98):
        told = sentence(whole[: int(share * len(whole))])
        assert "save or copy it anew" in told or "is no picture that can be read" in told


@pytest.mark.parametrize("kind", ["PNG", "GIF", "TIFF", "WEBP"])
def test_a_file_of_many_frames_that_is_cut_short_is_read_or_refused(kind):
    """The first frame may be whole; nothing but our own error may come out, wherever the cut is."""
    whole = many_frames(kind)
    told = [told_of(whole[:end]) for end in np.linspace(1, len(whole) - 1, 150).astype(int)]
    assert sum(bool(words) for words in told) >= 40
    assert all(words.startswith("eel: ") for words in told if words)


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_with_wrong_bytes_is_read_or_refused(kind):
    """60 times a few bytes are changed at random; nothing but our own error may come out."""
    whole = np.frombuffer(KINDS[kind](), dtype=np.uint8)
    rng = np.random.default_rng(7)
    for _ in range(60):
        spoilt = whole.copy()
        spoilt[rng.integers(0, min(len(whole), 600), 4)] = rng.integers(0, 256, 4)
        words = told_of(spoilt.tobytes())
        assert not words or words.startswith("eel: ")


def told_of(data):
    """What is said of a file that may be refused, or nothing."""
    try:
        read(data, "eel", max_pixels=10**6)
    except BadFileError as error:
        return str(error)
    return ""


def test_damaged_orientation_is_no_fault_of_ours():
    """Exif data that begins like no TIFF."""
    data = encoded(PICTURE, "WEBP", exif=b"Exif\0\0YM\0*\0\0\0\x08")
    assert "is damaged" in sentence(data)


@pytest.mark.parametrize("data", [blank_png(100_000, 50_000), blank_bmp(100_000, 50_000)])
def test_too_many_pixels_are_refused_by_the_size_that_the_file_states(data, decoded_formats):
    """Five thousand megapixels in a small file."""
    told = sentence(data)
    assert "has 100000 x 50000 pixels, over the limit of 100,000,000" in told
    assert "--max-pixels" in told
    assert decoded_formats == []


@pytest.mark.parametrize("kind", KINDS)
def test_the_limit_is_checked_before_any_pixel_is_decoded(kind, decoded_formats):
    data = KINDS[kind]()
    assert "has 64 x 96 pixels, over the limit of 6,143" in sentence(data, max_pixels=64 * 96 - 1)
    assert decoded_formats == []


@pytest.mark.parametrize(("kind", "name", "percent"), [("WEBP", "WebP", 40), ("JPEG2000", "JPEG 2000", 25)])
def test_of_what_can_only_be_decoded_whole_the_limit_is_lower(kind, name, percent, decoded_formats):
    """Taking the advice is enough: 250 x 400 pixels are a tenth of a million, in whole millions 1M."""
    data = encoded(np.zeros((400, 250, 3), dtype=np.uint8), kind)
    least = 100_000 * 100 // percent
    assert read_header(Source("kelp", data), max_pixels=least) == (250, 400)
    told = sentence(data, max_pixels=least - 1)
    assert f"250 x 400 pixels, over {99_999:,}, the limit for a {name}" in told
    assert "save it as PNG, JPEG or TIFF, or raise the limit with --max-pixels 1M" in told
    assert decoded_formats == []


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "PNG, turned"])
def test_the_size_is_known_before_any_pixel_is_decoded(kind, decoded_formats):
    """But for a PNG that may say its orientation behind its pixels."""
    header = read_header(Source("shell", KINDS[kind]()), max_pixels=10**6)
    assert sorted(header) == [64, 96]
    assert decoded_formats == []


def test_the_limit_itself_is_allowed_and_pillow_keeps_its_own():
    source = Source("large", encoded(np.zeros((100, 100), dtype=np.uint8)))
    before = Image.MAX_IMAGE_PIXELS
    assert read_header(source, max_pixels=10_000) == (100, 100)
    with pytest.raises(BadFileError, match="over the limit of 9,999"):
        read_header(source, max_pixels=9_999)
    assert before is not None
    assert before == Image.MAX_IMAGE_PIXELS


def test_more_pixels_than_pillow_allows_are_read_when_asked_for(monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 50)
    source = Source("large", encoded(PICTURE))
    assert read_header(source, max_pixels=10**6) == (64, 96)
    assert decode(source, max_pixels=10**8).pixels().codes.shape == (96, 64, 3)


@pytest.mark.parametrize("whose", ["picture", "map"])
def test_the_whole_job_names_the_file_that_is_bad(whose):
    good, bad = Source("good.png", encoded(PICTURE)), Source("bad.png", encoded(SCATTERED)[:900])
    with pytest.raises(BadFileError, match=r"bad\.png: .*anew"):
        make_pattern(
            bad if whose == "picture" else good, bad if whose == "map" else good, Options(columns=5), surface=False
        )


def test_opacity_of_one_pixel_is_enough():
    alpha = np.zeros_like(OPACITY)
    alpha[50, 30] = 1
    image = Image.fromarray(PICTURE)
    image.putalpha(Image.fromarray(alpha))
    assert decode(Source("faint", encoded(image)), max_pixels=10**8).pixels().alpha.sum() == 1
