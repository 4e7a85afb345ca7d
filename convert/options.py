"""Every choice of the main job with its default, once."""

from dataclasses import dataclass, field, fields
from math import inf
from typing import Any, Literal

from convert.mound_words import Mound
from shared.beads import Ladder, default_ladder
from shared.errors import BadChoiceError
from shared.ways import Hand, Start

Fit = Literal["cover", "contain", "stretch"]
Policy = Literal["ground", "peak"]
Ink = Literal["colour", "black"]
Guess = Literal["saliency", "luminance"]
Turn = Literal["auto", "0", "90", "180", "270"]

DEFAULT_INK: Ink = "colour"

DEFAULT_COLUMNS = 25
"""Width of the work when nothing is said of its size."""

MOST_COLOURS = 256


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
        How many colours at the most.
    fit
        When the proportions differ: ``cover`` fills the work and cuts what hangs over, ``contain`` shows
        the whole picture on the ground colour, ``stretch`` distorts it.
    crop
        Part of the picture to use; None for all.
    turn
        Degrees clockwise, after cropping; ``auto`` turns a picture that lies on its side by 90.
    mirror
        Left and right swapped, after turning.
    ground
        Colour behind transparent parts and beside a contained picture, ``#rrggbb``.
    hand, start
        See `shared.grid.Grid`.
    mounds
        Shapes to raise, beside or instead of a height map.
    cuts
        Heights (0 … 1, rising) at which the next larger bead begins; None for equal cuts.
    policy
        ``ground`` cuts slopes out of the domes, ``peak`` adds them around.
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
    """

    columns: int | None = None
    width_mm: float | None = None
    rows: int | None = None
    length_mm: float | None = None
    colours: int = 6
    fit: Fit = "cover"
    crop: Crop | None = None
    turn: Turn = "auto"
    mirror: bool = False
    ground: str = "#ffffff"
    hand: Hand = "right"
    start: Start = "top"
    mounds: tuple[Mound, ...] = ()
    cuts: tuple[float, ...] | None = None
    policy: Policy = "ground"
    blur_mm: float = 0.0
    invert_heights: bool = False
    stretch_heights: bool = False
    spare_percent: float = 10.0
    max_pixels: int = 100_000_000
    title: str = ""
    ladder: Ladder = field(default_factory=default_ladder)

    def __post_init__(self) -> None:
        self._check_size()
        if not 1 <= self.colours <= MOST_COLOURS:
            raise BadChoiceError(f"{self.colours} colours cannot be had; give 1 to {MOST_COLOURS}")
        if not 0 <= self.spare_percent <= 1000:
            raise BadChoiceError(f"{self.spare_percent:g} per cent spare cannot be meant; give 0 to 1000")
        if not 0 <= self.blur_mm < inf:
            raise BadChoiceError(f"a blur of {self.blur_mm:g} mm cannot be had; give 0 mm or more")
        if self.cuts is not None:
            self._check_cuts(self.cuts)

    def _check_size(self) -> None:
        if self.columns is not None and self.width_mm is not None:
            raise BadChoiceError("both --columns and --width say how wide the work is; give one of them")
        if self.rows is not None and self.length_mm is not None:
            raise BadChoiceError("both --rows and --length say how long the work is; give one of them")
        for count, least, what in ((self.columns, 1, "columns"), (self.rows, 2, "rows")):
            if count is not None and count < least:
                raise BadChoiceError(f"{count} {what} make no work; give {least} or more")
        for size_mm, option in ((self.width_mm, "--width"), (self.length_mm, "--length")):
            if size_mm is not None and not 0 < size_mm < inf:
                raise BadChoiceError(f"{option} is {size_mm:g} mm; give a size above zero")

    def _check_cuts(self, cuts: tuple[float, ...]) -> None:
        most = len(self.ladder.sizes) - 1
        if not 1 <= len(cuts) <= most:
            raise BadChoiceError(
                f"{len(cuts)} cuts were given; this ladder takes 1 to {most}, one for each raised size"
            )
        if not (all(0 < cut <= 1 for cut in cuts) and list(cuts) == sorted(set(cuts))):
            raise BadChoiceError("cuts must rise and lie above 0 and up to 1, like 0.25,0.5,0.75")

    def to_values(self) -> dict[str, Any]:
        """Write the choices as values that JSON can hold, the ladder left out: the design file holds it."""
        apart = {"ladder", "crop", "cuts", "mounds"}
        values = {f.name: getattr(self, f.name) for f in fields(self) if f.name not in apart}
        crop = None if self.crop is None else {f.name: getattr(self.crop, f.name) for f in fields(self.crop)}
        cuts = None if self.cuts is None else list(self.cuts)
        return values | {"crop": crop, "cuts": cuts, "mounds": [mound.words for mound in self.mounds]}
