"""Stamping beads: a tile for each kind of bead, laid into a picture row by row."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from convert.chart.bead_shapes import Kind
from convert.chart.scene import Scene
from convert.chart.shapes import extent_of, union
from convert.chart.tiles import FINER, Bytes, Frame, Lettering, coverage, laid_over, pixels_of, rgba

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
    scene
        The chart.
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


def _tiles_of(kinds: tuple[Kind, ...], variants: Ints, scale: float) -> _Tiles:
    lettering = Lettering()
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
                colours[place] = laid_over(colours[place], rgba(colour), cover[..., None])
                covers[place] = laid_over(covers[place], _WHOLLY, cover)
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
    base = corners[:, 1] * width + corners[:, 0]
    for start, end in zip(rows[:-1].tolist(), rows[1:].tolist(), strict=True):
        tile = pick[start:end]
        place = base[start:end, None]
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
