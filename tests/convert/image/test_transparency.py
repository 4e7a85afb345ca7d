import numpy as np
import pytest
from encoded_pictures import DEEP, GREY, LOSSLESS, OPACITY, PICTURE, WORK, expected, in_palette, over, rgb_of
from picture_oracle import cells_of, code, encoded, light
from PIL import Image


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
    all_but_one = np.where(DEEP[0, 0] == DEEP, 0, 255)
    disc = int(np.asarray(in_palette())[30, 20])
    for data, opacity, linear in (
        (encoded(with_opacity("RGBA")), OPACITY, light(PICTURE)),
        (encoded(with_opacity("RGBA"), "WEBP", lossless=True, exact=True), OPACITY, light(PICTURE)),
        (encoded(with_opacity("RGBA"), "TIFF"), OPACITY, light(PICTURE)),
        (encoded(with_opacity("LA")), OPACITY, rgb_of(light(GREY))),
        (palette, of_pixels, light(PICTURE)),
        (encoded(PICTURE, transparency=(235, 240, 90)), clear, light(PICTURE)),
        (encoded(in_palette(), "GIF", transparency=disc), clear, light(PICTURE)),
        (encoded(DEEP, transparency=int(DEEP[0, 0])), all_but_one, rgb_of(light(DEEP))),
    ):
        _, _, cells = cells_of(data, ground=ground, **WORK)
        assert opacity.min() < 255
        assert np.abs(cells - expected(over(linear, opacity, behind))).max() < LOSSLESS


def test_half_transparent_black_on_white_is_188():
    """IEC 61966-2-1: half the light of white is sRGB 188; mixing codes would give 127."""
    image = Image.new("RGBA", (64, 96), (0, 0, 0, 128))
    _, _, cells = cells_of(encoded(image), ground="#ffffff", **WORK)
    assert np.abs(code(cells) - 187).max() <= 1
