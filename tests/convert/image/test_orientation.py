import numpy as np
import pytest
from encoded_pictures import PICTURE, chunk, difference
from picture_oracle import cells_of, encoded, light, sampled_means
from PIL import Image

from convert.image.decode import Source, decode, read_header

# What each value of the orientation tag says of the stored picture: the side of the seen picture where its first
# row lies, and that where its first column lies. Source: Exif 2.32 (CIPA DC-008-2019), 4.6.4 A, tag 274.
ORIENTATIONS = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}


def stored(seen, orientation):
    """The picture as it is stored so that it is seen as given."""
    first_row, first_column = ORIENTATIONS[orientation]
    turned = seen.swapaxes(0, 1) if first_row in {"left", "right"} else seen
    turned = turned[::-1] if first_row in {"right", "bottom"} else turned
    return np.ascontiguousarray(turned[:, ::-1] if first_column in {"right", "bottom"} else turned)


@pytest.mark.parametrize("orientation", ORIENTATIONS)
@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP", "JPEG"])
def test_orientation_is_applied_before_rows_are_counted(kind, orientation):
    exif = Image.Exif()
    exif[274] = orientation
    how = {"WEBP": {"lossless": True}, "JPEG": {"quality": 95, "subsampling": 0}}.get(kind, {})
    data = encoded(stored(PICTURE, orientation), kind, exif=exif, **how)
    header = read_header(Source("shell", data), max_pixels=10**6)
    assert (header.width, header.height) == (64, 96)
    plan, grid, cells = cells_of(data, columns=8)
    assert (plan.rows, plan.turn) == (19, 0)
    wanted = sampled_means(light(PICTURE), grid, window=plan.window)
    assert difference(cells, wanted).max() < (2 if kind == "JPEG" else 0.05)


@pytest.mark.parametrize("kind", [b"IDAT", b"IEND"])
def test_orientation_of_a_png_is_found_before_and_after_its_pixels(kind):
    exif = Image.Exif()
    exif[274] = 6
    plain = encoded(stored(PICTURE, 6))
    where = plain.index(kind) - 4
    data = plain[:where] + chunk(b"eXIf", exif.tobytes().removeprefix(b"Exif\0\0")) + plain[where:]
    header = read_header(Source("shell", data), max_pixels=10**6)
    assert (header.width, header.height) == (64, 96)
    assert np.array_equal(decode(Source("shell", data), max_pixels=10**8).pixels().codes, PICTURE)
