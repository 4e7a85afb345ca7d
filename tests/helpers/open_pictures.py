"""Colour pictures that come inside the wheels of scikit-learn and scikit-image, loaded from there and not copied.

china and flower are CC BY 2.0 (scikit-learn, datasets/images/README.txt); the others are public domain or CC0 by
scikit-image's data/README.txt, but for the left picture of motorcycle (Middlebury stereo benchmark 2014), for which
no licence is stated.
"""

import numpy as np

COLOUR_PICTURES = (
    "astronaut",
    "chelsea",
    "china",
    "coffee",
    "colorwheel",
    "flower",
    "hubble_deep_field",
    "immunohistochemistry",
    "logo",
    "motorcycle",
    "retina",
    "rocket",
)


def open_picture(name):
    """8-bit sRGB, shape (height, width, 3)."""
    if name in {"china", "flower"}:
        from sklearn.datasets import load_sample_image

        return load_sample_image(f"{name}.jpg")
    import skimage.data

    if name == "motorcycle":
        return skimage.data.stereo_motorcycle()[0]
    return np.ascontiguousarray(getattr(skimage.data, name)()[..., :3])
