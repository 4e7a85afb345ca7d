"""From a photograph to the colours of the beads in it."""

import numpy as np

from palettes.photo.balance import Card
from palettes.photo.ground import Ground, distance_from, find_ground
from palettes.photo.lighting import Lighting, lighting_from_card, lighting_from_ground, scaled
from palettes.photo.measure import in_reading_order, measured
from palettes.photo.reduce import Codes, Copies, copies_of
from palettes.photo.regions import cleaned, cut_regions, foreground, texture
from palettes.photo.shadows import shadow_like, without_shadows
from palettes.photo.sieve import Sieved, sieve
from palettes.photo.values import Patch, Reading, Region
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


def read_beads(codes: Codes, *, card: Card | None = None, name: str = "the photograph") -> Reading:
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
    copies = copies_of(codes)
    soft, ground = _softened_ground(lab_from_linear(copies.coarse), name)
    lighting = lighting_from_ground(ground) if card is None else lighting_from_card(codes, ground, card)
    sieved = _found(copies, soft, lighting, None if card is None else card.region)
    _refuse_odd_count(int(sieved.labels.max()), name)
    labels = in_reading_order(sieved.labels)
    patches = measured(labels, copies, lighting)
    notices = lighting.notices + sieved.notices + tuple(_mixed(patch) for patch in patches if patch.spread > MIXED)
    return Reading(patches, labels.astype(np.uint16), copies.step, notices)


def _mixed(patch: Patch) -> str:
    return f"patch {patch.number} holds beads of several colours; {patch.hex} is the colour of some of them"


def _softened_ground(lab: Floats, name: str) -> tuple[Floats, Ground]:
    """Smooth a copy a little, or more where the sensor is grainy, and find the ground in it."""
    soft = _smoothed(lab, LIGHTLY)
    ground = find_ground(soft, name=name)
    if ground.noise < GRAINY:
        return soft, ground
    softer = _smoothed(lab, HEAVILY)
    calmer = find_ground(softer, name=name)
    return (softer, calmer) if calmer.noise < CALMER * ground.noise else (soft, ground)


def _smoothed(lab: Floats, width: float) -> Floats:
    from scipy.ndimage import gaussian_filter

    return np.asarray(gaussian_filter(lab, (width, width, 0), mode="nearest"))


def _found(copies: Copies, soft: Floats, lighting: Lighting, card: Region | None) -> Sieved:
    width = max(soft.shape) * _SMOOTHING
    even = lighting.even(copies.coarse)
    lab = lab_from_linear(even)
    unlike = np.hypot(distance_from(lighting.ground, soft), texture(lab[..., 0], lighting.ground.bare, width))
    mask = foreground(unlike, lighting.ground.noise, width)
    shadow = shadow_like(even, lighting.ground.bare)
    lit = without_shadows(cut_regions(lab, mask, width), shadow)
    heaps = cut_regions(lab, cleaned(lit, width), width)
    return sieve(heaps, card=None if card is None else scaled(card, copies.step, soft.shape))


def _refuse_odd_count(count: int, name: str) -> None:
    if count == 0:
        raise BadFileError(
            "shows no beads that stand out from the ground; lay them on a plain ground of another colour", where=[name]
        )
    if count > MOST_PATCHES:
        raise BadFileError(
            f"falls into more than {MOST_PATCHES} patches; lay the beads in heaps on a plain ground", where=[name]
        )
