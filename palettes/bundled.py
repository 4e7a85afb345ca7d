"""The palettes that come with Hummock: invented colours, made by ``samples/bundled_palettes.py``."""

from importlib.resources import files

from palettes.formats.read import read_palette
from palettes.palette import Palette
from shared.errors import BadChoiceError

NAMES = ("coast", "half-tide", "pebbles")
"""What can be loaded: a broad set; one of which half is made in small sizes only; a small opaque set."""


def load(name: str) -> Palette:
    """Return a bundled palette.

    Raises
    ------
    BadChoiceError
        When none has this name.
    """
    if name not in NAMES:
        raise BadChoiceError(f"no palette that comes with Hummock is called '{name}'; take {', '.join(NAMES)}")
    data = files("palettes").joinpath("bundled", f"{name}.csv").read_bytes()
    return read_palette(data, f"{name}.csv")
