"""Photographs of bead heaps and of a colour chart, drawn here: what they show is known."""

import csv
import warnings
from pathlib import Path

import numpy as np
from picture_oracle import code, light
from scipy.ndimage import gaussian_filter

TOWARDS_LIGHT = np.array([-0.45, -0.55, 1.0]) / np.linalg.norm([-0.45, -0.55, 1.0])
HALF_WAY = TOWARDS_LIGHT + np.array([0, 0, 1])
"""Between the light and the eye: there a bead glints (Blinn 1977)."""
AMBIENT = 0.35
DIFFUSE = (1 - AMBIENT) / TOWARDS_LIGHT[2]
"""So much that a level surface sends back just its own colour."""


with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as science

D50, D65 = (science.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"][name] for name in ("D50", "D65"))
CHART = Path(__file__).parents[1] / "reference" / "chart_24_patches.csv"
SWATCH, GAP = 56, 16


def chart_lab():
    """The published 24 patches in CIELAB, D65, shape (24, 3), adapted by the reference library."""
    lines = [line for line in CHART.read_text("utf-8").splitlines() if not line.startswith("#")]
    lab = np.array([[float(cell) for cell in row[2:]] for row in list(csv.reader(lines))[1:]])
    white_50, white_65 = (science.xyY_to_XYZ([*white, 1]) for white in (D50, D65))
    there = science.chromatic_adaptation(science.Lab_to_XYZ(lab, D50), white_50, white_65, transform="Bradford")
    return science.XYZ_to_Lab(there, D65)


def chart_scene(ground_colour, card):
    """The chart on a ground, four rows of six; and below it a neutral card of a reflectance."""
    scene = ground(4 * (SWATCH + GAP) + GAP + 90, 6 * (SWATCH + GAP) + GAP, ground_colour)
    for place, lab in enumerate(chart_lab()):
        linear = science.XYZ_to_sRGB(science.Lab_to_XYZ(lab, D65), apply_cctf_encoding=False)
        down, across = (GAP + part * (SWATCH + GAP) for part in divmod(place, 6))
        lay_swatch(scene, linear, (across, down, SWATCH, SWATCH))
    lay_swatch(scene, np.full(3, card), CARD_BOX)
    return scene


CARD_BOX = (140, 4 * (SWATCH + GAP) + GAP, 160, 70)
"""Left, top, width, height of the card."""
PATCHES = [(44 + (SWATCH + GAP) * (place % 6), 44 + (SWATCH + GAP) * (place // 6)) for place in range(24)]
"""The middle of each patch."""


def light_of_colour_temperature(linear, kelvin):
    """A scene as it looks in other light: adapted from D65 by CAT02 (CIE 159:2004), not by our own transform."""
    xy = (
        science.temperature.CCT_to_xy_CIE_D(kelvin)
        if kelvin >= 4000
        else science.temperature.CCT_to_xy_Kang2002(kelvin)
    )
    matrix = science.adaptation.matrix_chromatic_adaptation_VonKries(
        science.xyY_to_XYZ([*D65, 1]), science.xyY_to_XYZ([*xy, 1]), transform="CAT02"
    )
    to_xyz = science.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ
    return np.maximum(linear @ (np.linalg.inv(to_xyz) @ matrix @ to_xyz).T, 0)


def light_of_a_lamp(linear):
    """A scene lit by a lamp above its upper left corner: light falls off with the square of the distance."""
    height, width = linear.shape[:2]
    down, across = np.mgrid[:height, :width] / width
    return linear * (0.25 / ((across - 0.15) ** 2 + (down + 0.1) ** 2 + 0.25))[..., None]


def photograph(scene, *, gains=(1, 1, 1), blur=0.0, noise=0.0, fall_off=0.0, seed=5):
    """8-bit codes of a scene in linear light: cast and exposure, lens, light that falls off, sensor."""
    height, width = scene.shape[:2]
    down, across = np.mgrid[:height, :width]
    bright = 1 - fall_off * (0.7 * across / width + 0.3 * down / height)
    seen = scene * np.asarray(gains, dtype=float) * bright[..., None]
    if blur:
        seen = gaussian_filter(seen, (blur, blur, 0))
    codes = code(np.clip(seen, 0, 1))
    grain = np.random.default_rng(seed).normal(0, noise, codes.shape) if noise else 0
    return np.clip(np.rint(codes + grain), 0, 255).astype(np.uint8)


def ground(height, width, colour="#c8c8c8"):
    return np.full((height, width, 3), light_of(colour))


def wood(height, width):
    """A brown ground with a grain along it."""
    grain = gaussian_filter(np.random.default_rng(3).normal(size=(height, width)), (2, 60))
    return ground(height, width, "#9a6a40") * np.exp(0.12 * grain / grain.std())[..., None]


def light_of(colour):
    return light(np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], dtype=np.uint8))


def lay_swatch(scene, linear, box):
    left, top, width, height = box
    scene[top : top + height, left : left + width] = linear


def pour_heap(scene, colours, x, y, radius, *, bead=9.0, kind="ball", gloss=0.7, shadow=0.5, seed=1):
    """Pour round or cylinder beads of some colours (one each, at random) on the ground, as a low heap."""
    rng = np.random.default_rng(seed)
    _cast_shadow(scene, x, y, radius, shadow)
    depth = np.full(scene.shape[:2], -np.inf)
    count = int(3.2 * (radius / bead) ** 2)
    away, turn = radius * np.sqrt(rng.random(count)), rng.random(count) * 2 * np.pi
    for distance, angle, roll in zip(away, turn, rng.random(count) * np.pi, strict=True):
        dome = 0.45 * radius * (1 - (distance / radius) ** 2)
        z = dome - bead * rng.random()
        colour = light_of(colours[rng.integers(len(colours))])
        place = x + distance * np.cos(angle), y + distance * np.sin(angle), z
        lying = roll if kind == "cylinder" else None
        _lay_bead(scene, depth, place, bead=bead, roll=lying, colour=colour, gloss=gloss, dome=dome)


def _cast_shadow(scene, x, y, radius, shadow):
    x, y = x + 0.25 * radius, y + 0.25 * radius
    top, left = max(0, int(y - 1.5 * radius)), max(0, int(x - 1.5 * radius))
    window = np.s_[top : int(y + 1.5 * radius), left : int(x + 1.5 * radius)]
    down, across = np.mgrid[: scene.shape[0], : scene.shape[1]][(slice(None), *window)]
    covered = np.hypot(across - x, down - y) < radius * 1.02
    scene[window] *= 1 - shadow * gaussian_filter(covered.astype(float), radius / 12)[..., None]


def _lay_bead(scene, depth, place, *, bead, roll, colour, gloss, dome):
    x, y, z = place
    reach = bead * 1.3
    top, left = max(0, int(y - reach)), max(0, int(x - reach))
    window = np.s_[top : int(y + reach) + 2, left : int(x + reach) + 2]
    down, across = np.mgrid[window]
    normal, inside = _surface(across - x, down - y, bead, roll)
    height = z + bead * normal[2]
    seen = inside & (height > depth[window])
    facing = np.maximum(np.tensordot(TOWARDS_LIGHT, normal, 1), 0)
    glint = gloss * np.maximum(np.tensordot(HALF_WAY / np.linalg.norm(HALF_WAY), normal, 1), 0) ** 60
    hidden = np.clip(1 - 0.45 * (dome + bead - height) / bead, 0.2, 1)
    shaded = colour * ((AMBIENT + DIFFUSE * facing) * hidden)[..., None] + glint[..., None]
    scene[window] = np.where(seen[..., None], np.minimum(shaded, 1), scene[window])
    depth[window] = np.where(seen, height, depth[window])


def _surface(dx, dy, bead, roll):
    """Unit normals (3, …) of a ball, or of a cylinder lying at an angle, and where it is."""
    if roll is None:
        nx, ny = dx / bead, dy / bead
        inside = nx**2 + ny**2 < 1
        return np.stack([nx, ny, np.sqrt(np.clip(1 - nx**2 - ny**2, 0, 1))]), inside
    along = (dx * np.cos(roll) + dy * np.sin(roll)) / bead
    across = (dy * np.cos(roll) - dx * np.sin(roll)) / bead
    inside = (np.abs(across) < 1) & (np.abs(along) < 0.8)
    flat = np.clip(across, -1, 1)
    return np.stack([-flat * np.sin(roll), flat * np.cos(roll), np.sqrt(1 - flat**2)]), inside
