"""A part of a picture is that part of the whole, however it lies; nothing but the part is brought to codes."""

import numpy as np
import pytest
from encoded_pictures import BITS, DEEP, GREY, OPACITY, PICTURE, in_palette
from hypothesis import given
from hypothesis import strategies as st
from picture_oracle import encoded, light
from PIL import Image

from convert.image.decode import Source, decode
from convert.image.raster import heights_from, picture_from

HIGH, WIDE = GREY.shape


def with_opacity(pixels):
    image = Image.fromarray(pixels)
    image.putalpha(Image.fromarray(OPACITY))
    return image


def turned_file(orientation):
    exif = Image.Exif()
    exif[274] = orientation
    return encoded(PICTURE, "TIFF", exif=exif)


FILES = {
    "colours": encoded(PICTURE),
    "opacity": encoded(with_opacity(PICTURE)),
    "grey, opacity": encoded(with_opacity(GREY)),
    "palette": encoded(in_palette(), transparency=bytes(range(100, 172))),
    "one clear colour": encoded(PICTURE, transparency=(235, 240, 90)),
    "bits": encoded(Image.fromarray(BITS).convert("1")),
    "16 bits": encoded(DEEP, transparency=int(DEEP[0, 0])),
    "16 bits, big end first": encoded(Image.frombytes("I;16B", (WIDE, HIGH), DEEP.astype(">u2").tobytes()), "TIFF"),
    "32 bits": encoded(DEEP.astype(np.int32), "TIFF"),
    "inks": encoded(Image.fromarray(PICTURE).convert("CMYK"), "TIFF"),
    "Lab": encoded(Image.merge("LAB", Image.fromarray(PICTURE).split()), "TIFF"),
    **{f"orientation {number}": turned_file(number) for number in range(2, 9)},
}
DECODED = {kind: decode(Source("tide", data), max_pixels=10**6) for kind, data in FILES.items()}
LINES = (np.arange(-70, 130) + 11) % WIDE


@st.composite
def slices(draw):
    first, last = sorted(draw(st.tuples(*[st.integers(0, WIDE - 1)] * 2)))
    return slice(first, last + 1, draw(st.integers(1, 9)))


@given(st.sampled_from(sorted(FILES)), st.sampled_from([0, 90, 180, 270]), st.booleans(), slices(), slices())
def test_a_part_is_that_part_of_the_whole(kind, turn, mirror, rows, columns):
    whole, part = DECODED[kind].pixels(), DECODED[kind].turn(turn, mirror=mirror).pixels(rows, columns)
    for all_of_it, some in zip(whole, part, strict=True):
        assert (all_of_it is None) == (some is None)
        if all_of_it is not None:
            seen = np.rot90(all_of_it, -turn // 90)
            assert np.array_equal(some, (seen[:, ::-1] if mirror else seen)[rows, columns])


@pytest.mark.parametrize("kind", ["colours", "opacity"])
def test_lines_are_taken_in_their_order(kind):
    """As a motif needs them that comes again: from the end over to the beginning, and twice."""
    picture = picture_from(DECODED[kind], turn=90, mirror=True, ground=np.zeros(3))
    codes, alpha = DECODED[kind].turn(90, mirror=True).pixels()
    wanted = light(codes) * (1 if alpha is None else alpha[..., None] / 255)
    assert picture.of_lines(LINES).shape == (200, HIGH)
    assert (
        np.abs(picture.of_lines(LINES).band(slice(5, 190, 3), slice(2, 9)) - wanted[LINES][5:190:3, 2:9]).max() < 1e-6
    )
    assert np.array_equal(picture.of_lines(LINES).of_lines(LINES[:9]).pixels().codes, codes[LINES][LINES[:9]])


@pytest.mark.parametrize("row", [0, HIGH - 1])
def test_colours_of_a_map_are_found_wherever_they_are(row):
    pixels = np.repeat(GREY[..., None], 3, axis=2)
    fields = []
    for more in (0, 1):
        pixels[row, 7, 2] = GREY[row, 7] + more
        decoded = decode(Source("hills", encoded(pixels)), max_pixels=10**6, managed=False)
        fields.append(heights_from(decoded, turn=0, mirror=False, invert=True))
    assert [field.coloured for field in fields] == [False, True]
    assert np.abs(fields[1].band(slice(None))[..., 0] - (1 - pixels.mean(axis=2) / 255)).max() < 1e-6


def test_bytes_are_those_that_the_pixels_take():
    bytes_of = {kind: decoded.nbytes // (WIDE * HIGH) for kind, decoded in DECODED.items()}
    assert (bytes_of["colours"], bytes_of["palette"], bytes_of["16 bits"], bytes_of["inks"]) == (4, 1, 2, 4)
