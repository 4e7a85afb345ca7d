"""Open pictures on the bead lattice, and reviews of them, for the tests of the colour count."""

import io
from functools import cache

import numpy as np
import skimage.data
from flows import cells_lab
from PIL import Image
from sklearn.datasets import load_sample_image

from convert.colouring.quantise import quantise_each
from convert.image.decode import Source
from convert.options import Options
from convert.pattern import review_colours

OPEN_PICTURES = ("china", "flower", "astronaut", "coffee", "chelsea")
"""Pictures that come with scikit-learn (china, flower: CC BY 2.0) and scikit-image (public domain, CC0)."""


def pixels_of(name):
    if name in {"china", "flower"}:
        return load_sample_image(f"{name}.jpg")
    return getattr(skimage.data, name)()


def source_of(pixels, name="picture.png"):
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", compress_level=1)
    return Source(name, file.getvalue())


def cells_of(name, columns=21):
    """CIELAB of the cells of an open picture, shape (cells, 3)."""
    return cells_lab(source_of(pixels_of(name)), None, Options(columns=columns))


@cache
def swept(name):
    """The cells of an open picture and its palettes of 2 to 16 colours; treat as read-only."""
    cells = cells_of(name)
    return cells, quantise_each(cells, range(2, 17))


def domed_work(**choices):
    """A small work with raised beads: the coffee cup, higher where the picture is lighter, 18 columns wide."""
    pixels = pixels_of("coffee")[::4, ::4]
    heights = np.asarray(Image.fromarray(pixels).convert("L").convert("RGB"))
    return source_of(pixels), source_of(heights), Options(columns=18, **choices)


def domed_review(numbers=range(2, 9), **choices):
    return review_colours(*domed_work(**choices), numbers)
