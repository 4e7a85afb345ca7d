"""What a palette covers: its colours as discs on the plane of a* and b*, and in order of lightness."""

import numpy as np

from convert.chart.inks import INKS
from convert.chart.png import Canvas, png_bytes
from convert.chart.shapes import Extent, Mark, Oval, Paint, Path, Rectangle, Text
from palettes.palette import Palette
from shared.beads import BeadSizes
from shared.colour import lab_from_codes
from shared.typeface import Lettering

SIDE = 900.0
MOST_AB = 110.0
TEXT = 22.0
_STRIP, _GAP, _MARGIN = 170.0, 60.0, 40.0
_DISC = 13.0
_QUIET = Paint(None, "#9aa4aa", 2.0)


def gamut_picture(palette: Palette, bead_sizes: BeadSizes) -> bytes:
    """Paint what a palette covers as a PNG file.

    Left, every colour lies at its a* (red to the right) and b* (yellow upwards); the outline is what a screen can
    show (sRGB). Right, all colours from light to dark. A disc is whole when the colour is made in every one
    of the bead sizes; the others are rings, the thinner the fewer sizes.
    """
    width = SIDE + _GAP + _STRIP
    head = 5.0 * TEXT
    canvas = Canvas.of(Extent(-_MARGIN, -head - _MARGIN, width + _MARGIN, SIDE + 2 * TEXT + _MARGIN), "#ffffff", 1.0)
    canvas.draw([*_heading(palette, head), *_axes(), *_discs(palette, bead_sizes), *_strip(palette)], Lettering())
    return png_bytes(canvas.pixels, dots_per_inch=150)


def _heading(palette: Palette, head: float) -> list[Mark]:
    inks = INKS["colour"]
    words = (
        f"{len(palette.entries)} colours; hue and strength at the left, light to dark at the right; "
        "rings are not made in every size"
    )
    return [
        Text(0, -head + 1.2 * TEXT, palette.name, 1.4 * TEXT, inks.text, bold=True),
        Text(0, -head + 2.6 * TEXT, words, TEXT, inks.quiet),
    ]


def _place(a: float, b: float) -> tuple[float, float]:
    return SIDE / 2 * (1 + a / MOST_AB), SIDE / 2 * (1 - b / MOST_AB)


def _axes() -> list[Mark]:
    quiet = INKS["colour"].quiet
    names = (
        ("redder", 1, 0, "end"),
        ("greener", -1, 0, "start"),
        ("yellower", 0, 1, "middle"),
        ("bluer", 0, -1, "middle"),
    )
    marks: list[Mark] = [
        Path((_place(-MOST_AB, 0), _place(MOST_AB, 0)), closed=False, paint=_QUIET),
        Path((_place(0, -MOST_AB), _place(0, MOST_AB)), closed=False, paint=_QUIET),
        Path(tuple(_place(a, b) for a, b in _srgb_outline()), closed=True, paint=_QUIET),
    ]
    for word, right, up, anchor in names:
        x, y = _place(right * MOST_AB, up * MOST_AB)
        lower = TEXT * 1.4 if up == -1 else -8.0 if not up else -10.0
        marks.append(Text(x, y + lower, word, 0.8 * TEXT, quiet, anchor=anchor))  # type: ignore[arg-type]
    return marks


def _srgb_outline() -> list[tuple[float, float]]:
    """Return a*, b* along the edges of the sRGB cube from red by yellow, green, cyan, blue, magenta to red."""
    corners = np.array([[1, 0, 0], [1, 1, 0], [0, 1, 0], [0, 1, 1], [0, 0, 1], [1, 0, 1]])
    shares = np.linspace(0, 1, 16, endpoint=False)[:, None]
    edges = [corner + shares * (after - corner) for corner, after in zip(corners, np.roll(corners, -1, 0), strict=True)]
    codes = np.rint(np.concatenate(edges) * 255).astype(np.uint8)
    return [(a, b) for _, a, b in lab_from_codes(codes).tolist()]


def _discs(palette: Palette, bead_sizes: BeadSizes) -> list[Mark]:
    marks: list[Mark] = []
    for colour in palette.entries:
        x, y = _place(colour.lab[1], colour.lab[2])
        share = sum(colour.is_made_in(size.name) for size in bead_sizes.sizes) / len(bead_sizes.sizes)
        marks.append(Oval(x, y, _DISC, _DISC, Paint(colour.srgb, "#333333", 1.0)))
        if share < 1:
            hole = _DISC * (1 - share) * 0.85
            marks.append(Oval(x, y, hole, hole, Paint("#ffffff", "#333333", 1.0)))
    return marks


def _strip(palette: Palette) -> list[Mark]:
    lightest_first = sorted(palette.entries, key=lambda colour: -colour.lab[0])
    height = SIDE / len(lightest_first)
    left = SIDE + _GAP
    marks: list[Mark] = [
        Rectangle(left, place * height, _STRIP, height + 0.5, 0.0, Paint(colour.srgb))
        for place, colour in enumerate(lightest_first)
    ]
    quiet = INKS["colour"].quiet
    for words, y in (("light", -0.5 * TEXT), ("dark", SIDE + 1.1 * TEXT)):
        marks.append(Text(left + _STRIP / 2, y, words, 0.8 * TEXT, quiet, anchor="middle"))
    return marks
