"""Large height maps are averaged as plain numbers while they are read, and give the heights of all their pixels."""

import io

import numpy as np
import pytest
from encoded_pictures import png
from picture_oracle import encoded, sampled_means
from PIL import Image

from convert.image import decode as reader
from convert.image.decode import Source, read_header
from convert.layout import size
from convert.layout.repeat import laid_out
from convert.options import Crop, Options
from convert.relief import height_map as laying
from convert.relief.height_map import bead_heights

WIDE, HIGH = 256, 384
COLUMNS, ROWS = 8, 23
"""A column is 32 pixels wide and a half-row 16 high: edges of beads are edges of squares of 4 pixels."""

ROUNDING = 2e-5
"""Half a step of 16 bits, and sums in single precision."""

SAMPLING = 1e-4
"""What is expected is counted by points, of which a pixel at an edge has one more or less in each row of 16,384."""


def grained(channels):
    """Slopes under strong grain: the mean of codes is far from the mean of their light."""
    down, across = np.mgrid[:HIGH, :WIDE]
    slopes = np.stack([(down / HIGH + across / WIDE * (c + 1)) * 60 for c in range(channels)], axis=2)
    return (slopes + np.random.default_rng(5).integers(0, 60, slopes.shape)).astype(np.uint8)


GREY, COLOURS = grained(1)[..., 0], grained(3)
SAME = np.repeat(GREY[..., None], 3, axis=2)
OPACITY = (255 - COLOURS[..., 2]).astype(np.uint8)
DEEP = GREY.astype(np.uint16) * 199 + np.arange(WIDE, dtype=np.uint16)
DEEP_COLOURS = COLOURS.astype(np.uint16) * 257


def with_opacity(pixels):
    image = Image.fromarray(pixels)
    image.putalpha(Image.fromarray(OPACITY))
    return image


MAPS = {
    "grey": lambda: (encoded(GREY), GREY / 255),
    "grey, BMP": lambda: (encoded(GREY, "BMP"), GREY / 255),
    "grey of 16 bits": lambda: (encoded(DEEP), DEEP / 65535),
    "grey of 16 bits, TIFF": lambda: (encoded(DEEP, "TIFF"), DEEP / 65535),
    "grey in three channels": lambda: (encoded(SAME), GREY / 255),
    "grey in a palette": lambda: (encoded(Image.fromarray(GREY).convert("P")), GREY / 255),
    "grey, transparent": lambda: (encoded(with_opacity(GREY)), GREY / 255 * (OPACITY / 255)),
    "colours": lambda: (encoded(COLOURS), COLOURS.mean(axis=2) / 255),
    "colours, TIFF": lambda: (encoded(COLOURS, "TIFF"), COLOURS.mean(axis=2) / 255),
    "colours of 16 bits": lambda: (png(DEEP_COLOURS, 16, 2), COLOURS.mean(axis=2) / 255),
    "colours, transparent": lambda: (encoded(with_opacity(COLOURS)), COLOURS.mean(axis=2) / 255 * (OPACITY / 255)),
}


@pytest.fixture
def reductions(monkeypatch):
    """By how much each map is reduced; small ones are taken for large."""
    monkeypatch.setattr(reader, "MOST_WHOLE", 1000)
    monkeypatch.setattr(size, "PIXELS_KEPT", 1000)
    monkeypatch.setattr(size, "SAMPLES_PER_CELL", 4)
    taken = []
    decode = laying.decode

    def noted(source, *, reduction, **how):
        taken.append(reduction)
        return decode(source, reduction=reduction, **how)

    monkeypatch.setattr(laying, "decode", noted)
    return taken


def heights_of(data, picture=GREY, **choices):
    options = Options(**({"columns": COLUMNS, "rows": ROWS, "fit": "stretch"} | choices))
    source = Source("shore.png", encoded(picture))
    laid = laid_out(*read_header(source, max_pixels=10**7), options)
    means, notices = bead_heights(Source("hills", data), source, laid, options)
    return laid, means, notices


@pytest.mark.parametrize("invert", [False, True])
@pytest.mark.parametrize("kind", MAPS)
def test_heights_are_those_of_all_pixels(kind, invert, reductions):
    """Where edges of beads are edges of the squares that are averaged, to rounding."""
    data, values = MAPS[kind]()
    laid, means, notices = heights_of(data, invert_heights=invert)
    opaque = OPACITY / 255 if "transparent" in kind else 1
    wanted = sampled_means(opaque - values if invert else values, laid.grid)
    assert reductions == [4]
    assert np.abs(means - wanted).max() < ROUNDING
    assert bool(notices) == kind.startswith("colours")


@pytest.mark.parametrize(
    "choices",
    [
        {"turn": "0"},
        {"turn": "90"},
        {"turn": "180", "mirror": True},
        {"turn": "270", "mirror": True},
        {"rows": 17, "fit": "contain"},
        {"rows": 30, "fit": "contain", "turn": "90"},
        {"crop": Crop(13, 21, 211, 317)},
        {"crop": Crop(13, 21, 211, 317), "turn": "270", "rows": 30, "fit": "contain"},
        {"start": "bottom", "hand": "left", "mirror": True},
    ],
)
def test_heights_are_exact_however_the_work_lies(choices, reductions):
    """No edge of a bead falls on an edge of a pixel: what is averaged is cut where beads are."""
    laid, means, _ = heights_of(encoded(GREY), **({"columns": 7, "rows": None, "fit": "cover"} | choices))
    values = np.rot90(GREY / 255, -laid.plan.turn // 90)
    values = values[:, ::-1] if choices.get("mirror") else values
    wanted = sampled_means(values, laid.grid, window=laid.plan.window, bounds=laid.plan.bounds, samples=16384)
    assert reductions[0] > 1
    assert np.abs(means - wanted).max() < SAMPLING


def test_of_a_map_of_another_size_its_own_pixels_count(reductions):
    """Half as large as the picture, or of a picture half as large as the map."""
    large = np.kron(GREY, np.ones((2, 2), dtype=np.uint8))
    wanted = heights_of(encoded(GREY))[1]
    assert np.abs(heights_of(encoded(GREY), picture=large)[1] - wanted).max() < ROUNDING
    assert np.abs(heights_of(encoded(large))[1] - wanted).max() < ROUNDING
    assert reductions == [4, 4, 8]


def test_a_jpeg_is_off_by_less_than_a_code(reductions):
    """It is reduced by its own decoder, whose means are codes of 8 bits."""
    data = encoded(GREY, "JPEG", quality=90)
    laid, means, _ = heights_of(data)
    with Image.open(io.BytesIO(data)) as image:
        wanted = sampled_means(np.asarray(image) / 255, laid.grid)
    assert reductions == [4]
    assert np.abs(means - wanted).max() < 1 / 255


def test_what_lies_beside_a_crop_is_smoothed_into_it(monkeypatch):
    """Also into a large map: heights are those of the map read whole, to the smoothing of squares."""
    monkeypatch.setattr(size, "PIXELS_KEPT", 1000)
    half = np.zeros((HIGH, WIDE), dtype=np.uint8)
    half[:, : WIDE // 2] = 255
    choices = {"crop": Crop(50, 20, 50, 60, percent=True), "columns": 6, "rows": None, "blur_mm": 2.0}
    means = []
    for most_whole in (10**7, 1000):
        monkeypatch.setattr(reader, "MOST_WHOLE", most_whole)
        means.append(heights_of(encoded(half), **choices)[1])
    assert means[0].max() > 0.3
    assert np.abs(means[1] - means[0]).max() < 0.005
