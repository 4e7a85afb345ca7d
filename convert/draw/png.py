"""Painting a chart as PNG: a tile for each kind of bead, stamped into an array row by row."""

from dataclasses import dataclass
from math import ceil, floor, sqrt

import numpy as np
from numpy.typing import NDArray

from convert.draw.bead_shapes import Kind
from convert.draw.png_file import png_bytes
from convert.draw.scene import Group, Scene
from convert.draw.shapes import Box, Mark, extent_of, union
from convert.draw.tiles import FINER, Bytes, Frame, Lettering, coverage, pixels_of
from shared.colour import codes_from_hex

PX_PER_MM = 20.0
"""Pixels to one mm of the finished work, where the picture does not grow too large."""

MOST_PIXELS = 40_000_000
"""The scale falls so that the picture has no more, but see `LEAST_PX_PER_BEAD`."""

LEAST_PX_PER_BEAD = 4.0
"""The scale does not fall so far that a bead is narrower, unless the picture passes `UTMOST_PIXELS`."""

UTMOST_PIXELS = 100_000_000
"""No picture is larger."""

Ints = NDArray[np.int64]


def chart_png(scene: Scene, *, px_per_mm: float = PX_PER_MM) -> bytes:
    """Paint a chart as an RGB picture.

    Parameters
    ----------
    scene
        The chart.
    px_per_mm
        Pixels to one mm of the finished work; lowered for large charts.

    Returns
    -------
    bytes
        A PNG file whose resolution gives the print the same size as the SVG.
    """
    scale = picture_scale(scene, px_per_mm)
    canvas = _Canvas.of(scene, scale)
    lettering = Lettering()
    canvas.draw_groups(scene.under, lettering)
    raised = scene.rung_of > 0
    _stamp_beads(canvas, scene, np.flatnonzero(~raised), lettering)
    canvas.draw_groups(scene.between, lettering)
    _stamp_beads(canvas, scene, np.flatnonzero(raised), lettering)
    canvas.draw_groups(scene.over, lettering)
    return png_bytes(canvas.pixels, px_per_metre=1000 * scale / scene.enlargement)


def picture_scale(scene: Scene, px_per_mm: float = PX_PER_MM) -> float:
    """Return the scale at which a chart is painted, in pixels to one mm of the finished work."""
    area = scene.extent.width * scene.extent.height
    scale = min(px_per_mm, sqrt(MOST_PIXELS / area))
    least = LEAST_PX_PER_BEAD / min(scene.slot_mm)
    if scale < least:
        scale = min(px_per_mm, least, sqrt(UTMOST_PIXELS / area))
    return scale


@dataclass(frozen=True, slots=True)
class _Canvas:
    """The picture while it is painted; ``left`` and ``top`` are the pixel of the work's corner, negated."""

    pixels: Bytes
    left: int
    top: int
    scale: float

    @staticmethod
    def of(scene: Scene, scale: float) -> "_Canvas":
        left, top = floor(scene.extent.left * scale), floor(scene.extent.top * scale)
        width = ceil(scene.extent.right * scale) - left
        height = ceil(scene.extent.bottom * scale) - top
        pixels = np.full((height, width), _rgba(scene.paper).view(np.uint32)[0])
        return _Canvas(pixels.view(np.uint8).reshape(height, width, 4), left, top, scale)

    def draw_groups(self, groups: tuple[Group, ...], lettering: Lettering) -> None:
        for group in groups:
            for mark in group.marks:
                if isinstance(mark, Box) and mark.radius == 0 and mark.paint.stroke is None:
                    self._fill(mark)
                else:
                    self._draw(mark, lettering)

    def _fill(self, box: Box) -> None:
        """Fill a plain rectangle, to whole pixels and at least one."""
        if box.paint.fill is None:
            return
        x0, y0 = round(box.x * self.scale) - self.left, round(box.y * self.scale) - self.top
        x1, y1 = (
            round((box.x + box.width) * self.scale) - self.left,
            round((box.y + box.height) * self.scale) - self.top,
        )
        whole = self.pixels.view(np.uint32)[..., 0]
        whole[max(y0, 0) : max(y1, y0 + 1), max(x0, 0) : max(x1, x0 + 1)] = _rgba(box.paint.fill).view(np.uint32)[0]

    def _draw(self, mark: Mark, lettering: Lettering) -> None:
        left, top, width, height = pixels_of(extent_of(mark), self.scale)
        for colour, cover in coverage(mark, Frame(left, top, width, height, self.scale), lettering):
            self._blend(left - self.left, top - self.top, cover, colour)

    def _blend(self, x: int, y: int, cover: Bytes, colour: str) -> None:
        height, width = self.pixels.shape[:2]
        cover = cover[max(0, -y) : max(0, height - y), max(0, -x) : max(0, width - x)]
        part = self.pixels[max(0, y) : max(0, y) + cover.shape[0], max(0, x) : max(0, x) + cover.shape[1]]
        inked = cover > 0
        part[inked] = _over(part[inked], _rgba(colour), cover[inked][:, None])


def _over(below: Bytes, above: Bytes, cover: Bytes) -> Bytes:
    """Lay a colour over another, by parts of 255, rounded."""
    mixed = above.astype(np.uint16) * cover + below * (255 - cover).astype(np.uint16)
    return ((mixed + 127) // 255).astype(np.uint8)


def _rgba(colour: str) -> Bytes:
    return np.append(codes_from_hex(colour), np.uint8(255))


@dataclass(frozen=True, slots=True)
class _Tiles:
    """The beads of one rung as small pictures of equal size, one for each kind and place between pixels.

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


def _stamp_beads(canvas: _Canvas, scene: Scene, beads: Ints, lettering: Lettering) -> None:
    """Stamp some beads rung by rung and row by row: those of a row never overlap, a later row lies on top."""
    rungs = scene.rung_of[beads]
    quarters = np.rint(scene.centres_mm[beads] * canvas.scale * FINER).astype(np.int64)
    whole, phase = np.divmod(quarters, FINER)
    variant = (scene.kind_of[beads] * FINER + phase[:, 0]) * FINER + phase[:, 1]
    for rung in np.unique(rungs).tolist():
        mine = np.flatnonzero(rungs == rung)
        variants, pick = np.unique(variant[mine], return_inverse=True)
        tiles = _tiles_of(scene.kinds, variants, canvas.scale, lettering)
        corners = whole[mine] - [canvas.left, canvas.top] - tiles.reach
        rows = np.flatnonzero(np.diff(quarters[mine, 1], prepend=-1, append=-1))
        _stamp_rows(canvas.pixels, tiles, corners, pick, rows)


def _tiles_of(kinds: tuple[Kind, ...], variants: Ints, scale: float, lettering: Lettering) -> _Tiles:
    drawn = variants // FINER**2
    extent = union(extent_of(mark) for kind in np.unique(drawn).tolist() for mark in kinds[kind].marks)
    left, top, width, height = pixels_of(extent, scale)
    size = (len(variants), height + 1, width + 1)
    colours, covers = np.zeros((*size, 4), dtype=np.uint8), np.zeros(size, dtype=np.uint8)
    for place, variant in enumerate(variants.tolist()):
        kind, phase = divmod(variant, FINER**2)
        shift_x, shift_y = (quarter / FINER for quarter in divmod(phase, FINER))
        frame = Frame(left - shift_x, top - shift_y, width + 1, height + 1, scale)
        for mark in kinds[kind].marks:
            for colour, cover in coverage(mark, frame, lettering):
                colours[place] = _over(colours[place], _rgba(colour), cover[..., None])
                covers[place] = _over(covers[place], np.array(255, dtype=np.uint8), cover)
    return _Tiles(colours.reshape(len(variants), -1, 4), covers.reshape(len(variants), -1), width + 1, (-left, -top))


def _stamp_rows(pixels: Bytes, tiles: _Tiles, corners: Ints, pick: Ints, rows: Ints) -> None:
    """Stamp the beads of one rung; ``rows`` holds where each row of them begins, and the end."""
    width = pixels.shape[1]
    whole_pixels = pixels.view(np.uint32).reshape(-1)
    full = (tiles.covers == 255).all(axis=0)
    edge = tiles.covers.any(axis=0) & ~full
    offset = np.arange(full.size) // tiles.width * width + np.arange(full.size) % tiles.width
    solid = np.ascontiguousarray(tiles.colours[:, full]).view(np.uint32)[..., 0]
    rims, gaps = tiles.colours[:, edge], (255 - tiles.covers[:, edge]).astype(np.uint16)[..., None]
    base = corners[:, 1] * width + corners[:, 0]
    for start, end in zip(rows[:-1].tolist(), rows[1:].tolist(), strict=True):
        tile = pick[start:end]
        place = base[start:end, None]
        whole_pixels[place + offset[full]] = solid[tile]
        rim = place + offset[edge]
        below = whole_pixels[rim].view(np.uint8).reshape(*rim.shape, 4)
        mixed = rims[tile] + ((below * gaps[tile] + 127) // 255).astype(np.uint8)
        whole_pixels[rim] = mixed.view(np.uint32)[..., 0]
