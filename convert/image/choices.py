"""What one may choose of how a picture is read."""

from dataclasses import dataclass

from shared.choice import choice


@dataclass(frozen=True)
class PictureChoices:
    """Choices of the stages that read files."""

    max_pixels: int = choice(100_000_000, "Picture", "Refuse larger pictures.", form="pixels", shown="100M")
