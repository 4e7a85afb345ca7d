"""The views of a predicted surface that its picture shows, and where the scales and figures go on them."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from convert.surface.measure import SolvedDome, SurfaceFigures
from convert.surface.render.camera import Camera, camera_axes, extent_mm, frame_solids
from convert.surface.render.ray_cast import cast_rays
from convert.surface.render.shade import LAMP, Light, make_lights, shade
from convert.surface.render.solids import Solids, make_bead_solids, make_wrist_solid, turn_upright
from convert.surface.support import Wrist
from convert.surface.surface import Surface
from shared.arrays import Bytes, Floats
from shared.colour import codes_from_linear
from shared.design import Design

WIDEST = 1160
"""No look is wider, in pixels."""

FINEST = 16.0
CLOSE = 15.0
"""Pixels to one mm, at most: of the whole work, and of the look at one dome."""

CLOSE_MM = 13.0
"""How far from the highest bead that look reaches along the work and across, in mm."""

MOST_PIXELS = 800_000
"""In all views of the whole work together."""

MARGIN_MM = 3.5
"""Room on each side, at least."""

ASIDE_MM, SCALE_PX = 0.8, 64
"""How far from the work a scale stands, and how much room its words take on its other side."""

ROOMY = 6.0
"""Pixels to one mm, from which the scale has a tick at each mm, and every dome its figure."""

LEAST_SCALE = 20
"""Height in pixels from which there is room for the 0 at the foot of a scale below the word at its top."""

OVER = 2
"""Each pixel is the mean of a square of this side: edges come out smooth."""

PAPER = (0.83, 0.81, 0.77)
"""Linear sRGB of the table."""

ELEVATION, TURN = 35.0, 30.0
CLOSE_TURN = 50.0
"""Degrees of the views from the side: above the table, and away from square on."""

UP = np.array([0.0, 1.0, 0.0])


class Mark(NamedTuple):
    """A line with a word at its first end; the line may have no length."""

    start: tuple[float, float]
    end: tuple[float, float]
    text: str
    anchor: str
    """As Pillow has it: where the word stands at the first end."""


class SurfaceView(NamedTuple):
    """One picture among those of a surface."""

    caption: str
    pixels: Bytes
    """sRGB, shape (height, width, 3)."""
    marks: tuple[Mark, ...]
    """In pixels."""


@dataclass(frozen=True, eq=False, slots=True)
class BeadScene:
    """What the views show.

    Parameters
    ----------
    beads
        The solids, one for each bead.
    solids
        These, and what they lie on if it is to be seen.
    lights
        That fall on them.
    page
        Ways along the ground that go to the right and upwards in a picture, shape (2, 3).
    ground_mm
        Height of the table; None without one.
    """

    beads: Solids
    solids: Solids
    lights: tuple[Light, ...]
    page: Floats
    ground_mm: float | None


def make_views(surface: Surface, design: Design, found: SurfaceFigures) -> tuple[SurfaceView, ...]:
    """Make the views: oblique, from above, from the side, and at the highest dome where the work is seen small."""
    from threadpoolctl import threadpool_limits

    # Threads add in another order, and wait for each other on a busy machine.
    with threadpool_limits(limits=1, user_api="blas"):
        return _make_views(surface, design, found)


def _make_views(surface: Surface, design: Design, found: SurfaceFigures) -> tuple[SurfaceView, ...]:
    scene = _scene(surface, design, lies_across=found.length_mm > found.width_mm)
    oblique = _oblique(scene.page, TURN if scene.ground_mm is not None else CLOSE_TURN)
    above, side = camera_axes(UP, scene.page[1]), camera_axes(_towards_reader(scene), UP)
    scale = _scale(scene, (oblique, above, side))
    places = turn_upright(surface.centres_mm)
    tallest = max((dome.height_mm for dome in found.domes), default=0.0)
    peaks, figures = _peaks(surface, found, places), "; heights of the domes in mm"
    if scale < ROOMY and len(peaks) > 1:
        peaks, figures = (_highest(peaks),), "; the height of the highest dome in mm"
    views = [
        _make_view(scene, oblique, "seen at an angle", scale, tallest=tallest),
        _make_view(scene, above, f"from above{figures if peaks else ''}", scale, domes=peaks),
        _make_view(scene, side, "from the side", scale, tallest=tallest),
    ]
    if found.domes and scene.ground_mm is not None and scale < CLOSE / 1.4:
        views.insert(1, _make_close_view(surface, scene, found))
    return tuple(views)


def paint_oblique(surface: Surface, design: Design, found: SurfaceFigures, *, most_pixels: int) -> Bytes:
    """Take the look at an angle by itself, without marks: sRGB, shape (height, width, 3)."""
    from threadpoolctl import threadpool_limits

    with threadpool_limits(limits=1, user_api="blas"):
        scene = _scene(surface, design, lies_across=found.length_mm > found.width_mm)
        axes = _oblique(scene.page, TURN if scene.ground_mm is not None else CLOSE_TURN)
        return _make_view(scene, axes, "", _scale(scene, (axes,), most_pixels)).pixels


def _scale(scene: BeadScene, views: tuple[Floats, ...], most_pixels: int = MOST_PIXELS) -> float:
    """Return the pixels to one mm at which views from some axes are neither too wide nor too much work."""
    sides = [np.subtract(*reversed(extent_mm(axes, scene.solids))) + 2 * MARGIN_MM for axes in views]
    widest, area = max(float(side[0]) for side in sides), sum(float(side.prod()) for side in sides)
    return min(FINEST, WIDEST / widest, float(np.sqrt(most_pixels / area)))


def _scene(surface: Surface, design: Design, *, lies_across: bool) -> BeadScene:
    beads = make_bead_solids(surface, design)
    wrist = surface.ground if isinstance(surface.ground, Wrist) else None
    solids = beads if wrist is None else beads.join(make_wrist_solid(surface, wrist))
    right, up = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, -1.0])
    page = np.stack([-up, right] if lies_across and wrist is None else [right, up])
    lamp = LAMP[0] * page[0] + LAMP[1] * UP - LAMP[2] * page[1]
    ground_mm = -surface.bead_sizes.sizes[surface.common].diameter_mm / 2 if wrist is None else None
    return BeadScene(beads, solids, make_lights(solids, lamp=lamp), page, ground_mm)


def _towards_reader(scene: BeadScene) -> Floats:
    """Return the way to the eye of the look from the side; along a wrist it goes down the arm."""
    return np.asarray(-scene.page[1] if scene.ground_mm is not None else scene.page[0])


def _oblique(page: Floats, turn: float) -> Floats:
    """Return the axes of a look from above the lower left corner."""
    elevation, angle = np.radians(ELEVATION), np.radians(turn)
    away = np.sin(angle) * page[0] + np.cos(angle) * page[1]
    return camera_axes(np.sin(elevation) * UP - np.cos(elevation) * away, UP)


def _peaks(surface: Surface, found: SurfaceFigures, places: Floats) -> tuple[tuple[SolvedDome, Floats], ...]:
    grid = surface.grid
    return tuple(
        (dome, places[int(grid.bead_at(np.array(dome.peak_row), np.array(dome.peak_column)))]) for dome in found.domes
    )


def _highest(peaks: tuple[tuple[SolvedDome, Floats], ...]) -> tuple[SolvedDome, Floats]:
    return max(peaks, key=lambda one: one[0].height_mm)


def _make_view(
    scene: BeadScene,
    axes: Floats,
    caption: str,
    scale: float,
    *,
    tallest: float = 0.0,
    domes: tuple[tuple[SolvedDome, Floats], ...] = (),
) -> SurfaceView:
    camera = frame_solids(axes, scene.solids, scale=scale * OVER, margin_mm=margin_mm(scale))
    scale_marks = _height_scale(scene, camera, tallest) if axes[1, 1] else _length_scale(camera)
    return SurfaceView(caption, _pixels(scene, camera), scale_marks + _heights(camera, domes))


def _make_close_view(surface: Surface, scene: BeadScene, found: SurfaceFigures) -> SurfaceView:
    """Look at the highest dome and what lies around it."""
    dome, peak = _highest(_peaks(surface, found, turn_upright(surface.centres_mm)))
    near = np.abs((scene.beads.centres_mm - peak) @ scene.page.T).max(axis=1) <= max(CLOSE_MM, 1.6 * dome.height_mm)
    part = scene.beads.chosen(near)
    shown = BeadScene(part, part, make_lights(part, lamp=scene.lights[0].towards), scene.page, scene.ground_mm)
    axes = _oblique(scene.page, CLOSE_TURN)
    scale = min(CLOSE, _scale(shown, (axes,)))
    camera = frame_solids(axes, part, scale=scale * OVER, margin_mm=margin_mm(scale))
    rows, columns = (f"{first} to {last}" for first, last in (dome.rows, dome.columns))
    where = f"closer: rows {rows}, columns {columns}, {dome.height_mm:.1f} mm high"
    return SurfaceView(where, _pixels(shown, camera), _height_scale(shown, camera, dome.height_mm))


def margin_mm(scale: float) -> float:
    """Return the room on each side of a look at a work, in mm, at a scale in pixels to one mm."""
    return max(MARGIN_MM, ASIDE_MM + SCALE_PX / scale)


def _pixels(scene: BeadScene, camera: Camera) -> Bytes:
    width, height = camera.width // OVER * OVER, camera.height // OVER * OVER
    camera = Camera(camera.axes, camera.left_mm, camera.top_mm, camera.scale, width, height)
    ground_mm = scene.ground_mm if camera.axes[2, 1] > 0.1 else None
    seen = cast_rays(scene.solids, camera)
    fine = shade(seen, scene.solids, camera, scene.lights, ground_mm=ground_mm, paper=np.array(PAPER))
    rows = np.minimum(fine, 1).reshape(height // OVER, OVER, width // OVER, OVER, 3)
    return codes_from_linear(rows.mean(axis=(1, 3)))


def _height_scale(scene: BeadScene, camera: Camera, tallest: float) -> tuple[Mark, ...]:
    """Return a scale in mm that stands next to the work, from the middle of flat beads upwards."""
    low, _ = extent_mm(camera.axes, scene.solids)
    along = scene.beads.centres_mm @ camera.axes[0]
    foot = scene.beads.centres_mm[int(np.argmin(along))].copy()
    foot[1] = 0.0
    foot += camera.axes[0] * (low[0] - along.min() - ASIDE_MM)
    top = int(np.ceil(tallest)) or 1
    ends = [_at(camera, foot + UP * height) for height in range(top + 1)]
    step = 1 if camera.scale / OVER >= ROOMY else top
    short = ends[0][1] - ends[-1][1] < LEAST_SCALE
    ticks = [
        Mark((x - (7 if mm % 5 == 0 else 4), y), (x, y), "" if short and mm < top else _scale_word(mm, top), "rm")
        for mm, (x, y) in enumerate(ends)
        if mm % step == 0
    ]
    return (Mark(ends[0], ends[-1], "", "mm"), *ticks)


def _scale_word(mm: int, top: int) -> str:
    if mm == top:
        return f"{mm} mm"
    return str(mm) if mm % 5 == 0 and top - mm > 1 else ""


def _length_scale(camera: Camera) -> tuple[Mark, ...]:
    """Return a bar of 10 mm in the lower left corner."""
    y = camera.height / OVER - 10
    x = (MARGIN_MM * camera.scale) / OVER
    end = x + 10 * camera.scale / OVER
    return Mark((x, y), (end, y), "", "mm"), Mark((end + 6, y), (end + 6, y), "10 mm", "lm")


def _heights(camera: Camera, domes: tuple[tuple[SolvedDome, Floats], ...]) -> tuple[Mark, ...]:
    return tuple(Mark(at := _at(camera, peak), at, f"{dome.height_mm:.1f}", "mm") for dome, peak in domes)


def _at(camera: Camera, point: Floats) -> tuple[float, float]:
    x, y, _ = camera.project(point[None]) / OVER
    return float(x[0]), float(y[0])
