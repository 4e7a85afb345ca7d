"""How many columns and rows the work gets, and which part of the picture falls on it."""

from math import floor
from typing import NamedTuple

from convert.image.cut import Cut, Span
from convert.options import DEFAULT_COLUMNS, Crop, Fit, Options
from shared.beads import BeadSize
from shared.errors import BadChoiceError
from shared.plural import counted

MOST_ACROSS, MOST_DOWN, MOST_FINER = 8, 5, 2
"""Samples that are taken of a picture to a column and to a half-row (a bead has two), and how many a side each may be
cut into further."""

SAMPLES_PER_CELL = 16
"""A picture may be reduced while it is read as long as a column, and a half-row, keeps this many pixels."""

PIXELS_KEPT = 2_500_000
"""And as long as so many remain in all. A progressive JPEG that its decoder reduces is averaged in codes, not in light,
which darkens what is sharp to the pixel (mean CIEDE2000 up to 1.5 on small photographs, under 0.1 on large ones, which
are soft)."""

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

    def moved(self, right: float, down: float) -> "Box":
        """Return the same rectangle elsewhere."""
        return Box(self.left + right, self.top + down, self.right + right, self.bottom + down)

    def scaled(self, across: float, down: float) -> "Box":
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

    def reduction(self, width: int, height: int) -> int:
        """Return how many pixels a side of a file may be averaged into one while it is read: 1, 2, 4 or 8.

        Parameters
        ----------
        width, height
            Pixels of the picture, or of a height map laid over it, as one sees it before it is turned.
        """
        cell = min(self._cell(width, height))
        kept = [k for k in (2, 4, 8) if cell / k >= SAMPLES_PER_CELL and width * height / k**2 >= PIXELS_KEPT]
        return max(kept, default=1)

    def cut(self, width: int, height: int) -> Cut:
        """Cut such a file, turned and mirrored, into rectangles: columns, half-rows and samples hold whole ones."""
        reduction = self.reduction(width, height)
        sides, samples = self._cell(width, height), (MOST_ACROSS * MOST_FINER, MOST_DOWN * MOST_FINER)
        across, down = (_in_whole(side / reduction, most) for side, most in zip(sides, samples, strict=True))
        shares = 1 / self.seen_width, 1 / self.seen_height
        window, bounds = self.window.scaled(*shares), self.bounds.scaled(*shares)
        return Cut(
            Span(window.left, window.right, self.columns * across, bounds.left, bounds.right),
            Span(window.top, window.bottom, (self.rows + 1) * down, bounds.top, bounds.bottom),
        )

    def _cell(self, width: int, height: int) -> tuple[float, float]:
        """Return how many of its pixels a column is wide and a half-row high."""
        across, down = (width, height) if self.turn % 180 == 0 else (height, width)
        window = self.window.scaled(across / self.seen_width, down / self.seen_height)
        return window.width / self.columns, window.height / (self.rows + 1)


def _in_whole(side: float, samples: int) -> int:
    """Return how many parts a side of so many pixels is cut into: as many to each sample if there are enough."""
    parts = max(floor(side), 1)
    return parts - parts % samples if parts >= samples else parts


def plan_work(width: int, height: int, options: Options) -> Plan:
    """Plan a work so that shapes keep their proportions in millimetres.

    Parameters
    ----------
    width, height
        Pixels of the picture as one sees it.
    options
        Size, crop, turn, mirror, fit and the bead sizes, whose flat bead sets the proportions.

    Raises
    ------
    BadChoiceError
        When the crop box lies beside the picture, or a size is under one bead.
    """
    crop = _crop_box(options.crop, width, height)
    turn, notices = _turn(crop, options)
    bounds = _turned(crop, turn, width, height)
    seen_width, seen_height = (width, height) if turn % 180 == 0 else (height, width)
    if options.mirror:
        bounds = Box(seen_width - bounds.right, bounds.top, seen_width - bounds.left, bounds.bottom)
    base = options.bead_sizes.flat
    columns, rows, more = _counts(bounds, base, options)
    window = _window(bounds, columns * base.length_mm / _length_of(rows, base), options.fit)
    return Plan(columns, rows, turn, seen_width, seen_height, bounds, window, notices + more)


def flat_plan(options: Options) -> Plan:
    """Plan a work that fills a picture of its own proportions.

    Raises
    ------
    BadChoiceError
        When its width or its length is not given.
    """
    across, along = options.columns or options.width_mm, options.rows or options.length_mm
    if not across or not along:
        raise BadChoiceError("without a picture the size must be given: --columns or --width, and --rows or --length")
    base = options.bead_sizes.flat
    columns, rows, notices = _counts(Box(0, 0, 1, 1), base, options)
    width, height = (_rounded(_PX_PER_MM * mm) for mm in (columns * base.length_mm, _length_of(rows, base)))
    box = Box(0, 0, width, height)
    return Plan(columns, rows, 0, width, height, box, box, notices)


def _crop_box(crop: Crop | None, width: int, height: int) -> Box:
    if crop is None:
        return Box(0, 0, width, height)
    across, down = (width / 100, height / 100) if crop.percent else (1, 1)
    wanted = Box(crop.left, crop.top, crop.left + crop.width, crop.top + crop.height).scaled(across, down)
    box = Box(max(wanted.left, 0), max(wanted.top, 0), min(wanted.right, width), min(wanted.bottom, height))
    if box.width < 1 or box.height < 1:
        raise BadChoiceError(f"the crop box leaves no pixel of a picture of {width} x {height}; move or widen it")
    return box


def _turn(crop: Box, options: Options) -> tuple[int, tuple[str, ...]]:
    if options.turn != "auto":
        return int(options.turn), ()
    if crop.width <= crop.height or _lies_across(options):
        return 0, ()
    return 90, ("the picture lies on its side; it was turned by 90 degrees clockwise (--turn 0 leaves it)",)


def _lies_across(options: Options) -> bool:
    """Tell whether the size asked for is itself wider than long."""
    base = options.bead_sizes.flat
    width_mm = options.width_mm or (options.columns or 0) * base.length_mm
    length_mm = options.length_mm or _length_of(options.rows or 0, base)
    asked_for_both = (options.width_mm or options.columns) and (options.length_mm or options.rows)
    return bool(asked_for_both) and width_mm > length_mm


def _turned(box: Box, turn: int, width: int, height: int) -> Box:
    for _ in range(turn // 90):
        box = Box(height - box.bottom, box.left, height - box.top, box.right)
        width, height = height, width
    return box


def _counts(bounds: Box, base: BeadSize, options: Options) -> tuple[int, int, tuple[str, ...]]:
    columns = options.columns
    rows = options.rows
    if options.width_mm is not None:
        columns = _columns_for(options.width_mm, base, options.drop)
        _refuse_under_one_bead(columns, 1, "--width", base.length_mm * options.drop)
    if options.length_mm is not None:
        rows = rows_for(options.length_mm, base)
        _refuse_under_one_bead(rows, 2, "--length", base.diameter_mm * 1.5)
    notices: tuple[str, ...] = ()
    if columns is None and rows is None:
        columns = DEFAULT_COLUMNS + DEFAULT_COLUMNS % options.drop
        notices = (
            f"no size was given; {counted(columns, 'column')} were taken (--columns, --width, --rows, --length)",
        )
    if columns is None:
        across_mm = _length_of(rows or 0, base) * bounds.width / bounds.height
        columns = max(options.drop, _columns_for(across_mm, base, options.drop))
    if rows is None:
        rows = max(2, rows_for(columns * base.length_mm * bounds.height / bounds.width, base))
    return columns, rows, notices


def _refuse_under_one_bead(count: int, least: int, option: str, least_mm: float) -> None:
    if count < least:
        raise BadChoiceError(f"{option} is too small for this bead; give {least_mm:g}mm or more")


def _length_of(rows: int, base: BeadSize) -> float:
    return (rows + 1) * base.diameter_mm / 2


def _columns_for(width_mm: float, base: BeadSize, drop: int) -> int:
    """Return the columns nearest to a width that make whole groups."""
    return drop * _rounded(width_mm / (drop * base.length_mm))


def rows_for(length_mm: float, base: BeadSize) -> int:
    """Return the rows of flat work nearest to a length."""
    return _rounded(length_mm / (base.diameter_mm / 2) - 1)


def _rounded(value: float) -> int:
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
