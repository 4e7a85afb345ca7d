"""Painting a chart as PNG: on an array of pixels, without any renderer but Pillow's pens and letters."""

from collections.abc import Iterable
from dataclasses import dataclass
from io import BytesIO
from math import ceil, floor, sqrt

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import BeadDrawing
from convert.chart.coverage import FINER, Bytes, PixelWindow, coverage, lay_over, pixels_of, rgba
from convert.chart.scene import Group, Scene
from convert.chart.shapes import Extent, Mark, Path, Rectangle, Text, extent_of, union
from shared.typeface import Lettering

PX_PER_MM = 20.0
"""Pixels to one mm of the finished work, where the picture does not grow too large."""

MOST_PIXELS = 40_000_000
"""The scale falls so that the picture has no more, but see `LEAST_PX_PER_BEAD`."""

LEAST_PX_PER_BEAD = 4.0
"""The scale does not fall so far that a bead is narrower, unless the picture passes `UTMOST_PIXELS` or
`LONGEST_SIDE`."""

_COMPRESSION = 3
"""Of 9: more takes twice the time for a few per cent."""

UTMOST_PIXELS = 100_000_000
"""No picture is larger."""

LONGEST_SIDE = 65_535
"""Nor longer or wider: beyond it many programs show nothing. It is the most that a JPEG may have (ITU-T T.81)."""

LEAST_LETTER_PX = 2.5
"""Lower letters are left out, for nobody could read them; the SVG has them all."""

LEAST_LINE_PX = 0.125
"""Finer lines are left out, for they would be drawn wider than they are, or not be seen."""


def chart_png(scene: Scene, *, px_per_mm: float = PX_PER_MM) -> bytes:
    """Paint a chart as an RGB picture.

    Parameters
    ----------
    px_per_mm
        Pixels to one mm of the finished work; lowered for large charts.

    Returns
    -------
    bytes
        A PNG file whose resolution gives the print the same size as the SVG.
    """
    scale = picture_scale(scene, px_per_mm)
    return png_bytes(paint_scene(scene, scale), dots_per_inch=25.4 * scale / scene.enlargement)


def paint_scene(scene: Scene, scale: float) -> Bytes:
    """Paint a chart at a scale in pixels to one mm of the finished work; RGBA, shape (height, width, 4)."""
    canvas, lettering = Canvas.of(scene.extent, scene.paper, scale), Lettering()
    corner, raised = (canvas.left, canvas.top), scene.level_of > 0
    canvas.draw_groups(_discernible(scene.under, scale), lettering)
    stamp_beads(canvas.pixels, corner, scale, scene, beads=np.flatnonzero(~raised))
    canvas.draw_groups(_discernible(scene.between, scale), lettering)
    stamp_beads(canvas.pixels, corner, scale, scene, beads=np.flatnonzero(raised))
    canvas.draw_groups(_discernible(scene.over, scale), lettering)
    return canvas.pixels


def picture_scale(scene: Scene, px_per_mm: float = PX_PER_MM) -> float:
    """Return the scale at which a chart is painted, in pixels to one mm of the finished work."""
    area = scene.extent.width * scene.extent.height
    scale = min(px_per_mm, sqrt(MOST_PIXELS / area))
    least = LEAST_PX_PER_BEAD / min(scene.slot_mm)
    if scale < least:
        scale = min(px_per_mm, least, sqrt(UTMOST_PIXELS / area))
    return min(scale, (LONGEST_SIDE - 1) / max(scene.extent.width, scene.extent.height))


def _discernible(groups: tuple[Group, ...], scale: float) -> tuple[Group, ...]:
    """Leave out what is too fine to be seen."""
    return tuple(
        Group(group.name, tuple(mark for mark in group.marks if _is_discernible(mark, scale))) for group in groups
    )


def _is_discernible(mark: Mark, scale: float) -> bool:
    if isinstance(mark, Text):
        return mark.size_mm * scale >= LEAST_LETTER_PX
    if isinstance(mark, Path):
        return mark.paint.fill is not None or mark.paint.width_mm * scale >= LEAST_LINE_PX
    return not isinstance(mark, Rectangle) or min(mark.width, mark.height) * scale >= LEAST_LINE_PX


def png_bytes(pixels: Bytes, *, dots_per_inch: float) -> bytes:
    """Return pixels, shape (height, width, 3 or 4), as an RGB PNG file."""
    from PIL import Image

    file = BytesIO()
    picture = Image.fromarray(pixels).convert("RGB")
    picture.save(file, "PNG", compress_level=_COMPRESSION, dpi=(dots_per_inch, dots_per_inch))
    return file.getvalue()


@dataclass(frozen=True, slots=True)
class Canvas:
    """The picture while it is painted.

    Parameters
    ----------
    pixels
        RGBA, shape (height, width, 4).
    left, top
        Where its first pixel lies on the drawing, whose pixel (0, 0) is the corner of the work.
    scale
        Pixels to one mm.
    """

    pixels: Bytes
    left: int
    top: int
    scale: float

    @staticmethod
    def of(extent: Extent, paper: str, scale: float) -> "Canvas":
        """Return an empty picture of a part of the drawing, ``paper`` as ``#rrggbb``."""
        left, top = floor(extent.left * scale), floor(extent.top * scale)
        width = ceil(extent.right * scale) - left
        height = ceil(extent.bottom * scale) - top
        pixels = np.full((height, width), rgba(paper).view(np.uint32)[0])
        return Canvas(pixels.view(np.uint8).reshape(height, width, 4), left, top, scale)

    def draw_groups(self, groups: tuple[Group, ...], lettering: Lettering) -> None:
        """Paint groups of shapes in their order."""
        for group in groups:
            self.draw(group.marks, lettering)

    def draw(self, marks: Iterable[Mark], lettering: Lettering) -> None:
        """Paint shapes in their order."""
        for mark in marks:
            if isinstance(mark, Rectangle) and mark.radius == 0 and mark.paint.stroke is None:
                self._fill(mark)
            else:
                self._draw(mark, lettering)

    def _fill(self, box: Rectangle) -> None:
        """Fill a plain rectangle, to whole pixels and at least one."""
        if box.paint.fill is None:
            return
        x0, y0 = round(box.x * self.scale) - self.left, round(box.y * self.scale) - self.top
        x1 = round((box.x + box.width) * self.scale) - self.left
        y1 = round((box.y + box.height) * self.scale) - self.top
        whole = self.pixels.view(np.uint32)[..., 0]
        whole[max(y0, 0) : max(y1, y0 + 1), max(x0, 0) : max(x1, x0 + 1)] = rgba(box.paint.fill).view(np.uint32)[0]

    def _draw(self, mark: Mark, lettering: Lettering) -> None:
        left, top, width, height = pixels_of(extent_of(mark), self.scale)
        for colour, cover in coverage(mark, PixelWindow(left, top, width, height, self.scale), lettering):
            self._blend(left - self.left, top - self.top, cover, colour)

    def _blend(self, x: int, y: int, cover: Bytes, colour: str) -> None:
        height, width = self.pixels.shape[:2]
        cover = cover[max(0, -y) : max(0, height - y), max(0, -x) : max(0, width - x)]
        whole = self.pixels.view(np.uint32)[..., 0]
        part = whole[max(0, y) : max(0, y) + cover.shape[0], max(0, x) : max(0, x) + cover.shape[1]]
        inked = cover > 0
        below = part[inked].view(np.uint8).reshape(-1, 4)
        part[inked] = lay_over(below, rgba(colour), cover[inked][:, None]).view(np.uint32)[:, 0]


Ints = NDArray[np.int64]

Whole = NDArray[np.uint32]
"""Pixels of four codes as one number each, so that two codes are worked out at once."""

_WHOLLY = np.array([255], dtype=np.uint8)
_LANES, _HALVES, _CODE = np.uint32(0x00FF00FF), np.uint32(0x00800080), np.uint32(8)


@dataclass(frozen=True, slots=True)
class _Tiles:
    """The beads of one level as small pictures of equal size, one for each kind and place between pixels.

    Parameters
    ----------
    colours
        RGBA with the colour already multiplied by the coverage, shape (tiles, height * width, 4).
    covers
        Coverage 0 … 255, shape (tiles, height * width).
    width
        Of a tile, in pixels.
    reach
        From a tile's corner to the pixel of the bead's centre, as x, y.
    """

    colours: Bytes
    covers: Bytes
    width: int
    reach: tuple[int, int]


def stamp_beads(pixels: Bytes, corner: tuple[int, int], scale: float, scene: Scene, *, beads: Ints) -> None:
    """Stamp some beads level by level and row by row: those of a row never overlap, a later row lies on top.

    Parameters
    ----------
    pixels
        RGBA, opaque, shape (height, width, 4); painted on.
    corner
        Where its first pixel lies on the drawing, whose pixel (0, 0) is the corner of the work, as x, y.
    scale
        Pixels to one mm.
    beads
        Places in the order of painting, rising.
    """
    levels = scene.level_of[beads]
    quarters = np.rint(scene.centres_mm[beads] * scale * FINER).astype(np.int64)
    whole, phase = np.divmod(quarters, FINER)
    variant = (scene.kind_of[beads] * FINER + phase[:, 0]) * FINER + phase[:, 1]
    for level in np.unique(levels).tolist():
        mine = np.flatnonzero(levels == level)
        variants, pick = np.unique(variant[mine], return_inverse=True)
        tiles = _tiles_of(scene.kinds, variants, scale)
        corners = whole[mine] - np.array(corner) - np.array(tiles.reach)
        rows = np.flatnonzero(np.diff(quarters[mine, 1], prepend=-1, append=-1))
        _stamp_rows(pixels, tiles, corners, pick, rows)


def _tiles_of(kinds: tuple[BeadDrawing, ...], variants: Ints, scale: float) -> _Tiles:
    lettering = Lettering()
    drawn = variants // FINER**2
    extent = union(extent_of(mark) for kind in np.unique(drawn).tolist() for mark in kinds[kind].marks)
    left, top, width, height = pixels_of(extent, scale)
    size = (len(variants), height + 1, width + 1)
    colours, covers = np.zeros((*size, 4), dtype=np.uint8), np.zeros(size, dtype=np.uint8)
    for place, variant in enumerate(variants.tolist()):
        kind, phase = divmod(variant, FINER**2)
        shift_x, shift_y = (quarter / FINER for quarter in divmod(phase, FINER))
        frame = PixelWindow(left - shift_x, top - shift_y, width + 1, height + 1, scale)
        for mark in kinds[kind].marks:
            for colour, cover in coverage(mark, frame, lettering):
                colours[place] = lay_over(colours[place], rgba(colour), cover[..., None])
                covers[place] = lay_over(covers[place], _WHOLLY, cover)
    return _Tiles(colours.reshape(len(variants), -1, 4), covers.reshape(len(variants), -1), width + 1, (-left, -top))


def _stamp_rows(pixels: Bytes, tiles: _Tiles, corners: Ints, pick: Ints, rows: Ints) -> None:
    """Stamp the beads of one level; ``rows`` holds where each row of them begins, and the end."""
    width = pixels.shape[1]
    whole_pixels = pixels.view(np.uint32).reshape(-1)
    full = (tiles.covers == 255).all(axis=0)
    edge = tiles.covers.any(axis=0) & ~full
    offset = np.arange(full.size) // tiles.width * width + np.arange(full.size) % tiles.width
    solid = np.ascontiguousarray(tiles.colours[:, full]).view(np.uint32)[..., 0]
    rims = np.ascontiguousarray(tiles.colours[:, edge]).view(np.uint32)[..., 0]
    gaps = (255 - tiles.covers[:, edge]).astype(np.uint32)
    inner, outer = offset[full], offset[edge]
    first = corners[:, 1] * width + corners[:, 0]
    for start, end in zip(rows[:-1].tolist(), rows[1:].tolist(), strict=True):
        tile = pick[start:end]
        place = first[start:end, None]
        whole_pixels[place + inner] = solid[tile]
        rim = place + outer
        below, gap = whole_pixels[rim], gaps[tile]
        shining = _share(below & _LANES, gap) + (_share(below >> _CODE & _LANES, gap) << _CODE)
        whole_pixels[rim] = rims[tile] + shining


def _share(lanes: Whole, share: Whole) -> Whole:
    """Return two codes, each in its half of a whole pixel, times a share of 255, rounded.

    x / 255 is rounded to (x + 128 + (x + 128) / 256) / 256, the divisions without their rest.
    """
    product = lanes * share + _HALVES
    return (product + (product >> _CODE & _LANES)) >> _CODE & _LANES
