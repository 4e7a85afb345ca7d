"""Embedded colour profiles, written here byte by byte after ICC.1:2010 (profile version 2.4)."""

import io
import struct

import numpy as np
import pytest
from encoded_pictures import (
    DEEP,
    GREY,
    LOSSLESS,
    OPACITY,
    PICTURE,
    WORK,
    difference,
    expected,
    in_palette,
    over,
    rgb_of,
)
from picture_oracle import cells_of, code, encoded, light
from PIL import Image, ImageCms

from convert.image.decode import Source, decode

D50 = np.array([0.9642, 1.0, 0.8249])
"""ICC.1:2010, 7.2.16: the illuminant of the profile connection space."""

D65_XY = (0.3127, 0.3290)
SRGB_XY = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))
"""IEC 61966-2-1:1999."""
WIDE_XY = ((0.708, 0.292), (0.170, 0.797), (0.131, 0.046))
"""ITU-R BT.2020-2, table 3: a gamut much wider than sRGB."""

BRADFORD = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
"""ICC.1:2010, annex E: cone response of the chromatic adaptation to D50."""


def xyz_of(x, y):
    return np.array([x / y, 1, (1 - x - y) / y])


def to_xyz(primaries):
    """Linear RGB to XYZ such that R = G = B = 1 is D65."""
    columns = np.stack([xyz_of(*xy) for xy in primaries], axis=1)
    return columns * np.linalg.solve(columns, xyz_of(*D65_XY))


def adaptation(source, target):
    gains = (BRADFORD @ target) / (BRADFORD @ source)
    return np.linalg.inv(BRADFORD) @ (gains[:, None] * BRADFORD)


TO_D50 = adaptation(xyz_of(*D65_XY), D50)


def fixed(*numbers):
    """Numbers as s15Fixed16Number."""
    return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)


def profile(device_class, space, connection, tags):
    """A profile from its tags: header of 128 bytes, tag table, tag data each on a multiple of four."""
    text = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"tide\0" + bytes(4 + 4 + 2 + 1 + 67)
    tags = {b"desc": text, b"cprt": b"text\0\0\0\0none\0", b"wtpt": b"XYZ \0\0\0\0" + fixed(*D50)} | tags
    table, body = struct.pack(">I", len(tags)), b""
    for name, content in tags.items():
        table += name + struct.pack(">II", 132 + 12 * len(tags) + len(body), len(content))
        body += content + bytes(-len(content) % 4)
    length = 128 + len(table) + len(body)
    head = struct.pack(">I4sI4s4s4s", length, bytes(4), 0x02400000, device_class, space, connection)
    head += struct.pack(">6H", 2020, 1, 1, 0, 0, 0) + b"acsp" + bytes(28) + fixed(*D50)
    return head.ljust(128, b"\0") + table + body


def gamma_curve(gamma):
    """A curveType tag with one entry, a u8Fixed8Number."""
    return b"curv\0\0\0\0" + struct.pack(">IH", 1, round(gamma * 256))


def wide_profile(gamma):
    tags = dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), gamma_curve(gamma))
    colorants = (TO_D50 @ to_xyz(WIDE_XY)).T
    for name, xyz in zip((b"rXYZ", b"gXYZ", b"bXYZ"), colorants, strict=True):
        tags[name] = b"XYZ \0\0\0\0" + fixed(*xyz)
    return profile(b"mntr", b"RGB ", b"XYZ ", tags)


def in_wide(gamma):
    """The picture's colours as codes of the wide space."""
    linear = light(PICTURE) @ (np.linalg.inv(to_xyz(WIDE_XY)) @ to_xyz(SRGB_XY)).T
    return np.rint(255 * np.clip(linear, 0, 1) ** (1 / gamma)).astype(np.uint8)


def grey_profile(gamma):
    return profile(b"mntr", b"GRAY", b"XYZ ", {b"kTRC": gamma_curve(gamma)})


def test_profiles_written_here_are_profiles():
    """Little CMS reads them, and finds the primaries that were put in."""
    opened = ImageCms.ImageCmsProfile(io.BytesIO(wide_profile(2.0))).profile
    assert opened.xcolor_space == "RGB "
    assert opened.red_colorant[0] == pytest.approx(TO_D50 @ to_xyz(WIDE_XY)[:, 0], abs=1e-4)


@pytest.mark.parametrize(
    ("kind", "how", "most"),
    [
        ("PNG", {}, 0.3),
        ("TIFF", {}, 0.3),
        ("WEBP", {"lossless": True}, 0.3),
        ("JPEG", {"quality": 98, "subsampling": 0}, 0.6),
    ],
)
@pytest.mark.parametrize("gamma", [2.0, 1.8])
def test_colours_of_a_wide_space_come_back_as_srgb(kind, how, most, gamma):
    """Colour science by hand: primaries, Bradford, gamma. Without its profile the picture would be far off."""
    wide = in_wide(gamma)
    _, _, cells = cells_of(encoded(wide, kind, icc_profile=wide_profile(gamma), **how), **WORK)
    assert difference(cells, expected(light(PICTURE))).mean() < most
    assert difference(expected(light(wide)), expected(light(PICTURE))).mean() > 5


def test_a_palette_has_a_profile_too():
    _, _, cells = cells_of(encoded(in_palette(in_wide(2.0)), icc_profile=wide_profile(2.0)), **WORK)
    assert difference(cells, expected(light(PICTURE))).mean() < 0.3


def test_opacity_survives_a_profile():
    image = Image.fromarray(in_wide(2.0))
    image.putalpha(Image.fromarray(OPACITY))
    _, _, cells = cells_of(encoded(image, icc_profile=wide_profile(2.0)), ground="#000000", **WORK)
    assert difference(cells, expected(over(light(PICTURE), OPACITY, np.zeros(3)))).mean() < 0.3


def test_an_srgb_profile_changes_nothing():
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    _, _, cells = cells_of(encoded(PICTURE, icc_profile=srgb), **WORK)
    assert np.abs(cells - expected(light(PICTURE))).max() < LOSSLESS


@pytest.mark.parametrize("mode", ["L", "LA"])
def test_grey_with_a_linear_curve_is_light_itself(mode):
    image = Image.fromarray(GREY).convert(mode)
    data = encoded(image, icc_profile=grey_profile(1.0))
    _, _, cells = cells_of(data, **WORK)
    assert decode(Source("grey", data), max_pixels=10**8).notices == ()
    assert np.abs(code(cells) - code(expected(rgb_of(GREY / 255)))).max() <= 1


@pytest.mark.parametrize(
    ("pixels", "damaged"),
    [(PICTURE, b"no profile"), (PICTURE, grey_profile(2.0)), (GREY, wide_profile(2.0)), (DEEP, grey_profile(1.0))],
)
def test_a_profile_that_cannot_be_used_is_said(pixels, damaged):
    data = encoded(pixels, icc_profile=damaged)
    (notice,) = decode(Source("kelp.png", data), max_pixels=10**8).notices
    assert "profile in kelp.png" in notice
    _, _, cells = cells_of(data, **WORK)
    linear = light(pixels)
    assert np.abs(cells - expected(linear if linear.ndim == 3 else rgb_of(linear))).max() < LOSSLESS


INKS = np.array([[0, 0, 0, 0], [255, 0, 0, 0], [0, 255, 0, 0], [0, 0, 255, 0], [0, 0, 0, 255]], dtype=np.uint8)
INKS_LAB = np.array([[100, 0, 0], [60, -20, -20], [50, 45, 5], [85, 0, 60], [0, 0, 0]])
"""Invented colours of paper, the inks alone, and black."""


def press_profile():
    """A printer's profile: a table of 2 x 2 x 2 x 2 Lab colours (lut8Type), the first ink varying slowest."""
    table = np.zeros((2, 2, 2, 2, 3))
    table[..., 0, 0] = 30
    for ink, lab in zip(INKS, INKS_LAB, strict=True):
        table[tuple(ink // 255)] = lab
    coded = np.rint(table * [255 / 100, 1, 1] + [0, 128, 128]).astype(np.uint8)
    straight = bytes(range(256))
    paper = b"XYZ \0\0\0\0" + fixed(0.80, 0.82, 0.60)  # yellowish: what is paper becomes white all the same
    lut = b"mft1\0\0\0\0" + bytes([4, 3, 2, 0]) + fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    return profile(
        b"prtr", b"CMYK", b"Lab ", {b"wtpt": paper, b"A2B0": lut + 4 * straight + coded.tobytes() + 3 * straight}
    )


def linear_of_lab_d50(lab):
    """CIE 015:2018, 8.2.1, then Bradford to D65, then linear sRGB."""
    f = (lab[:, :1] + 16) / 116 + lab[:, 1:2] * [1 / 500, 0, 0] - lab[:, 2:] * [0, 0, 1 / 200]
    ratio = np.where(f > 6 / 29, f**3, 3 * (6 / 29) ** 2 * (f - 4 / 29))
    return (ratio * D50) @ (np.linalg.inv(to_xyz(SRGB_XY)) @ np.linalg.inv(TO_D50)).T


@pytest.mark.parametrize("kind", ["TIFF", "JPEG"])
def test_inks_of_a_press_are_read_through_its_profile(kind):
    """Bands of each ink alone: the colours of the table, not those of plain subtraction."""
    wanted = linear_of_lab_d50(INKS_LAB)
    assert wanted.min() > -1e-3
    assert wanted.max() < 1.001
    image = Image.fromarray(np.repeat(np.repeat(INKS, 32, axis=0)[:, None], 64, axis=1), "CMYK")
    how = {"quality": 100} if kind == "JPEG" else {}
    data = encoded(image, kind, icc_profile=press_profile(), **how)
    _, grid, cells = cells_of(data, columns=4, rows=19, fit="stretch")
    for band in range(5):
        seen = cells[(grid.row_of == 4 * band + 1) | (grid.row_of == 4 * band + 2)]
        assert difference(seen, np.broadcast_to(wanted[band], seen.shape)).max() < 1.5


def test_a_profile_does_not_bend_the_codes_of_a_height_map():
    slope = Image.fromarray(np.repeat(np.arange(256, dtype=np.uint8)[:, None], 40, axis=1))
    file = encoded(slope, icc_profile=grey_profile(1.0))
    heights, colours = (
        decode(Source("map.png", file), managed=False, max_pixels=10**8),
        decode(Source("map.png", file), max_pixels=10**8),
    )
    assert np.array_equal(heights.pixels().codes[..., 0], np.asarray(slope))
    assert not np.array_equal(colours.pixels().codes[..., 0], np.asarray(slope))
