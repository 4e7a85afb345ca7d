"""Our own symbols for black ink: simple figures in the square from -1 to 1, drawn in black on white.

The order puts figures that are easily told apart first, for kinds come in falling order of count. When
all are used the same figures come again with dots in the corners.
"""

from collections.abc import Callable
from math import cos, pi, sin

from convert.chart.inks import DARK, LIGHT
from convert.chart.shapes import Mark, Oval, Paint, Path, Point, Rectangle
from shared.errors import BadChoiceError

Figure = tuple[Mark, ...]

_LINE = 0.24
_FILLED = Paint(DARK)
_CORNERS: tuple[Point, ...] = ((0.95, -1.0), (-0.95, 1.0), (-0.95, -1.0), (0.95, 1.0))


def symbol(place: int) -> Figure:
    """Return the symbol of the kind at a place from 0; each place has another.

    Raises
    ------
    BadChoiceError
        When the place is past the last symbol.
    """
    dotted, figure = divmod(place, len(_FIGURES))
    if dotted >= 2 ** len(_CORNERS):
        most = len(_FIGURES) * 2 ** len(_CORNERS)
        raise BadChoiceError(
            f"black ink has symbols for {most} kinds of bead and the design has more; use fewer colours"
        )
    dots = [_disc(x, y, 0.24) for bit, (x, y) in enumerate(_CORNERS) if dotted >> bit & 1]
    return (*_FIGURES[figure], *dots)


def _disc(x: float, y: float, r: float) -> Mark:
    return Oval(x, y, r, r, _FILLED)


def _ring(x: float, y: float, r: float, *, fill: str | None = None) -> Mark:
    return Oval(x, y, r, r, Paint(fill, DARK, _LINE))


def _line(*points: Point) -> Mark:
    return Path(points, closed=False, paint=Paint(None, DARK, _LINE))


def _solid(*points: Point) -> Mark:
    return Path(points, closed=True, paint=_FILLED)


def _hollow(*points: Point) -> Mark:
    return Path(points, closed=True, paint=Paint(LIGHT, DARK, _LINE))


def _bar(x: float, y: float, width: float, height: float) -> Mark:
    return Rectangle(x - width / 2, y - height / 2, width, height, 0.0, _FILLED)


def _arc(x: float, y: float, r: float, start: float, end: float) -> tuple[Point, ...]:
    """Points from one angle to another, in parts of a full turn, clockwise from the right."""
    steps = max(3, round(abs(end - start) * 32))
    angles = [2 * pi * (start + (end - start) * step / steps) for step in range(steps + 1)]
    return tuple((x + r * cos(angle), y + r * sin(angle)) for angle in angles)


def _wave(y: float) -> tuple[Point, ...]:
    return tuple((x / 8, y - 0.32 * sin(pi * x / 8)) for x in range(-8, 9))


def _drop() -> tuple[Point, ...]:
    return ((0.0, -1.0), *_arc(0.0, 0.35, 0.62, -0.06, 0.56))


def _shell() -> Figure:
    rim = _hollow((0.0, 0.85), *_arc(0.0, 0.15, 0.95, 0.47, 1.03))
    return (rim, *(_line((0, 0.75), (x, -0.7 + 0.3 * abs(x))) for x in (-0.5, 0.0, 0.5)))


def _leaf(draw: Callable[..., Mark]) -> Mark:
    """Draw two arcs that meet in points left and right."""
    return draw(*_arc(0.0, 0.62, 1.12, 0.592, 0.908), *_arc(0.0, -0.62, 1.12, 0.092, 0.408))


def _rays(count: int, inner: float, outer: float, turned: float = 0.0) -> Figure:
    angles = [2 * pi * (ray / count + turned) for ray in range(count)]
    return tuple(_line((inner * cos(a), inner * sin(a)), (outer * cos(a), outer * sin(a))) for a in angles)


def _star(points: int, inner: float) -> Mark:
    radii = [1.0, inner] * points
    angles = [pi * (step / points - 0.5) for step in range(2 * points)]
    return _solid(*((r * cos(a), r * sin(a)) for r, a in zip(radii, angles, strict=True)))


_UP: tuple[Point, ...] = ((0.0, -0.85), (0.9, 0.75), (-0.9, 0.75))
_DOWN: tuple[Point, ...] = tuple((x, -y) for x, y in _UP)
_DIAMOND: tuple[Point, ...] = ((0.0, -1.0), (0.8, 0.0), (0.0, 1.0), (-0.8, 0.0))
_SQUARE: tuple[Point, ...] = ((-0.75, -0.75), (0.75, -0.75), (0.75, 0.75), (-0.75, 0.75))
_CRESCENT = (*_arc(0.0, 0.0, 0.9, 0.13, 0.87), *_arc(0.45, 0.0, 0.66, 0.79, 0.21))

_FIGURES: tuple[Figure, ...] = (
    (_disc(0, 0, 0.28),),
    (_line((-0.75, -0.75), (0.75, 0.75)), _line((-0.75, 0.75), (0.75, -0.75))),
    (_ring(0, 0, 0.7),),
    (_solid(*_UP),),
    (_bar(0, 0, 0.36, 2.0),),
    (_line(*_wave(0.0)),),
    (_disc(0, 0, 0.85),),
    (_hollow(*_DIAMOND),),
    (_line((-0.9, 0), (0.9, 0)), _line((0, -0.9), (0, 0.9))),
    (_solid(*_drop()),),
    (_bar(0, 0, 1.9, 0.36),),
    (_hollow(*_DOWN),),
    _shell(),
    (_line((-0.75, 0.8), (0.75, -0.8)),),
    (_solid(*_SQUARE),),
    (_disc(0, -0.5, 0.3), _disc(0, 0.5, 0.3)),
    (_ring(0, 0, 0.75), _disc(0, 0, 0.26)),
    (_line((-0.85, 0.45), (0, -0.45), (0.85, 0.45)),),
    (_solid(*_CRESCENT),),
    (_hollow(*_SQUARE),),
    (_disc(0, 0, 0.4), *_rays(8, 0.4, 1.0)),
    (_line((-0.8, -0.4), (0.8, -0.4)), _line((-0.8, 0.4), (0.8, 0.4))),
    (_solid((-0.75, -0.85), (0.75, -0.85), (-0.75, 0.85), (0.75, 0.85)),),
    (_line((-0.75, -0.8), (0.75, 0.8)),),
    (_solid(*_DIAMOND),),
    (_ring(0, 0, 0.8), _solid(*_arc(0, 0, 0.8, 0.25, 0.75))),
    (_line((-0.85, -0.45), (0, 0.45), (0.85, -0.45)),),
    (_hollow(*_UP),),
    (_line(*_wave(-0.42)), _line(*_wave(0.42))),
    (_disc(0, -0.6, 0.3), _disc(-0.6, 0.45, 0.3), _disc(0.6, 0.45, 0.3)),
    (_hollow(*_drop()),),
    (_line((-0.42, -0.85), (-0.42, 0.85)), _line((0.42, -0.85), (0.42, 0.85))),
    (_star(5, 0.42),),
    (_line((-0.8, -0.75), (0.8, -0.75)), _line((0, -0.75), (0, 0.9))),
    (_solid(*_DOWN),),
    (_ring(0, 0, 0.8), _line((-0.8, 0), (0.8, 0)), _line((0, -0.8), (0, 0.8))),
    (_line((-0.7, -0.85), (-0.7, 0.7), (0.8, 0.7)),),
    (_leaf(_solid),),
    (_line(*_arc(0, -0.1, 0.75, 1.0, 0.5), (-0.75, 0.85)), _line((0.75, -0.1), (0.75, 0.85))),
    (_solid((0.75, -0.9), (0.75, 0.9), (-0.8, 0.0)),),
    (_hollow(*_SQUARE), _line((-0.75, 0), (0.75, 0)), _line((0, -0.75), (0, 0.75))),
    (_solid((-0.9, -0.75), (-0.9, 0.75), (0.9, -0.75), (0.9, 0.75)),),
    tuple(_disc(x, y, 0.28) for x in (-0.55, 0.55) for y in (-0.55, 0.55)),
    (_ring(0, 0, 0.8), _solid(*_arc(0, 0, 0.8, 0.0, 0.5))),
    (_line((-0.9, 0.5), (-0.45, -0.5), (0, 0.5), (0.45, -0.5), (0.9, 0.5)),),
    (_hollow(*_SQUARE), _solid((-0.75, 0.75), (0.75, -0.75), (0.75, 0.75))),
    (_ring(0, 0, 0.85), _ring(0, 0, 0.38)),
    (_solid((-0.75, -0.9), (-0.75, 0.9), (0.8, 0.0)),),
    (_leaf(_hollow), _disc(0, 0, 0.24)),
    (_line((0, 0.9), (0, -0.8)), _line((-0.65, -0.15), (0, -0.85), (0.65, -0.15))),
    (_line((-0.75, -0.85), (-0.75, 0.1)), _line((0.75, -0.85), (0.75, 0.1), *_arc(0, 0.1, 0.75, 0.0, 0.5))),
    (_solid((-0.8, -0.85), (0.85, 0.85), (-0.8, 0.85)),),
)
