"""A picture with a great many colours, as a photograph has: a lighthouse at dusk.

Places are shares of the picture (0 to 1 across and down), colours are linear light.
"""

from __future__ import annotations

import numpy as np
from canvas import Bytes, Canvas, Floats, Points, arc, linear_from_srgb, points, smooth, srgb_curve
from numpy.typing import NDArray
from PIL import Image, ImageFilter

SIZE_PX = (480, 720)
HORIZON = 0.67
SUN = (0.23, 0.645)
TOWER_X, LAMP_Y, TOWER_TOP, TOWER_FOOT = 0.64, 0.205, 0.24, 0.74
HALF_TOP, HALF_FOOT = 0.05, 0.084
"""Half the width of the tower."""

SKY = ((0.0, "#141b42"), (0.3, "#353c78"), (0.52, "#7b558d"), (0.7, "#cd7180"), (0.86, "#f2a272"), (1.0, "#fdd898"))
SEA = ((0.0, "#f2b990"), (0.1, "#c4838e"), (0.3, "#725f8c"), (0.65, "#333d6b"), (1.0, "#131a38"))
HILLS = np.transpose(
    [
        (-0.1, -0.1, 0.1, 0.22, 0.4, 0.55, 0.8, 1.1, 1.1),
        (0.68, 0.655, 0.648, 0.658, 0.643, 0.652, 0.636, 0.65, 0.68),
    ]
)
ROCK = np.transpose(
    [
        (0.2, 0.24, 0.31, 0.36, 0.43, 0.48, 0.55, 0.64, 0.74, 0.82, 0.88, 0.96, 1.1, 1.1, 0.2),
        (1.0, 0.93, 0.885, 0.82, 0.79, 0.745, 0.728, 0.72, 0.727, 0.755, 0.8, 0.815, 0.85, 1.1, 1.1),
    ]
)


def lighthouse_dusk() -> Bytes:
    """Return the picture, shape (height, width, 3)."""
    chance = np.random.default_rng(11)
    x, y = places()
    light = np.where((y < HORIZON)[..., None], sky(x, y, chance), sea(x, y, chance))
    light = over(light, mix("#8d6488", "#c98088", 1 - x), cover(smooth(HILLS)) * (y < HORIZON))
    stone = cover(smooth(ROCK))
    light = light + surf(stone, chance)
    light = over(light, rock(x, y, chance), stone)
    light = over(light, tower(x, y), cover(tower_outline()))
    light = lantern(light, x)
    return grained(light + lamplight(x, y), chance)


def places() -> tuple[Floats, Floats]:
    """Return x and y of every pixel, each of shape (height, width)."""
    y, x = np.mgrid[0 : SIZE_PX[1], 0 : SIZE_PX[0]].astype(np.float32)
    return (x + 0.5) / SIZE_PX[0], (y + 0.5) / SIZE_PX[1]


def colour(value: str) -> Floats:
    """Return the linear light of a hex colour, shape (3,)."""
    return linear_from_srgb(np.array([int(value[i : i + 2], 16) for i in (1, 3, 5)]) / 255)


def mix(low: str, high: str, share: Floats) -> Floats:
    """Return light between two colours for shares of shape (height, width)."""
    share = np.clip(share, 0, 1)[..., None]
    return colour(low) * (1 - share) + colour(high) * share


def gradient(stops: tuple[tuple[float, str], ...], share: Floats) -> Floats:
    """Return light from a list of colours at rising shares."""
    at = [stop for stop, _ in stops]
    light = np.array([colour(value) for _, value in stops])
    # Roots keep the steps even to the eye; in plain linear light the dark end would be short.
    channels = [np.interp(share, at, np.sqrt(light[:, i])) ** 2 for i in range(3)]
    return np.stack(channels, axis=-1).astype(np.float32)


def ramp(low: float, high: float, value: Floats) -> Floats:
    """Return a smooth step from 0 at `low` to 1 at `high`."""
    t = np.clip((value - low) / (high - low), 0, 1)
    return np.asarray(t * t * (3 - 2 * t), dtype=np.float32)


def over(under: Floats, upper: Floats, coverage: Floats) -> Floats:
    """Return one layer of light laid over another."""
    return under * (1 - coverage[..., None]) + upper * coverage[..., None]


def cover(outline: Points) -> Floats:
    """Return how much of each pixel lies inside an outline, shape (height, width)."""
    canvas = Canvas(SIZE_PX, "#000000")
    canvas.area(outline * SIZE_PX, "#ffffff")
    return linear_from_srgb(canvas.reduced()[..., 0] / 255)


def noise(chance: np.random.Generator, cells: tuple[int, int], octaves: int = 5) -> Floats:
    """Return cloudy noise in about 0..1, shape (height, width), from cells (down, across)."""
    total = np.zeros((SIZE_PX[1], SIZE_PX[0]), dtype=np.float32)
    for octave in range(octaves):
        grid = chance.random((cells[0] * 2**octave + 1, cells[1] * 2**octave + 1), dtype=np.float32)
        total += np.asarray(Image.fromarray(grid).resize(SIZE_PX, Image.Resampling.BICUBIC)) / 2 ** (octave + 1)
    return total


def sky(x: Floats, y: Floats, chance: np.random.Generator) -> Floats:
    """Return the evening sky with its glow, its clouds and the first stars."""
    away = np.hypot((x - SUN[0]) / 1.5, y - SUN[1])
    light = gradient(SKY, y / HORIZON)
    light = light + colour("#ffb060") * (0.55 * np.exp(-((away / 0.16) ** 2)) + 0.1 * np.exp(-away / 0.25))[..., None]
    light = over(light, mix("#fff0c4", "#fff0c4", x), ramp(0.033, 0.029, away))
    stars = (chance.random(x.shape) > 0.9993) * ramp(0.3, 0.0, y)
    light = light + stars[..., None] * 0.6
    bank = noise(chance, (9, 2))
    thick = ramp(0.5, 0.7, bank) * ramp(0.04, 0.2, y) * ramp(0.66, 0.52, y) * 0.85
    lit = np.clip((np.roll(bank, 9, axis=0) - bank) * 6 + 0.35, 0, 1)
    return over(light, mix("#4b4178", "#f79a78", lit * ramp(-0.05, 0.5, y)), thick)


def sea(x: Floats, y: Floats, chance: np.random.Generator) -> Floats:
    """Return the water with ripples that grow towards us, and the path of the sun on it."""
    near = np.clip((y - HORIZON) / (1 - HORIZON), 0, 1)
    cloth = noise(chance, (24, 12), 4)
    across = there_and_back((x - 1.4) / (near + 0.12) * 170, SIZE_PX[0])
    down = there_and_back(np.log(near + 0.04) * 420, SIZE_PX[1])
    ripple = cloth[down, across]
    light = gradient(SEA, near) * (0.72 + 0.56 * ramp(0.3, 0.65, ripple))[..., None]
    path = np.exp(-(((x - SUN[0]) / (0.05 + 0.13 * near)) ** 2)) * (1 - 0.75 * near)
    shimmer = path * (0.25 + 1.1 * ramp(0.45, 0.62, ripple))
    return np.asarray(light + colour("#ffb878") * shimmer[..., None])


def there_and_back(place: Floats, size: int) -> NDArray[np.intp]:
    """Return indices that run up and down a side without a seam."""
    return np.asarray(size - 1 - np.abs(place % (2 * size - 2) - (size - 1)), dtype=np.intp)


def rock(x: Floats, y: Floats, chance: np.random.Generator) -> Floats:
    """Return stone, warm on the faces that look to the sun."""
    relief = noise(chance, (9, 8), 6)
    facing = np.clip((relief - np.roll(relief, 3, axis=1)) * 7 + (relief - np.roll(relief, 3, axis=0)) * 3 + 0.25, 0, 1)
    light = mix("#14132b", "#c98a78", facing * ramp(1.05, 0.72, y) * ramp(1.1, 0.3, x))
    return light + mix("#05050f", "#1c1f44", relief) * 0.5


def surf(stone: Floats, chance: np.random.Generator) -> Floats:
    """Return the light of the white water round the rock."""
    soft = Image.fromarray(np.asarray(stone * 255, dtype=np.uint8)).filter(ImageFilter.GaussianBlur(9))
    spray = np.asarray(soft) / 255 * ramp(0.35, 0.65, noise(chance, (30, 14), 4))
    return spray[..., None].astype(np.float32) * colour("#e8d4dc") * (places()[1] > 0.75)[..., None]


def tower_outline() -> Points:
    """Return the outline of the tower's shaft, its foot a little round."""
    shoulders = points((TOWER_X - HALF_TOP, TOWER_TOP), (TOWER_X + HALF_TOP, TOWER_TOP))
    return np.concatenate([shoulders, arc((TOWER_X, TOWER_FOOT), (HALF_FOOT, 0.012), (0, 180))])


def tower(x: Floats, y: Floats) -> Floats:
    """Return the painted shaft, lit from the left as a round wall is."""
    half = np.interp(y, (TOWER_TOP, TOWER_FOOT), (HALF_TOP, HALF_FOOT))
    side = np.clip((x - TOWER_X) / half, -1, 1)
    band = (y - TOWER_TOP + 0.012 * side**2) / (TOWER_FOOT - TOWER_TOP) * 5
    paint = mix("#f7efe2", "#cf4632", ramp(-0.06, 0.06, -np.sin(np.pi * np.clip(band, 0.1, 4.9))))
    sunlit = np.clip(np.cos(np.arcsin(side) + 0.95), 0, 1)[..., None]
    light: Floats = paint * (colour("#ffd0a0") * 1.05 * sunlit + colour("#5a5c92") * 0.75)
    arch = np.concatenate([arc((0, -0.012), (0.014, 0.008), (180, 360)), points((0.014, 0.018), (-0.014, 0.018))])
    for row, glow in ((0.285, "#ffcf70"), (0.475, "#ffcf70"), (0.672, "#2a1f30")):
        light = over(light, mix(glow, glow, x), cover(arch + np.array((TOWER_X - 0.004, row))))
    return light


def lantern(light: Floats, x: Floats) -> Floats:
    """Return the picture with the gallery, the lit glass and the cap on top of the shaft."""
    glass = points((-0.036, -0.031), (0.036, -0.031), (0.036, 0.027), (-0.036, 0.027))
    gallery = points((-0.074, 0.026), (0.074, 0.026), (0.064, 0.046), (-0.064, 0.046))
    rail = np.transpose(
        [
            (-0.074, -0.069, -0.069, 0.069, 0.069, 0.074, 0.074, -0.074),
            (0.008, 0.008, 0.026, 0.026, 0.008, 0.008, 0.03, 0.03),
        ]
    )
    cap = np.concatenate([arc((0, -0.03), (0.047, 0.04), (180, 360)), points((0.047, -0.026), (-0.047, -0.026))])
    tip = points((-0.005, -0.066), (0, -0.092), (0.005, -0.066))
    side = (x - TOWER_X) / 0.07
    dark = mix("#5e3a44", "#14132a", side * 0.5 + 0.6)
    bars = np.abs((x - TOWER_X) / 0.036 * 1.5 % 1 - 0.5) > 0.44
    parts = [
        (glass, mix("#ffe9a8", "#3a2a3a", bars.astype(np.float32))),
        (gallery, dark),
        (rail, dark),
        (cap, mix("#d9604a", "#3a1526", side * 0.7 + 0.5)),
        (tip, dark),
    ]
    for outline, paint in parts:
        light = over(light, paint, cover(outline + np.array((TOWER_X, LAMP_Y))))
    return light


def lamplight(x: Floats, y: Floats) -> Floats:
    """Return the light that the lamp and its two beams add."""
    along, rise = (x - TOWER_X) / 1.5, y - LAMP_Y
    halo = 0.8 * np.exp(-((np.hypot(along, rise) / 0.03) ** 2)) + 0.25 * np.exp(-np.hypot(along, rise) / 0.05)
    off = rise + 0.16 * along
    beam = np.exp(-((off / (0.008 + 0.11 * np.abs(along))) ** 2)) * np.exp(-np.abs(along) / 0.3) * 0.42
    return np.asarray((halo + beam)[..., None] * colour("#ffe2a0"))


def grained(light: Floats, chance: np.random.Generator) -> Bytes:
    """Return 8-bit sRGB with a fine grain, in steps of three so that the file stays small."""
    curve = srgb_curve(light) * 255 + chance.normal(0, 1, light.shape[:2])[..., None]
    return np.asarray(np.clip(np.round(curve / 3) * 3, 0, 255), dtype=np.uint8)
