"""What one may choose of how a picture is brought to cells."""

from dataclasses import dataclass
from typing import Literal

from shared.choice import choice

SeenStyle = Literal["photo", "flat", "outlined", "lines"]
Style = Literal["auto", "photo", "flat", "outlined", "lines"]

WHITE = "#ffffff"
"""The ground where none is given."""


@dataclass(frozen=True)
class GroundChoice:
    """The ground, which several stages read: where the picture shows nothing, and the colour of flat background."""

    ground: str | None = choice(
        None,
        "Colours",
        "Background, #rrggbb or a name of the palette: behind what is transparent, and for flat beads like it.",
        form="ground",
        metavar="COLOUR",
    )


@dataclass(frozen=True)
class CellChoices(GroundChoice):
    """Choices of the stage that finds what the picture shows on each bead."""

    style: Style = choice(
        "auto", "Picture", "How it is drawn: shaded, flat, flat and outlined, or in thin lines; auto guesses, says so."
    )
