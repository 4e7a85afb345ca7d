"""Every choice of the main job with its default, once."""

from dataclasses import dataclass, field, fields
from math import inf
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from convert.relief.dome_syntax import DomeShape
from convert.shopping.choices import SPARE_PERCENT, check_spare_percent
from shared.beads import BeadSizes, default_bead_sizes
from shared.errors import BadChoiceError
from shared.orientation import Hand, Start

if TYPE_CHECKING:
    from palettes.palette import Palette

Fit = Literal["cover", "contain", "stretch"]
Count = Literal["colours", "kinds"]
SeenStyle = Literal["photo", "flat", "lines"]
Style = Literal["auto", "photo", "flat", "lines"]
Slopes = Literal["trim", "widen"]
Guess = Literal["saliency", "luminance"]
Turn = Literal["auto", "0", "90", "180", "270"]
Colours = int | Literal["auto"]
Repeat = int | Literal["auto"]

DEFAULT_COLUMNS = 25
"""Width of the work when nothing is said of its size."""

MOST_COLOURS = 256

MOST_BLUR_MM = 50.0
"""A wider smoothing leaves nothing of any height map; it is a slip of the unit."""

WHITE = "#ffffff"
"""The ground where none is given."""

STRONGEST_TIDYING = 3.0

_NOT_PLAIN = {"bead_sizes", "crop", "thresholds", "palette", "keep", "never", "domes"}

FEWEST_REVIEWED, MOST_REVIEWED = 2, 16
"""Numbers of colours that are tried where their number is to be found."""


class Given(NamedTuple):
    """A colour that must be in: one of the palette by its name, or any as ``#rrggbb``, with or without a name."""

    name: str
    srgb: str = ""


@dataclass(frozen=True)
class Crop:
    """A box on the picture as one sees it, each edge in pixels or, with ``percent``, in per cent of the side."""

    left: float
    top: float
    width: float
    height: float
    percent: bool = False


@dataclass(frozen=True)
class Options:
    """What `convert.pipeline.convert` may be told.

    Parameters
    ----------
    columns, width_mm
        Width of the work; at most one of them. `DEFAULT_COLUMNS` when no size is given at all.
    rows, length_mm
        Length of the flat work; at most one of them. What is not given follows from the picture.
    colours
        How many colours at the most; ``auto`` for as many as the rule of `convert.colouring.colour_count` takes.
    style
        How the picture is brought to beads: ``photo`` takes the mean over each bead, ``flat`` one of the colours
        that the bead covers, ``lines`` keeps thin lines; ``auto`` guesses and says what it took.
    fit
        When the proportions differ: ``cover`` fills the work and cuts what hangs over, ``contain`` shows
        the whole picture on the ground colour, ``stretch`` distorts it. A motif that comes again is always whole: it is
        stretched by one row at the most.
    crop
        Part of the picture to use; None for all.
    turn
        Degrees clockwise, after cropping; ``auto`` turns a picture that lies on its side by 90.
    mirror
        Left and right swapped, after turning.
    ground
        Colour behind transparent parts and beside a contained picture, ``#rrggbb``; flat beads that look like it
        get it exactly. None for white behind, and no such beads.
    palette
        The beads that exist; None for colours worked out from the picture.
    keep
        Colours that are in.
    never
        Names of colours of the palette that are left out.
    count
        Whether ``colours`` limits colours, or beads to buy: colours in sizes.
    fewest
        Colours that fewer beads have are given up.
    tidy
        How strongly stray beads and needless colour changes are removed, 0 (not at all) to 3: so much colour
        error, in CIEDE2000, is a colour change between two beads worth.
    repeat
        How often the picture comes, one time after another along the work; ``auto`` for as often as the length holds
        it whole; None for a picture that is the whole work.
    foundation, end_rows
        Plain rows before and after the rounds.
    mirror_half
        The second half of the work is the first turned end for end, foundation included.
    hand, start, drop
        See `shared.grid.Grid`.
    domes
        Shapes to raise, beside or instead of a height map.
    thresholds
        Heights (0 … 1, rising) at which the next larger bead begins; None for equal thresholds.
    slopes
        ``trim`` takes slopes off the domes, ``widen`` adds them around.
    blur_mm
        Standard deviation of the smoothing of the height map, in mm of the finished work.
    invert_heights
        White is flat and black is highest.
    stretch_heights
        Accept a height map of other proportions than the picture.
    spare_percent
        Added to every count on the shopping list.
    max_pixels
        Larger pictures are refused.
    title
        One line; empty for the picture's file name in words.
    ladder
        Bead sizes and their measures.

    Raises
    ------
    BadChoiceError
        When choices contradict each other or are out of range.
    BadFileError
        When the title is no line of text.
    """

    columns: int | None = None
    width_mm: float | None = None
    rows: int | None = None
    length_mm: float | None = None
    colours: Colours = 6
    style: Style = "auto"
    fit: Fit = "cover"
    crop: Crop | None = None
    turn: Turn = "auto"
    mirror: bool = False
    ground: str | None = None
    palette: "Palette | None" = None
    keep: tuple[Given, ...] = ()
    never: tuple[str, ...] = ()
    count: Count = "colours"
    fewest: int = 1
    tidy: float = 1.0
    repeat: Repeat | None = None
    first_rows: int = 0
    last_rows: int = 0
    mirror_half: bool = False
    hand: Hand = "right"
    start: Start = "top"
    drop: int = 1
    domes: tuple[DomeShape, ...] = ()
    thresholds: tuple[float, ...] | None = None
    slopes: Slopes = "trim"
    blur_mm: float = 0.0
    invert_heights: bool = False
    stretch_heights: bool = False
    spare_percent: float = SPARE_PERCENT
    max_pixels: int = 100_000_000
    title: str = ""
    bead_sizes: BeadSizes = field(default_factory=default_bead_sizes)

    def __post_init__(self) -> None:
        self._check_size()
        self._check_repeat()
        if self.colours != "auto" and not 1 <= self.colours <= MOST_COLOURS:
            raise BadChoiceError(f"{self.colours} colours cannot be had; give 1 to {MOST_COLOURS}")
        if not 0 <= self.tidy <= STRONGEST_TIDYING:
            raise BadChoiceError(f"tidying of strength {self.tidy:g} cannot be had; give 0 to {STRONGEST_TIDYING:g}")
        self._check_palette()
        check_spare_percent(self.spare_percent)
        if not 0 <= self.blur_mm <= MOST_BLUR_MM:
            raise BadChoiceError(f"a blur of {self.blur_mm:g} mm cannot be had; give 0mm to {MOST_BLUR_MM:g}mm")
        if self.thresholds is not None:
            self._check_thresholds(self.thresholds)
        if self.title:
            from shared.design import check_line

            check_line(self.title, "the title")

    def _check_size(self) -> None:
        if self.columns is not None and self.width_mm is not None:
            raise BadChoiceError("both --columns and --width say how wide the work is; give one of them")
        if self.rows is not None and self.length_mm is not None:
            raise BadChoiceError("both --rows and --length say how long the work is; give one of them")
        for count, least, what in ((self.columns, 1, "columns"), (self.rows, 2, "rows")):
            if count is not None and count < least:
                raise BadChoiceError(f"{count} is too few {what}; give {least} or more")
        for size_mm, option in ((self.width_mm, "--width"), (self.length_mm, "--length")):
            if size_mm is not None and not 0 < size_mm < inf:
                raise BadChoiceError(f"{option} is {size_mm:g} mm; give a size above zero")

    def _check_repeat(self) -> None:
        if self.repeat is None:
            if self.first_rows or self.last_rows or self.mirror_half:
                raise BadChoiceError(
                    "--first-rows, --last-rows and --mirror-half belong to a repeat; give --repeat too, be it 1"
                )
            return
        if min(self.first_rows, self.last_rows) < 0 or (self.repeat != "auto" and self.repeat < 1):
            raise BadChoiceError("a repeat, its foundation and its end cannot be negative, nor a repeat 0; give more")
        sized = self.rows is not None or self.length_mm is not None
        if self.repeat == "auto" and not sized:
            raise BadChoiceError("--repeat auto fills a length; give --length or --rows, or a number like --repeat 5")
        if self.repeat != "auto" and sized:
            raise BadChoiceError(
                f"--repeat {self.repeat} says how long the work is; leave --rows and --length out, or say --repeat auto"
            )
        if self.mirror_half:
            self._check_mirrored()

    def _check_mirrored(self) -> None:
        if self.repeat != "auto" and self.repeat is not None and self.repeat % 2:
            raise BadChoiceError(
                f"--repeat {self.repeat} cannot be mirrored: each half has whole rounds; give {self.repeat + 1}"
            )
        if self.last_rows not in {0, self.first_rows}:
            raise BadChoiceError("with --mirror-half the end is the foundation again; leave --last-rows out")

    def _check_palette(self) -> None:
        names = [colour.name.casefold() for colour in self.keep if colour.name]
        for number, name in enumerate(names):
            if name in names[:number]:
                raise BadChoiceError(f"two colours to keep are called '{name}'; leave one out, or give it another name")
        if self.palette is None:
            needy = [colour.name for colour in self.keep if not colour.srgb] + list(self.never)
            if needy:
                raise BadChoiceError(f"'{needy[0]}' names a colour of a palette; give --palette, or write name=#rrggbb")
            if self.count == "kinds":
                raise BadChoiceError("--count kinds needs beads that exist; give --palette, or count colours")

    def _check_thresholds(self, thresholds: tuple[float, ...]) -> None:
        most = len(self.bead_sizes.sizes) - 1
        if not most:
            raise BadChoiceError("this ladder has one size only, so there is nothing to cut; leave --thresholds out")
        if not 1 <= len(thresholds) <= most:
            raise BadChoiceError(
                f"{len(thresholds)} thresholds were given; this ladder takes 1 to {most}, one for each raised size"
            )
        if not (all(0 < cut <= 1 for cut in thresholds) and list(thresholds) == sorted(set(thresholds))):
            raise BadChoiceError("thresholds must rise and lie above 0 and up to 1, like 0.25,0.5,0.75")

    def to_values(self) -> dict[str, Any]:
        """Write the choices as values that JSON can hold, the bead sizes left out: the design file holds it."""
        values = {f.name: getattr(self, f.name) for f in fields(self) if f.name not in _NOT_PLAIN}
        crop = None if self.crop is None else {f.name: getattr(self.crop, f.name) for f in fields(self.crop)}
        return values | {
            "crop": crop,
            "thresholds": None if self.thresholds is None else list(self.thresholds),
            "palette": None if self.palette is None else self.palette.name,
            "keep": [list(colour) for colour in self.keep],
            "never": list(self.never),
            "domes": [dome.words for dome in self.domes],
        }
