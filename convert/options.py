"""Every choice of the main job: those of each stage, put together, with what must hold between them."""

from dataclasses import dataclass, fields
from typing import Any

from convert.cells.choices import CellChoices
from convert.colouring.choices import DesignChoices, SmoothChoices
from convert.image.choices import PictureChoices
from convert.layout.choices import LayoutChoices
from convert.relief.choices import ReliefChoices
from convert.shopping.choices import SpareChoice, check_spare
from shared.beads import BeadSizes, default_bead_sizes
from shared.choice import choice
from shared.errors import BadChoiceError


@dataclass(frozen=True)
class Options(SpareChoice, PictureChoices, DesignChoices, SmoothChoices, ReliefChoices, CellChoices, LayoutChoices):
    """What the main job may be told; what each choice means stands where its stage states it.

    Raises
    ------
    BadChoiceError
        When choices contradict each other or are out of range.
    BadFileError
        When the title is no line of text.
    """

    bead_sizes: BeadSizes = choice(
        default_bead_sizes, "Stitching", "Your bead measures, a TOML file.", form="measures", option="measures"
    )

    def __post_init__(self) -> None:
        for part in (LayoutChoices, SmoothChoices, ReliefChoices, DesignChoices):
            part.__post_init__(self)
        check_spare(self.spare_percent)
        most = len(self.bead_sizes.sizes) - 1
        if self.thresholds is not None and not most:
            raise BadChoiceError("these measures have one size only, so nothing can be raised; leave --thresholds out")
        if self.thresholds is not None and len(self.thresholds) > most:
            raise BadChoiceError(
                f"{len(self.thresholds)} thresholds were given; these bead sizes take 1 to {most}, "
                "one for each raised size"
            )

    def to_values(self) -> dict[str, Any]:
        """Write the choices as values that JSON can hold, the bead sizes left out: the design file holds them."""
        return {one.name: _plain(getattr(self, one.name)) for one in fields(self) if one.name != "bead_sizes"} | {
            "palette": None if self.palette is None else self.palette.name,
            "domes": [dome.words for dome in self.domes],
        }


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(part) for part in value]
    if hasattr(value, "__dataclass_fields__"):
        return {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
    return value
