"""Large pictures are averaged exactly while they are read, and give the same cells as when they are read whole."""

from dataclasses import replace

import numpy as np
import pytest
from picture_oracle import cells_of, code, encoded, light
from PIL import Image, ImageDraw
from skimage.color import deltaE_ciede2000, rgb2lab

from convert.image import decode as reader
from convert.image.decode import Source, decode
from convert.image.shrink import shrunk
from convert.layout import size
from convert.options import Crop, Options
from convert.pipeline import prepare
from shared.colour import linear_from_srgb
from shared.errors import BadFileError


def photo(width, height, channels=3):
    """Soft forms and some grain, as in large photographs."""
    down, across = np.mgrid[:height, :width]
    waves = [np.sin(down / (40 + 9 * c)) * np.cos(across / (31 + 5 * c)) * 90 + 128 for c in range(channels)]
    grain = np.random.default_rng(2).normal(0, 6, (height, width, channels))
    return np.clip(np.stack(waves, axis=2) + grain, 0, 255).astype(np.uint8)


def exact_means(values, across, down):
    """Means over equal rectangles: each pixel is cut into so many that every rectangle holds whole ones."""
    height, width = values.shape[:2]
    parts = values.repeat(across, axis=1).reshape(height, across, width, -1).mean(axis=2)
    return parts.repeat(down, axis=0).reshape(down, height, across, -1).mean(axis=1)


def even(pixels, parts):
    return np.linspace(0, pixels, parts + 1)


@pytest.mark.parametrize(("across", "down"), [(37, 90), (10, 23), (9, 30), (1, 1)])
def test_means_are_exact(across, down):
    """The expected ones are summed over whole parts of pixels, in light, without what is transparent."""
    codes, alpha = photo(37, 90), photo(37, 90, 1)[..., 0]
    alpha[:30, :20] = 0
    share = alpha[..., None] / 255
    made, opacity = shrunk(lambda a, b: (codes[a:b], alpha[a:b]), even(37, across), even(90, down), light=True)
    expected = exact_means(share, across, down)
    colours = exact_means(light(codes) * share, across, down) / np.maximum(expected, 1e-9)
    assert np.abs(opacity - 65535 * expected[..., 0]).max() < 1
    seen = expected[..., 0] > 0.01
    assert np.abs(linear_from_srgb(made / 65535) - colours)[seen].max() < 1e-4


def test_plain_numbers_are_averaged_as_they_are():
    codes = photo(60, 45, 1)
    made, opacity = shrunk(lambda a, b: (codes[a:b], None), even(60, 15), even(45, 12), light=False)
    assert opacity is None
    assert np.abs(made - exact_means(codes / 255, 15, 12) * 65535).max() < 1


WIDE, HIGH = 403, 610


def turned(orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    return exif


def with_hole():
    image = Image.fromarray(photo(WIDE, HIGH))
    image.putalpha(Image.fromarray(photo(WIDE, HIGH, 1)[..., 0]))
    return image


FILES = {
    "PNG": lambda: encoded(photo(WIDE, HIGH)),
    "PNG, grey": lambda: encoded(photo(WIDE, HIGH, 1)[..., 0]),
    "PNG, grey of 16 bits": lambda: encoded(photo(WIDE, HIGH, 1)[..., 0].astype(np.uint16) * 257),
    "PNG, transparent": lambda: encoded(with_hole()),
    "PNG, palette": lambda: encoded(Image.fromarray(photo(WIDE, HIGH)).quantize(64)),
    "TIFF": lambda: encoded(photo(WIDE, HIGH), "TIFF"),
    "TIFF, LZW": lambda: encoded(photo(WIDE, HIGH), "TIFF", compression="tiff_lzw"),
    "BMP": lambda: encoded(photo(WIDE, HIGH), "BMP"),
    "TIFF, CMYK": lambda: encoded(Image.fromarray(photo(WIDE, HIGH)).convert("CMYK"), "TIFF"),
    "WebP": lambda: encoded(photo(WIDE, HIGH), "WEBP", lossless=True),
}


@pytest.mark.parametrize("kind", FILES)
def test_cells_are_the_same_as_of_the_whole_picture(kind, monkeypatch):
    monkeypatch.setattr(reader, "MOST_WHOLE", 1000)
    data = FILES[kind]()
    (*_, whole), (*_, reduced) = (cells_of(data, reduction=step, columns=6, ground="#204060") for step in (1, 4))
    assert decode(Source("tide", data), reduction=4).codes.shape[:2] == (-(-HIGH // 4), -(-WIDE // 4))
    assert deltaE_ciede2000(*(rgb2lab(code(cells) / 255) for cells in (whole, reduced))).max() < 0.1


@pytest.mark.parametrize("how", [{"kind": "PNG"}, {"kind": "TIFF"}, {"kind": "TIFF", "compression": "tiff_lzw"}])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_it_is_upright(orientation, how, monkeypatch):
    data = encoded(photo(64, 96), exif=turned(orientation), **how)
    whole = decode(Source("tide", data)).codes
    monkeypatch.setattr(reader, "MOST_WHOLE", 1000)
    reduced = decode(Source("tide", data), reduction=4).codes
    expected = exact_means(light(whole), whole.shape[1] // 4, whole.shape[0] // 4)
    assert np.abs(linear_from_srgb(reduced / 65535) - expected).max() < 1e-4


def art(width, height):
    """Black and white, sharp to the pixel, in fields of a bead each at seven columns, a few pixels off the beads."""
    fields = np.random.default_rng(4).integers(0, 2, (12, 8)).astype(np.uint8) * 255
    down, across = np.arange(height) * 11 // height, (np.arange(width) + 3) * 7 // width
    return np.repeat(fields[down][:, across][..., None], 3, axis=2)


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
@pytest.mark.parametrize("orientation", [1, 2, 4, 6, 7])
@pytest.mark.parametrize(
    "choices",
    [
        {},
        {"turn": "90"},
        {"turn": "180", "mirror": True},
        {"turn": "270", "mirror": True},
        {"rows": 25, "fit": "contain"},
        {"crop": Crop(17, 29, 300, 320)},
    ],
)
def test_no_cell_of_sharp_art_differs(choices, orientation, kind, monkeypatch):
    """An edge near that of a bead is worth CIEDE2000 7 in black if rectangles lie across beads."""
    source = Source("art", encoded(art(WIDE, HIGH), kind, exif=turned(orientation)))
    options = Options(**({"columns": 7, "style": "photo", "turn": "0"} | choices))
    monkeypatch.setattr(size, "PIXELS_KEPT", 1000)
    monkeypatch.setattr(size, "SAMPLES_PER_CELL", 5)
    cells = [cells_and_pixels(source, options, most_whole, monkeypatch)[0] for most_whole in (10**6, 1000)]
    assert np.ptp(cells[0][:, 0]) > 50
    assert deltaE_ciede2000(*cells).max() < 0.1


def lines_drawn(width, height):
    """Dark lines on white, sharp to the pixel."""
    image = Image.new("RGB", (width, height), "white")
    pen = ImageDraw.Draw(image)
    for line in np.random.default_rng(7).integers(0, (width, height), (8, 3, 2)):
        pen.line([tuple(point) for point in line.tolist()], fill=(20, 20, 40), width=30)
    return np.asarray(image)


@pytest.mark.parametrize("draw", [art, lines_drawn])
@pytest.mark.parametrize("style", ["photo", "flat", "lines"])
@pytest.mark.parametrize(
    "choices", [{}, {"rows": 9, "turn": "90"}, {"repeat": 2, "crop": Crop(31.4, 47.6, 300.3, 410.7)}, {"repeat": 1}]
)
def test_no_cell_differs_of_any_kind_or_motif(choices, kind, draw, monkeypatch):
    """Rectangles that lie across samples are worth tens of CIEDE2000 in a sketch, and across a motif's border a few."""
    source = Source("lines", encoded(draw(WIDE, HIGH)))
    options = Options(**({"columns": 6, "kind": kind, "turn": "0"} | choices))
    monkeypatch.setattr(size, "PIXELS_KEPT", 1000)
    cells = [cells_and_pixels(source, options, most_whole, monkeypatch)[0] for most_whole in (10**6, 1000)]
    assert np.ptp(cells[0][:, 0]) > 30
    assert deltaE_ciede2000(*cells).max() < 0.1


@pytest.mark.parametrize("most_whole", [10**6, 1000])
def test_a_transparent_part_is_ground_and_a_transparent_picture_refused(most_whole, monkeypatch):
    """Whether it is read whole or in part."""
    monkeypatch.setattr(reader, "MOST_WHOLE", most_whole)
    monkeypatch.setattr(size, "PIXELS_KEPT", 1000)
    monkeypatch.setattr(size, "SAMPLES_PER_CELL", 5)
    options = Options(columns=5, crop=Crop(10, 10, 300, 240), ground="#000000")
    image = Image.fromarray(photo(WIDE, HIGH)).convert("RGBA")
    image.paste((255, 255, 255, 0), (0, 0, WIDE, HIGH // 2))
    assert np.abs(prepare(Source("mist", encoded(image)), None, options).work.cells_lab).max() < 0.01
    image.paste((255, 255, 255, 0), (0, 0, WIDE, HIGH))
    with pytest.raises(BadFileError, match="wholly transparent"):
        prepare(Source("mist", encoded(image)), None, replace(options, crop=None))


def test_of_a_large_picture_only_what_is_cropped_is_kept(monkeypatch):
    """Also where that is too small to be reduced; its cells are still those of the whole picture."""
    source = Source("art", encoded(art(WIDE, HIGH)))
    options = Options(columns=7, style="photo", turn="0", crop=Crop(171, 129, 101, 120))
    (whole, _), (part, taken) = (cells_and_pixels(source, options, most, monkeypatch) for most in (10**6, 1000))
    assert taken <= 110 * 130
    assert deltaE_ciede2000(whole, part).max() < 0.1


def cells_and_pixels(source, options, most_whole, monkeypatch):
    """The cells in Lab, and how many pixels of codes were kept to make them."""
    monkeypatch.setattr(reader, "MOST_WHOLE", most_whole)
    kept = []

    def noted(*args, **choices):
        made = decode(*args, **choices)
        kept.append(made.codes.shape[0] * made.codes.shape[1])
        return made

    monkeypatch.setattr("convert.pipeline.decode", noted)
    return prepare(source, None, options).work.cells_lab, kept[0]
