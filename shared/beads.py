"""Bead sizes: their measures, and the rising row of them that a design steps through."""

import json
import math
import re
from dataclasses import dataclass
from functools import cached_property
from importlib.resources import files
from itertools import pairwise
from typing import Any

from shared.calibration import Figure, Gauge, gauge_from_values, gauge_to_values
from shared.errors import BadFileError
from shared.toml_text import is_number, toml_values

SMALLEST_MM, LARGEST_MM = 0.2, 50.0
"""No bead may measure less or more; such a figure is a slip of the unit."""

LEAST_PER_GRAM, MOST_PER_GRAM = 0.01, 10_000.0
"""Nor may fewer or more of them weigh a gram."""

_NAME = re.compile(r"(?P<shape>cylinder|round) (?P<number>[1-9]\d?)/0")
_MEASURES = ("length_mm", "diameter_mm", "hole_mm", "per_gram")


@dataclass(frozen=True, slots=True)
class BeadSize:
    """One size of bead, with its hole along the row.

    Parameters
    ----------
    name
        Shape and trade size, for instance ``"round 8/0"``.
    length_mm
        Along the hole, in millimetres.
    diameter_mm
        Across the hole, in millimetres.
    hole_mm
        Diameter of the hole, in millimetres.
    per_gram
        How many of them weigh one gram.

    Raises
    ------
    BadFileError
        When the name has another form or a measure cannot be that of a bead.
    """

    name: str
    length_mm: float
    diameter_mm: float
    hole_mm: float
    per_gram: float

    def __post_init__(self) -> None:
        if not _NAME.fullmatch(self.name):
            raise BadFileError(f"'{self.name}' is no bead size; write it like cylinder 11/0 or round 8/0")
        for measure in _MEASURES:
            value = getattr(self, measure)
            if not 0 < value < math.inf:
                raise BadFileError(f"{measure} of {self.name} is {value}; it must be above zero")
        if (
            not SMALLEST_MM
            <= min(self.length_mm, self.diameter_mm)
            <= max(self.length_mm, self.diameter_mm)
            <= LARGEST_MM
        ):
            raise BadFileError(
                f"{self.name} measures under {SMALLEST_MM:g} or over {LARGEST_MM:g} mm; give bead measures in mm"
            )
        if not LEAST_PER_GRAM <= self.per_gram <= MOST_PER_GRAM:
            raise BadFileError(f"per_gram of {self.name} is {self.per_gram:g}; give how many of them weigh one gram")
        if self.hole_mm >= self.diameter_mm:
            raise BadFileError(f"the hole of {self.name} is wider than the bead; give both in mm")

    @property
    def shape(self) -> str:
        """``"cylinder"`` or ``"round"``."""
        return self.name.split()[0]

    @property
    def number(self) -> str:
        """The trade size without its ``/0``: ``"8"`` for 8/0."""
        return self.name.split()[1].removesuffix("/0")


@dataclass(frozen=True)
class BeadSizes:
    """Bead sizes in rising order; beads that touch differ by at most one level.

    Parameters
    ----------
    sizes
        From the flat size (level 0, flat work) upwards.
    gauge
        Set when the measures are those of a stitched sample; without it every predicted figure is an estimate.

    Raises
    ------
    BadFileError
        When there is no size, two would have the same kind, or a size is thinner than the one before.
    """

    sizes: tuple[BeadSize, ...]
    gauge: Gauge | None = None

    def __post_init__(self) -> None:
        if not self.sizes:
            raise BadFileError("there is no bead size; add a [[size]] table")
        if len({size.name for size in self.sizes}) < len(self.sizes):
            raise BadFileError("two bead sizes have the same name; keep one")
        if len({size.number for size in self.sizes[1:]}) < len(self.sizes) - 1:
            raise BadFileError("two raised sizes have the same number, so their kinds would be equal; keep one")
        for lower, upper in pairwise(self.sizes):
            if upper.diameter_mm < lower.diameter_mm:
                raise BadFileError(f"{upper.name} is thinner than {lower.name} before it; list sizes in rising order")

    @property
    def flat(self) -> BeadSize:
        """The size of flat work."""
        return self.sizes[0]

    @cached_property
    def level_of(self) -> dict[str, int]:
        """The level of each size name, 0 for the flat size."""
        return {size.name: level for level, size in enumerate(self.sizes)}

    def is_measured(self, *figures: Figure) -> bool:
        """Return whether all of these figures were measured on a stitched sample; what was not is an estimate."""
        return self.gauge is not None and set(figures) <= set(self.gauge.measured)

    @cached_property
    def marks(self) -> tuple[str, ...]:
        """What a kind of each level carries behind its letter: nothing for the flat size, else the size number."""
        return ("", *(size.number for size in self.sizes[1:]))


def bead_sizes_from_values(values: Any, gauge: Any = None) -> BeadSizes:
    """Make bead sizes from a list of tables, as TOML and JSON give them.

    Parameters
    ----------
    values
        A table for each size.
    gauge
        The table of a gauge, if there is one.

    Raises
    ------
    BadFileError
        When a table lacks a measure, has one too many, or the measures are not those of beads.
    """
    if not isinstance(values, list):
        raise BadFileError("bead sizes are a list of [[size]] tables; add one for each")
    sizes = tuple(_size_from_values(table, place) for place, table in enumerate(values, start=1))
    return BeadSizes(sizes, None if gauge is None else gauge_from_values(gauge))


def bead_sizes_to_values(bead_sizes: BeadSizes) -> list[dict[str, Any]]:
    """Write bead sizes as a list of tables; the inverse of `bead_sizes_from_values`."""
    return [{"name": size.name} | {m: getattr(size, m) for m in _MEASURES} for size in bead_sizes.sizes]


def bead_sizes_toml(bead_sizes: BeadSizes) -> str:
    """Write bead sizes as TOML text; the inverse of `parse_bead_sizes`."""
    tables = [("[[size]]", values) for values in bead_sizes_to_values(bead_sizes)]
    if bead_sizes.gauge is not None:
        tables.append(("[gauge]", gauge_to_values(bead_sizes.gauge)))
    return "\n".join(_toml_table(head, values) for head, values in tables)


def parse_bead_sizes(text: str, *, source: str = "the bead sizes") -> BeadSizes:
    """Read bead sizes from TOML text.

    Parameters
    ----------
    text
        ``[[size]]`` tables in rising order, each with name, length_mm, diameter_mm, hole_mm, per_gram; and
        ``[gauge]`` with sample, bending and measured where a stitched sample was measured.
    source
        What the text is called in errors.

    Raises
    ------
    BadFileError
        When it is no TOML, or does not hold bead sizes.
    """
    tables = toml_values(text, source=source, remedy="mend that place")
    try:
        return bead_sizes_from_values(tables.get("size"), tables.get("gauge"))
    except BadFileError as error:
        raise BadFileError(error.message, where=[source, *error.where]) from error


def default_bead_sizes() -> BeadSizes:
    """Return the bead sizes of ``shared/bead_sizes.toml``: cylinder 11/0, round 11/0, 8/0, 6/0."""
    return parse_bead_sizes(files("shared").joinpath("bead_sizes.toml").read_text("utf-8"))


def _toml_table(head: str, values: dict[str, Any]) -> str:
    # A JSON string of printable text, and a JSON number, are TOML as well.
    return "\n".join(
        [head, *(f"{name} = {json.dumps(value, ensure_ascii=False)}" for name, value in values.items()), ""]
    )


def _size_from_values(table: Any, place: int) -> BeadSize:
    where = [f"size {place}"]
    expected = {"name", *_MEASURES}
    if not isinstance(table, dict) or set(table) != expected:
        raise BadFileError(f"needs exactly {', '.join(sorted(expected))}", where=where)
    if not isinstance(table["name"], str):
        raise BadFileError("its name must be text, like round 8/0", where=where)
    for measure in _MEASURES:
        if not is_number(table[measure]):
            raise BadFileError(f"{measure} must be a number", where=where)
    return BeadSize(table["name"], *(float(table[m]) for m in _MEASURES))
