"""From a photograph to the colours of the beads in it."""

import numpy as np

from palettes.photo.clutter import SievedPatches, shadow_like, sieve_patches, take_off_shadows
from palettes.photo.copies import Codes, Copies, Region, make_copies
from palettes.photo.ground import PlainGround, distance_from, find_ground
from palettes.photo.lighting import Card, Lighting, lighting_from_card, lighting_from_ground, scale_region
from palettes.photo.patches import Patch, PhotoReading, measure_patches, number_as_read
from palettes.photo.regions import clean, cut_regions, find_foreground, texture
from shared.arrays import Floats
from shared.colour import lab_from_linear
from shared.errors import BadFileError

SMALLEST_SIDE = 64
"""A photograph with fewer pixels a side shows no beads."""
MOST_PATCHES = 400
"""More patches than that are no heaps: the ground is patterned."""
MIXED = 15.0
"""Spread of a patch that says that its beads differ: heaps of one colour have 5 … 11, of two far apart 20 and more."""
LIGHTLY, HEAVILY = 1.2, 2.5
"""Widths in pixels of smoothing before patches are looked for."""
GRAINY, CALMER = 1.0, 0.7
"""Noise of the ground in Lab units above which heavy smoothing is tried, and to which part it must bring it: it calms
the grain of a sensor, but not a ground that is uneven."""

_SMOOTHING = 1 / 110
"""Width of smoothing in parts of the longest side: over some beads of a heap."""


def read_beads(codes: Codes, *, card: Card | None = None, name: str = "the photograph") -> PhotoReading:
    """Find the heaps, tubes or swatches of beads in a photograph, and the colour of each.

    Parameters
    ----------
    codes
        sRGB codes, upright, shape (height, width, 3) or (height, width, 1), 8 or 16 bits.
    card
        A grey or white card in it to balance colours by; without one the ground is taken for neutral.
    name
        What errors call the photograph.

    Raises
    ------
    BadFileError
        When it is too small, shows no plain ground, or nothing on it.
    BadChoiceError
        When the card cannot be used.
    """
    height, width = codes.shape[:2]
    if min(height, width) < SMALLEST_SIDE:
        raise BadFileError(f"has only {width} x {height} pixels; give a larger photograph", where=[name])
    copies = make_copies(codes)
    soft, ground = _find_softened_ground(lab_from_linear(copies.coarse), name)
    lighting = lighting_from_ground(ground) if card is None else lighting_from_card(codes, ground, card)
    sieved = _find_patches(copies, soft, lighting, None if card is None else card.region)
    _refuse_odd_count(int(sieved.labels.max()), name)
    labels = number_as_read(sieved.labels)
    patches = measure_patches(labels, copies, lighting)
    notices = lighting.notices + sieved.notices + tuple(_mixed(patch) for patch in patches if patch.spread > MIXED)
    return PhotoReading(patches, labels.astype(np.uint16), copies.step, notices)


def _mixed(patch: Patch) -> str:
    return f"patch {patch.number} holds beads of several colours; {patch.hex} is the colour of some of them"


def _find_softened_ground(lab: Floats, name: str) -> tuple[Floats, PlainGround]:
    """Smooth a copy a little, or more where the sensor is grainy, and find the ground in it."""
    soft = _smooth(lab, LIGHTLY)
    ground = find_ground(soft, name=name)
    if ground.noise < GRAINY:
        return soft, ground
    softer = _smooth(lab, HEAVILY)
    calmer = find_ground(softer, name=name)
    return (softer, calmer) if calmer.noise < CALMER * ground.noise else (soft, ground)


def _smooth(lab: Floats, width: float) -> Floats:
    from scipy.ndimage import gaussian_filter

    return np.asarray(gaussian_filter(lab, (width, width, 0), mode="nearest"))


def _find_patches(copies: Copies, soft: Floats, lighting: Lighting, card: Region | None) -> SievedPatches:
    width = max(soft.shape) * _SMOOTHING
    even = lighting.even(copies.coarse)
    lab = lab_from_linear(even)
    unlike = np.hypot(distance_from(lighting.ground, soft), texture(lab[..., 0], lighting.ground.bare, width))
    mask = find_foreground(unlike, lighting.ground.noise, width)
    shadow = shadow_like(even, lighting.ground.bare)
    lit = take_off_shadows(cut_regions(lab, mask, width), shadow)
    heaps = cut_regions(lab, clean(lit, width), width)
    return sieve_patches(heaps, card=None if card is None else scale_region(card, copies.step, soft.shape))


def _refuse_odd_count(count: int, name: str) -> None:
    if count == 0:
        raise BadFileError(
            "shows no beads that stand out from the ground; lay them on a plain ground of another colour", where=[name]
        )
    if count > MOST_PATCHES:
        raise BadFileError(
            f"falls into more than {MOST_PATCHES} patches; lay the beads in heaps on a plain ground", where=[name]
        )
