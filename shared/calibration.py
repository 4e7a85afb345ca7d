"""A maker's gauge: what a stitched sample told of one maker's work, next to bead measures."""

import math
from dataclasses import dataclass
from typing import Any, Literal, get_args

from shared.errors import BadFileError
from shared.plural import listed
from shared.toml_text import is_number

Figure = Literal["length", "width", "dome"]

FIGURES: tuple[Figure, ...] = get_args(Figure)


@dataclass(frozen=True)
class Gauge:
    """What a stitched sample told.

    Parameters
    ----------
    sample
        What was stitched, in a line of words.
    bending
        How stiffly the cloth bends: the weight of a bend squared against that of a strain squared.
    measured
        Which of `FIGURES` were measured on it, in their order; the others stay estimates.

    Raises
    ------
    BadFileError
        When the bending is not above zero, the sample has no name, or nothing or something else was measured.
    """

    sample: str
    bending: float
    measured: tuple[Figure, ...] = FIGURES

    def __post_init__(self) -> None:
        if not self.sample or not self.sample.isprintable():
            raise BadFileError('the gauge must name its sample in one line; write sample = "first cuff"')
        if not 0 < self.bending < math.inf:
            raise BadFileError(f"the bending of the gauge is {self.bending:g}; it must be above zero")
        if not self.measured or tuple(figure for figure in FIGURES if figure in self.measured) != self.measured:
            raise BadFileError(
                'the gauge must say once and in this order what was measured; write measured = ["length", "width", '
                '"dome"], and leave out what was not'
            )


def trust_in_words(gauge: Gauge | None) -> str:
    """Say what figures rest on.

    Examples
    --------
    >>> trust_in_words(Gauge("first cuff", 0.01, ("length", "dome")))
    'length and domes set after a stitched sample, the rest an estimate'
    """
    if gauge is None:
        return "an estimate: no stitched sample was measured"
    if gauge.measured == FIGURES:
        return "set after a stitched sample"
    names = [{"dome": "domes"}.get(figure, figure) for figure in gauge.measured]
    return f"{listed(names)} set after a stitched sample, the rest an estimate"


def gauge_to_values(gauge: Gauge) -> dict[str, Any]:
    """Write a gauge as a table."""
    return {"sample": gauge.sample, "bending": gauge.bending, "measured": list(gauge.measured)}


def gauge_from_values(table: Any) -> Gauge:
    """Read a gauge from a table, as TOML and JSON give it; the inverse of `gauge_to_values`.

    Raises
    ------
    BadFileError
        When it is no gauge.
    """
    if not isinstance(table, dict) or set(table) != {"sample", "bending", "measured"}:
        raise BadFileError("needs exactly sample, bending and measured", where=["gauge"])
    if not isinstance(table["sample"], str):
        raise BadFileError("its sample must be text, like first cuff", where=["gauge"])
    if not is_number(table["bending"]):
        raise BadFileError("its bending must be a number", where=["gauge"])
    if not isinstance(table["measured"], list) or not all(isinstance(one, str) for one in table["measured"]):
        raise BadFileError('its measured must be a list of words, like ["length", "dome"]', where=["gauge"])
    return Gauge(table["sample"], float(table["bending"]), tuple(table["measured"]))
