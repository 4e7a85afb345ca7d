"""How many columns and rows the work gets, and which part of the picture falls on it."""

from math import floor
from typing import NamedTuple

from convert.layout.choices import DEFAULT_COLUMNS, Crop, Fit, LayoutChoices
from shared.beads import BeadSize
from shared.errors import BadChoiceError
from shared.orientation import LEAST_GROUPS
from shared.plural import counted

STRIP = 2.0
"""A work at least this many times as long as wide is a strip: a picture that lies on its side is turned for it."""

LYING = 2.2
"""A picture at least this many times as wide as high is that of a strip, whatever size is asked for."""

_PX_PER_MM = 100


class Box(NamedTuple):
    """A rectangle in pixels, x right and y down from the upper left corner."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Pixels across."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Pixels down."""
        return self.bottom - self.top

    def scale(self, across: float, down: float) -> "Box":
        """Return the same rectangle where a pixel is smaller or larger."""
        return Box(self.left * across, self.top * down, self.right * across, self.bottom * down)


class Plan(NamedTuple):
    """The size of the work and its place on the picture."""

    columns: int
    """W of the grid."""
    rows: int
    """R of the grid."""
    turn: int
    """Degrees clockwise by which the picture is turned, a multiple of 90."""
    seen_width: int
    """Pixels across of the turned picture."""
    seen_height: int
    """Pixels down of the turned picture."""
    bounds: Box
    """The cropped picture, on the turned and mirrored one."""
    window: Box
    """The outline of the flat work there; it may reach beyond ``bounds``."""
    notices: tuple[str, ...]
    """What a person should know of it."""


def plan_work(width: int, height: int, choices: LayoutChoices, flat: BeadSize) -> Plan:
    """Plan a work so that shapes keep their proportions in millimetres.

    Parameters
    ----------
    width, height
        Pixels of the picture as one sees it.
    choices
        Size, crop, turn, mirror, fit and two-drop.
    flat
        The size of the flat beads: its length and diameter set the proportions of columns and rows.

    Raises
    ------
    BadChoiceError
        When the crop box lies outside the picture, or a size is under one bead.
    """
    crop = _crop_box(choices.crop, width, height)
    turn, notices = _turn(crop, choices, flat)
    bounds = _turn_box(crop, turn, width, height)
    seen_width, seen_height = (width, height) if turn % 180 == 0 else (height, width)
    if choices.mirror:
        bounds = Box(seen_width - bounds.right, bounds.top, seen_width - bounds.left, bounds.bottom)
    columns, rows, more = _counts(bounds, flat, choices)
    window = _window(bounds, columns * flat.length_mm / _length_of(rows, flat), choices.fit)
    return Plan(columns, rows, turn, seen_width, seen_height, bounds, window, notices + more)


def flat_plan(choices: LayoutChoices, flat: BeadSize) -> Plan:
    """Plan a work that fills a picture of its own proportions.

    Raises
    ------
    BadChoiceError
        When its width or its length is not given.
    """
    across, along = choices.columns or choices.width_mm, choices.rows or choices.length_mm
    if not across or not along:
        raise BadChoiceError("without a picture the size must be given: --columns or --width, and --rows or --length")
    columns, rows, notices = _counts(Box(0, 0, 1, 1), flat, choices)
    width, height = (_round(_PX_PER_MM * mm) for mm in (columns * flat.length_mm, _length_of(rows, flat)))
    box = Box(0, 0, width, height)
    return Plan(columns, rows, 0, width, height, box, box, notices)


def _crop_box(crop: Crop | None, width: int, height: int) -> Box:
    if crop is None:
        return Box(0, 0, width, height)
    across, down = (width / 100, height / 100) if crop.percent else (1, 1)
    wanted = Box(crop.left, crop.top, crop.left + crop.width, crop.top + crop.height).scale(across, down)
    box = Box(max(wanted.left, 0), max(wanted.top, 0), min(wanted.right, width), min(wanted.bottom, height))
    if box.width < 1 or box.height < 1:
        raise BadChoiceError(f"the crop box leaves no pixel of a picture of {width} x {height}; move or widen it")
    return box


def _turn(crop: Box, choices: LayoutChoices, flat: BeadSize) -> tuple[int, tuple[str, ...]]:
    """Return degrees clockwise: what lies is stood up for a strip alone, else a sky would lie on its side."""
    if choices.turn != "auto":
        return int(choices.turn), ()
    if crop.width <= crop.height or _length_by_width(choices, flat) < 1:
        return 0, ()
    if crop.width >= LYING * crop.height or _length_by_width(choices, flat) >= STRIP:
        return 90, ("the picture lies on its side; it was turned by 90 degrees clockwise (--turn 0 leaves it)",)
    return 0, ("the picture is wider than high and stays so; --turn 90 turns it",)


def _length_by_width(choices: LayoutChoices, flat: BeadSize) -> float:
    """Return how many times as long as wide the work is asked to be; 1 unless both are asked for."""
    length_mm = choices.length_mm or (_length_of(choices.rows, flat) if choices.rows else None)
    width_mm = choices.width_mm or (choices.columns * flat.length_mm if choices.columns else None)
    return length_mm / width_mm if length_mm and width_mm else 1.0


def _turn_box(box: Box, turn: int, width: int, height: int) -> Box:
    for _ in range(turn // 90):
        box = Box(height - box.bottom, box.left, height - box.top, box.right)
        width, height = height, width
    return box


def _counts(bounds: Box, flat: BeadSize, choices: LayoutChoices) -> tuple[int, int, tuple[str, ...]]:
    columns = choices.columns
    rows = choices.rows
    if choices.width_mm is not None:
        columns = _columns_for(choices.width_mm, flat, choices.drop)
        _refuse_too_small(columns, LEAST_GROUPS * choices.drop, "--width", flat.length_mm * LEAST_GROUPS * choices.drop)
    if choices.length_mm is not None:
        rows = rows_for(choices.length_mm, flat)
        _refuse_too_small(rows, 2, "--length", flat.diameter_mm * 1.5)
    notices: tuple[str, ...] = ()
    if columns is None and rows is None:
        columns = DEFAULT_COLUMNS + DEFAULT_COLUMNS % choices.drop
        notices = (
            f"no size was given; {counted(columns, 'column')} were taken (--columns, --width, --rows, --length)",
        )
    if columns is None:
        across_mm = _length_of(rows or 0, flat) * bounds.width / bounds.height
        columns = max(LEAST_GROUPS * choices.drop, _columns_for(across_mm, flat, choices.drop))
    if rows is None:
        rows = max(2, rows_for(columns * flat.length_mm * bounds.height / bounds.width, flat))
    return columns, rows, notices


def _refuse_too_small(count: int, least: int, option: str, least_mm: float) -> None:
    if count < least:
        raise BadChoiceError(f"{option} is too small for this bead; give {least_mm:g}mm or more")


def _length_of(rows: int, flat: BeadSize) -> float:
    return (rows + 1) * flat.diameter_mm / 2


def _columns_for(width_mm: float, flat: BeadSize, drop: int) -> int:
    """Return the columns nearest to a width that make whole groups."""
    return drop * _round(width_mm / (drop * flat.length_mm))


def rows_for(length_mm: float, flat: BeadSize) -> int:
    """Return the rows of flat work nearest to a length."""
    return _round(length_mm / (flat.diameter_mm / 2) - 1)


def _round(value: float) -> int:
    return floor(value + 0.5)


def _window(bounds: Box, proportion: float, fit: Fit) -> Box:
    """Return the rectangle of the given width to height that covers, or is covered by, the bounds."""
    if fit == "stretch":
        return bounds
    wider = bounds.width / bounds.height > proportion
    follow_height = wider == (fit == "cover")
    width = bounds.height * proportion if follow_height else bounds.width
    height = bounds.height if follow_height else bounds.width / proportion
    middle, centre = (bounds.left + bounds.right) / 2, (bounds.top + bounds.bottom) / 2
    return Box(middle - width / 2, centre - height / 2, middle + width / 2, centre + height / 2)
