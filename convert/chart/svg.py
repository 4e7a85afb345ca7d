"""Painting a chart as SVG: one symbol for each kind of bead, one use of it for each bead."""

from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise
from xml.sax.saxutils import escape, quoteattr

import numpy as np
from numpy.typing import NDArray

from convert.chart.scene import Group, Scene
from convert.chart.shapes import Extent, Mark, Oval, Paint, Path, Point, Rectangle, Text

_FAMILY = "sans-serif"


def chart_svg(scene: Scene) -> str:
    """Write a chart as one self-contained SVG document.

    Lengths of its viewBox are mm of the finished work; ``width`` and ``height`` give the enlarged print.

    Source: W3C, Scalable Vector Graphics (SVG) 2, candidate recommendation.
    """
    uses = _uses(scene)
    flat = int(np.count_nonzero(scene.level_of == 0))
    parts = [
        _opening(scene.extent, scene.enlargement),
        f"<title>{escape(scene.title)}</title>",
        f"<desc>{escape(scene.description)}</desc>",
        "<defs>",
        *(f"<g id={quoteattr(kind.kind)}>{_marks(kind.marks)}</g>" for kind in scene.kinds),
        "</defs>",
        _paper(scene),
        *map(_group, scene.under),
        '<g id="beads">',
        *uses[:flat],
        "</g>",
        *map(_group, scene.between),
        '<g id="raised-beads">',
        *uses[flat:],
        "</g>",
        *map(_group, scene.over),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def drawing_svg(marks: Iterable[Mark], extent: Extent, *, title: str, enlargement: float = 1.0) -> str:
    """Write shapes as one self-contained SVG document, enlarged in print; lengths as in `chart_svg`."""
    return f"{_opening(extent, enlargement)}\n<title>{escape(title)}</title>\n{_marks(marks)}\n</svg>\n"


def _opening(box: Extent, enlargement: float) -> str:
    size = " ".join(map(number, (box.left, box.top, box.width, box.height)))
    width, height = (number(length * enlargement) for length in (box.width, box.height))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}mm" height="{height}mm" viewBox="{size}" '
        f'role="img" font-family="{_FAMILY}">'
    )


def _paper(scene: Scene) -> str:
    box = scene.extent
    return _shape(Rectangle(box.left, box.top, box.width, box.height, 0.0, Paint(scene.paper)))


def _group(group: Group) -> str:
    return f'<g id="{group.name}">\n{_marks(group.marks)}\n</g>'


def _uses(scene: Scene) -> list[str]:
    """Write one element for each bead; places that come again are written once."""
    parts = [_texts([f'<use href="#{kind.kind}"' for kind in scene.kinds])[scene.kind_of]]
    for name, axis in zip("xy", scene.centres_mm.T, strict=True):
        places, which = np.unique(axis, return_inverse=True)
        parts.append(_texts([f' {name}="{number(place)}"' for place in places.tolist()])[which])
    uses: list[str] = (parts[0] + parts[1] + parts[2] + "/>").tolist()
    return uses


def _texts(texts: list[str]) -> NDArray[np.object_]:
    return np.array(texts, dtype=object)


@lru_cache(maxsize=1 << 16)
def number(value: float) -> str:
    """Write a length to a thousandth of a mm, as short as can be.

    Examples
    --------
    >>> number(0.65), number(-0.0001), number(12.0)
    ('.65', '0', '12')
    """
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    if text.startswith("0."):
        return text[1:]
    if text.startswith("-0"):
        return f"-{text[2:]}" if len(text) > 2 else "0"
    return text


def _marks(marks: Iterable[Mark]) -> str:
    return "\n".join(map(_shape, marks))


def _shape(mark: Mark) -> str:
    if isinstance(mark, Text):
        return _text(mark)
    if isinstance(mark, Path):
        return f'<path d="{_path_data(mark.points, closed=mark.closed)}"{_paint(mark.paint)}/>'
    if isinstance(mark, Oval):
        return f"<ellipse{_lengths(cx=mark.x, cy=mark.y, rx=mark.rx, ry=mark.ry)}{_paint(mark.paint)}/>"
    rounded = _lengths(rx=mark.radius) if mark.radius else ""
    size = _lengths(x=mark.x, y=mark.y, width=mark.width, height=mark.height)
    return f"<rect{size}{rounded}{_paint(mark.paint)}/>"


@lru_cache(maxsize=512)
def _path_data(points: tuple[Point, ...], *, closed: bool) -> str:
    """Write the points; level and upright lines, of which row fronts are made, name one coordinate only.

    Each front is drawn up to four times, with different pens.
    """
    xs, ys = (list(map(number, axis)) for axis in zip(*points, strict=True))
    steps = [
        f"H{x}" if y == y_before else f"V{y}" if x == x_before else f"L{x} {y}"
        for (x_before, x), (y_before, y) in zip(pairwise(xs), pairwise(ys), strict=True)
    ]
    return f"M{xs[0]} {ys[0]}{''.join(steps)}{'Z' if closed else ''}"


def _text(mark: Text) -> str:
    anchor = "" if mark.anchor == "start" else f' text-anchor="{mark.anchor}"'
    weight = ' font-weight="bold"' if mark.bold else ""
    place = _lengths(x=mark.x, y=mark.y) + f' font-size="{number(mark.size_mm)}"'
    return f'<text{place}{anchor}{weight} fill="{mark.colour}">{escape(mark.text)}</text>'


def _paint(paint: Paint) -> str:
    fill = f' fill="{paint.fill or "none"}"'
    if paint.stroke is None:
        return fill
    return f'{fill} stroke="{paint.stroke}" stroke-width="{number(paint.width_mm)}"'


def _lengths(**lengths: float) -> str:
    return "".join(f' {name}="{number(value)}"' for name, value in lengths.items())
