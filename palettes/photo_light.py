"""The light of a photograph, judged by something white or grey in it, and how far off that leaves the colours.

Places count pixels from the upper left corner, x right and y down. The light's colour is divided out in the cone space
of the Bradford transform (source: M. D. Fairchild, "Color Appearance Models", 3rd edition 2013, section 9.5), not in
sRGB: on 24 published chart reflectances it left less under seven of nine standard illuminants.
"""

from itertools import product
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from shared.arrays import Floats
from shared.ciede2000 import ciede2000
from shared.colour import SRGB_TO_XYZ, lab_from_linear, linear_from_lab, linear_from_srgb
from shared.errors import BadChoiceError

Codes = NDArray[np.uint8] | NDArray[np.uint16]
"""sRGB of a photograph, upright, shape (height, width, 3) or (height, width, 1)."""

PAPER, CARD = 95.0, 49.5
"""L* of white paper, and of a grey card: a reflectance of 18 % (CIE 015:2018, 8.2.1)."""
DARKEST, LIGHTEST_CARD, MOST_SCATTER = 10.0, 70.0, 8.0
"""A reference's least L*, a grey card's largest, and how far in Lab its pixels may lie from their mean (median)."""
DARK, TINTED, UNEVEN = 0.55, 10.0, 1.3
"""Said: exposure below this part of the right one, chroma of the reference above this, and light this many times
stronger at one point than at another."""
UNREFERENCED, LAMPLIT, HEAPS, LEFT = 8.0, 20.0, 3.0, 0.1
"""CIEDE2000, medians of drawn photographs of known colours: nothing known of the light, by day and in lamplight; heaps
in known light; and the part of an error of the light that stays when it is undone."""
LIKE_GROUND, LEAST_GROUND, MOST_GRAIN = 0.15, 0.15, 0.15
"""A ground's colour: logarithms of channel ratios within this; the part of the photograph that it must fill; and the
median difference of the logarithm of its light from the smooth fit above which it is no even ground."""

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
_TO_CONES = BRADFORD @ SRGB_TO_XYZ
_SAMPLES = 150
_TYPICAL = linear_from_srgb(np.array(list(product((60, 128, 196), repeat=3))) / 255)


class Region(NamedTuple):
    """A rectangle of a photograph, in its pixels."""

    x: int
    y: int
    width: int
    height: int


class Caution(NamedTuple):
    """Why colours may be off."""

    kind: str
    """``unreferenced``, ``dark``, ``tinted``, ``uneven``; of points ``mixed`` and ``shared``."""
    off: float
    """CIEDE2000, for the middle one of many colours; 0 where that is not known."""
    told: str


class PhotoLight(NamedTuple):
    """What was found out about the light."""

    matrix: Floats
    """Linear sRGB as seen to linear sRGB in white light, rightly exposed, shape (3, 3)."""
    slope: Floats
    """How the logarithm of the light changes over the photograph, see `fall_off`, shape (5,)."""
    origin: tuple[float, float]
    """The place, in parts of width and height, where the matrix is right."""
    cautions: tuple[Caution, ...]
    left: float
    """Part of the errors that the light makes which remains; 1 where nothing white or grey is known."""

    def at(self, across: float, down: float) -> float:
        """Return how strong the light is at a place in parts of width and height, 1 at the origin."""
        terms = _terms(*np.array([[across, self.origin[0]], [down, self.origin[1]]]))
        return float(np.exp(np.clip((terms[0] - terms[1]) @ self.slope, -2, 2)))

    def cautions_at(self, places: Floats) -> tuple[Caution, ...]:
        """Return the cautions, with one where the light differs between places as `at` takes them, shape (n, 2)."""
        strengths = [self.at(across, down) for across, down in places]
        ratio = max(strengths) / min(strengths)
        told = f"the light on one heap is {ratio:.1f} times that on another"
        uneven = Caution("uneven", _off(np.full(3, 1 / ratio), self.left), told)
        return self.cautions + (uneven,) * (ratio > UNEVEN)


def find_light(codes: Codes, reference: Region | None, lightness: float = PAPER) -> PhotoLight:
    """Judge the light by a part of white paper or of a grey card (L*: `PAPER` or `CARD`); without one only warn.

    Raises
    ------
    BadChoiceError
        When the reference cannot be used.
    """
    step = max(1, max(codes.shape[:2]) // _SAMPLES)
    small = light_of(codes[step // 2 :: step, step // 2 :: step])
    # Where the ground is neither the reference's paper nor known, it is what most of the photograph's rim shows.
    rim = np.median(np.concatenate([small[0], small[-1], small[:, 0], small[:, -1]]), axis=0)
    if reference is None:
        return PhotoLight(np.eye(3), fall_off(small, rim), (0.5, 0.5), _warn_unreferenced(small), 1.0)
    seen = reference_light(codes, reference, lightness)
    slope = fall_off(small, seen)
    x, y, width, height = reference
    return PhotoLight(
        balance_matrix(seen, lightness),
        slope if slope.any() else fall_off(small, rim),
        ((x + width / 2) / codes.shape[1], (y + height / 2) / codes.shape[0]),
        _warn(seen, lightness),
        LEFT,
    )


def light_of(codes: Codes) -> Floats:
    """Return linear light in 0 … 1, shape (height, width, 3)."""
    return np.broadcast_to(linear_from_srgb(codes / np.iinfo(codes.dtype).max), (*codes.shape[:2], 3))


def region_around(codes: Codes, point: tuple[int, int], reach: int) -> Region:
    """Return the square round a point, as far as it lies in the photograph.

    Raises
    ------
    BadChoiceError
        When the point does not.
    """
    (height, width), (x, y) = codes.shape[:2], point
    if not (0 <= x < width and 0 <= y < height):
        raise _outside(f"the point {x},{y}", codes)
    left, top = max(0, x - reach), max(0, y - reach)
    return Region(left, top, min(width, x + reach + 1) - left, min(height, y + reach + 1) - top)


def reference_light(codes: Codes, region: Region, lightness: float) -> Floats:
    """Return the mean linear light of a reference, shape (3,).

    Raises
    ------
    BadChoiceError
        When it lies outside, or is over-exposed, nearly black, not one even colour, or white where a card was said.
    """
    x, y, across, down = region
    place = f"the {'paper' if lightness == PAPER else 'card'} at {','.join(map(str, region))}"
    if min(x, y) < 0 or min(across, down) < 1 or x + across > codes.shape[1] or y + down > codes.shape[0]:
        raise _outside(place, codes)
    crop = codes[y : y + down, x : x + across]
    linear = light_of(crop)
    mean = np.asarray(linear.mean(axis=(0, 1)))
    lab, centre = lab_from_linear(linear), lab_from_linear(mean)
    if (crop >= np.iinfo(codes.dtype).max - 1).any(axis=-1).mean() > 0.02:
        raise BadChoiceError(f"{place} is over-exposed; give a darker part of it, or take the photograph darker")
    if centre[0] < DARKEST:
        raise BadChoiceError(f"{place} is nearly black; give a lighter one")
    if np.median(np.linalg.norm(lab - centre, axis=-1)) > MOST_SCATTER:
        raise BadChoiceError(f"{place} is not one even colour; give a place well inside it")
    if lightness == CARD and centre[0] > LIGHTEST_CARD:
        raise BadChoiceError(f"{place} is white rather than grey; give it as white paper, with --paper x,y")
    return mean


def _outside(what: str, codes: Codes) -> BadChoiceError:
    size = f"{codes.shape[1]} x {codes.shape[0]} pixels"
    return BadChoiceError(f"{what} does not lie in the photograph, which has {size}; count from its upper left corner")


def fall_off(small: Floats, colour: Floats) -> Floats:
    """Follow the light over a ground of a colour (linear light, shape (3,)), whatever its brightness.

    Returns by how much the logarithm of the light in a small copy, shape (rows, columns, 3), grows with x, y, x², xy
    and y², in parts of width and height, shape (5,): zeros where there is too little ground, or it is not even.
    """
    rows, columns = small.shape[:2]
    down, across = np.mgrid[:rows, :columns]
    logs, want = np.log(np.maximum(small, 1e-3)), np.log(np.maximum(colour, 1e-3))
    # Differences of logarithms are ratios of channels: they stay the same where the light is weaker.
    ground = np.abs((logs - logs[..., 1:2]) - (want - want[1])).max(axis=-1) < LIKE_GROUND
    values, terms = logs[..., 1][ground], _terms(across[ground] / columns, down[ground] / rows)
    basis, kept = np.concatenate([np.ones((len(terms), 1)), terms], axis=-1), np.ones(len(terms), dtype=bool)
    for count in (3, 3, 6, 6, 6, 6):
        if kept.sum() < LEAST_GROUND * rows * columns:
            return np.zeros(5)
        fit = np.linalg.lstsq(basis[kept, :count], values[kept], rcond=None)[0]
        away = np.abs(values - basis[:, :count] @ fit)
        noise = float(np.median(away[kept]))
        # Beads and shadows that happen to have the ground's colour lie off the fit, and leave it in a few rounds.
        kept = away < max(3 * noise, 0.03)
    return fit[1:] if noise < MOST_GRAIN else np.zeros(5)


def _terms(across: Floats, down: Floats) -> Floats:
    return np.stack([across, down, across**2, across * down, down**2], axis=-1)


def balance_matrix(seen: Floats, lightness: float) -> Floats:
    """Return the matrix that makes a neutral thing, seen as linear sRGB (3,), a grey of that L*, shape (3, 3)."""
    gains = (_TO_CONES @ linear_from_lab(np.array([lightness, 0.0, 0.0]))) / np.maximum(_TO_CONES @ seen, 1e-6)
    return np.asarray(np.linalg.inv(_TO_CONES) @ (gains[:, None] * _TO_CONES))


def _warn(seen: Floats, lightness: float) -> tuple[Caution, ...]:
    """Warn of a reference that is darker than it should be, or coloured."""
    gains = seen / linear_from_lab(np.array([lightness, 0.0, 0.0]))
    exposure = float(gains @ SRGB_TO_XYZ[1])
    chroma = float(np.hypot(*lab_from_linear(seen)[1:]))
    tinted = Caution("tinted", _off(gains / exposure, LEFT), "the light is tinted")
    return _warn_dark(exposure, LEFT) + (tinted,) * (chroma > TINTED)


def _warn_unreferenced(small: Floats) -> tuple[Caution, ...]:
    """Warn that nothing is known of the light's colour, and judge the exposure by the brightest part."""
    brightest = float(np.quantile(small @ SRGB_TO_XYZ[1], 0.99))
    told = f"nothing white or grey was given to judge the light by; in lamplight count with {LAMPLIT:g}"
    return (Caution("unreferenced", UNREFERENCED, told), *_warn_dark(brightest, 1.0))


def _warn_dark(exposure: float, left: float) -> tuple[Caution, ...]:
    dark = Caution("dark", _off(np.full(3, exposure), left), "the photograph is dark")
    return (dark,) * (exposure < DARK)


def _off(gains: Floats, left: float) -> float:
    """Return how far off colours are whose light took these gains, of which a part is left: a median CIEDE2000."""
    moved = ciede2000(lab_from_linear(np.minimum(_TYPICAL * gains, 1)), lab_from_linear(_TYPICAL))
    # The reading of heaps has an error of its own, independent of the light's.
    return float(np.hypot(np.median(moved) * left, HEAPS))
