import io

import numpy as np
import pytest
from bundled_pictures import PHOTOS, bundled
from drawings import FLAT, UNIT, Board, as_scanned, emblem, face, like_a_photo, on_beads, slanted
from picture_oracle import picture_of
from PIL import Image

from convert.cells.classify import guess_style, has_dark_ground
from convert.cells.supersample import View
from convert.image.decode import decode
from convert.layout.choices import Crop
from convert.layout.size import Box
from shared.grid import Grid


def style_of(pixels, columns=31, **choices):
    view, grid = on_beads(pixels, columns, **choices)
    return guess_style(view, grid).style


def bundled_pixels(name):
    return np.ascontiguousarray(
        np.broadcast_to((codes := decode(bundled(name), max_pixels=10**8).pixels().codes), (*codes.shape[:2], 3))
    )


def jpeg(pixels, quality):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=quality)
    return np.asarray(Image.open(file))


@pytest.mark.parametrize("name", [*PHOTOS, "colorwheel", "lighthouse-dusk"])
def test_photographs_are_photos(name):
    pixels = bundled_pixels(name)
    assert {style_of(pixels, columns) for columns in (12, 31, 90)} == {"photo"}


@pytest.mark.parametrize(("name", "kind"), [("tide-pool", "flat"), ("shoreline", "flat"), ("urchin-lines", "lines")])
def test_our_drawings_are_what_they_are(name, kind):
    pixels = bundled_pixels(name)
    assert {style_of(pixels, columns) for columns in (12, 31, 90)} == {kind}
    assert style_of(jpeg(pixels, 75)) == kind
    assert style_of(np.rot90(pixels)) == kind


def coloured_in():
    board = Board(30, 40, (255, 255, 255))
    for place, colour in enumerate(FLAT):
        board.ring((8 + 4 * place, 8 + 7 * place), (6, 6), 0.25, fill=colour)
    return board.pixels()


def on_white(pixels):
    return np.pad(pixels, ((150, 150), (120, 120), (0, 0)), constant_values=255)


ACROSS = np.linspace(0, 255, 400)
SYNTHETIC = {
    "emblem": (emblem(), "flat"),
    "emblem with few pixels": (emblem(6), "flat"),
    "emblem as a JPEG": (jpeg(emblem(), 60), "flat"),
    "stripes": (
        np.kron(np.tile(np.array(FLAT, dtype=np.uint8)[:, None], (4, 8, 1)), np.ones((20, 30, 1), int)),
        "flat",
    ),
    "coloured in": (coloured_in(), "outlined"),
    "face": (face(), "lines"),
    "face in hair lines": (face(0.1), "lines"),
    "face as a JPEG": (jpeg(face(), 60), "lines"),
    "face in uneven light": (as_scanned(face()), "lines"),
    "one line": (slanted(30, 0.3)[0], "lines"),
    "chalk": (slanted(30, 0.3, colour=(240, 240, 230), ground=(20, 40, 60))[0], "lines"),
    "soft shades": (like_a_photo(), "photo"),
    "soft shades as a JPEG": (jpeg(like_a_photo(), 40), "photo"),
    "soft shades on white": (on_white(like_a_photo()), "photo"),
    "too bright": (np.clip(like_a_photo() * 1.9, 0, 255).astype(np.uint8), "photo"),
    "grey ramp": (np.tile(ACROSS[None, :, None], (300, 1, 3)).astype(np.uint8), "photo"),
    "noise": (np.random.default_rng(1).integers(0, 256, (300, 300, 3)).astype(np.uint8), "photo"),
    "one colour": (np.full((300, 300, 3), 120, dtype=np.uint8), "photo"),
}


@pytest.mark.parametrize("name", SYNTHETIC)
def test_drawn_examples(name):
    pixels, kind = SYNTHETIC[name]
    assert style_of(pixels.astype(np.uint8)) == kind


def test_only_the_part_that_is_used_counts():
    both = np.concatenate([face(unit=UNIT)[:600], like_a_photo(height=600, width=600)], axis=1)
    assert style_of(both, crop=Crop(0, 0, 50, 100, percent=True)) == "lines"
    assert style_of(both, crop=Crop(50, 0, 50, 100, percent=True)) == "photo"


def test_tiny_pictures_have_a_kind():
    for size in ((2, 2), (2, 40), (40, 2), (3, 3)):
        assert style_of(np.full((*size, 3), 200, dtype=np.uint8), 2, fit="stretch", rows=4) == "photo"


def test_grey_deep_and_transparent_pictures_are_told_alike():
    pixels = face()
    whole = Box(0, 0, pixels.shape[1], pixels.shape[0])
    grey = np.ascontiguousarray(pixels[..., 0])
    clear = Image.fromarray(np.zeros_like(pixels))
    clear.putalpha(Image.fromarray(np.where(grey > 128, 0, 255).astype(np.uint8)))
    for picture in (grey, grey.astype(np.uint16) * 257, clear):
        view = View(picture_of(picture), whole, whole, np.ones(3))
        assert guess_style(view, Grid(30, 40)).style == "lines"
        assert not has_dark_ground(view)
