"""What one may choose of colours and of tidying."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

from convert.cells.choices import GroundChoice
from shared.choice import choice
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from palettes.palette import Palette

Count = Literal["colours", "kinds"]
Colours = int | Literal["auto"]

MOST_COLOURS = 256
FEWEST_REVIEWED, MOST_REVIEWED = 2, 16
"""Numbers of colours that are tried where their number is to be found."""

STRONGEST_TIDYING = 3.0


class Given(NamedTuple):
    """A colour that must be in: one of the palette by its name, or any as ``#rrggbb``, with or without a name."""

    name: str
    srgb: str = ""


@dataclass(frozen=True)
class PaletteChoices(GroundChoice):
    """Choices of the stage that chooses colours.

    Raises
    ------
    BadChoiceError
        When they contradict each other or are out of range.
    """

    colours: Colours = choice(
        6, "Colours", "At most this many; auto takes as many as the picture needs.", form="count or auto"
    )
    palette: "Palette | None" = choice(
        None,
        "Colours",
        "Beads that exist: a table or GIMP palette, or one that comes along.",
        form="palette",
        metavar="FILE|NAME",
    )
    count: Count = choice("colours", "Colours", "What --colours counts: colours, or kinds (colours in sizes) to buy.")
    keep: tuple[Given, ...] = choice(
        (),
        "Colours",
        "A colour that must be in; may come again.",
        form="kept colour",
        metavar="NAME|NAME=#RRGGBB",
        many=True,
    )
    never: tuple[str, ...] = choice(
        (), "Colours", "A colour of the palette to leave out; may come again.", form="text", metavar="NAME", many=True
    )
    finish: tuple[str, ...] = choice(
        (),
        "Colours",
        "Take only beads of these finishes: opaque,matte; what is kept stays.",
        form="text",
        metavar="WORDS",
        many=True,
    )

    def __post_init__(self) -> None:
        parts = [part.strip() for words in self.finish for part in words.split(",")]
        object.__setattr__(self, "finish", tuple(dict.fromkeys(part for part in parts if part)))
        if self.colours != "auto" and not 1 <= self.colours <= MOST_COLOURS:
            raise BadChoiceError(f"{self.colours} colours cannot be had; give 1 to {MOST_COLOURS}")
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
            if self.finish:
                raise BadChoiceError("--finish chooses among beads that exist; give --palette, or leave it out")
        else:
            self.palette.of_finish(self.finish)  # refuses a finish that no colour has before anything is done


@dataclass(frozen=True)
class SmoothChoices(PaletteChoices):
    """Choices of the stage that tidies colours; it also reads which ones were asked for, for those stay."""

    tidy: float = choice(1.0, "Colours", "How strongly stray beads are tidied away.", form="strength", metavar="0…3")
    fewest: int = choice(1, "Colours", "Give up colours that fewer beads have.", form="count")

    def __post_init__(self) -> None:
        super().__post_init__()
        if not 0 <= self.tidy <= STRONGEST_TIDYING:
            raise BadChoiceError(f"tidying of strength {self.tidy:g} cannot be had; give 0 to {STRONGEST_TIDYING:g}")


@dataclass(frozen=True)
class DesignChoices:
    """Choices of the stage that puts beads together to a design.

    Raises
    ------
    BadFileError
        When the title is no line of text.
    """

    title: str = choice("", "Output", "Title of the pattern.", form="text", metavar="TEXT", shown="from the file name")

    def __post_init__(self) -> None:
        if self.title:
            from shared.design import check_line

            check_line(self.title, "the title")
