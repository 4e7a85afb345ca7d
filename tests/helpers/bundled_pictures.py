"""Pictures that come with scikit-image and scikit-learn, by name, and our own samples, as the bytes of their files.

Free to use: scikit-learn's two are CC BY 2.0; scikit-image's are public domain, CC0 or as its ``data/README.txt`` says.
"""

from importlib.util import find_spec
from pathlib import Path

from convert.image.decode import Source

SAMPLES = Path(__file__).parents[2] / "samples"

LEARN = {"china": "china.jpg", "flower": "flower.jpg"}
IMAGE = {
    "astronaut": "astronaut.png",
    "coffee": "coffee.png",
    "chelsea": "chelsea.png",
    "rocket": "rocket.jpg",
    "hubble_deep_field": "hubble_deep_field.jpg",
    "retina": "retina.jpg",
    "immunohistochemistry": "ihc.png",
    "colorwheel": "color.png",
    "logo": "logo.png",
}
OURS = ("tide-pool", "shoreline", "lighthouse-dusk", "urchin-lines")

PICTURES = (*LEARN, *IMAGE)
PHOTOS = tuple(name for name in PICTURES if name not in {"colorwheel", "logo"})


def bundled(name):
    path = _path(name)
    return Source(path.name, path.read_bytes())


def _path(name):
    if name in OURS:
        return SAMPLES / f"{name}.png"
    package, folder, files = ("sklearn", "datasets/images", LEARN) if name in LEARN else ("skimage", "data", IMAGE)
    return Path(find_spec(package).origin).parent / folder / files.get(name, name)
