"""Every choice of the booklet with its default, once."""

from dataclasses import dataclass, field
from typing import Any

from convert.chart.choices import DEFAULT_INK, Ink
from convert.documents.paper import Paper
from convert.shopping.choices import SPARE_PERCENT, ThreadOptions, check_spare
from convert.shopping.packs import PackOf, no_packs
from convert.shopping.wrists import CLASP_MM, DEFAULT_EASE, EASES
from shared.design import check_line
from shared.errors import BadChoiceError, BadFileError
from shared.toml_text import toml_values

SMALLEST_BEAD_MM, LARGEST_BEAD_MM = 0.5, 20.0


STUDIO_KEYS = ("name", "contact", "terms")
LONGEST_TEXT = 4000


@dataclass(frozen=True)
class Studio:
    """The designer in her own words.

    Parameters
    ----------
    name
        Her name, one line; empty when she gives none.
    contact
        Where she can be reached, a line each.
    terms
        What buyers may do, a paragraph each.
    """

    name: str = ""
    contact: tuple[str, ...] = ()
    terms: tuple[str, ...] = ()


@dataclass(frozen=True)
class BookletChoices:
    """How a booklet is made.

    Parameters
    ----------
    paper
        ``"a4"`` or ``"letter"``.
    large_print
        Text and word rows of 18 points.
    ink
        ``"colour"``, or ``"black"`` for signs instead of colours.
    least_bead_mm
        The shorter side of a flat bead in the chart is not less; None for what suits the print.

    Raises
    ------
    BadChoiceError
        When a number cannot be worked with.
    """

    paper: Paper = "a4"
    large_print: bool = False
    ink: Ink = DEFAULT_INK
    least_bead_mm: float | None = None
    spare_percent: float = SPARE_PERCENT
    pack_of: PackOf = no_packs
    ease_mm: float = EASES[DEFAULT_EASE]
    clasp_mm: float = CLASP_MM
    thread: ThreadOptions = field(default_factory=ThreadOptions)
    studio: Studio = field(default_factory=Studio)

    def __post_init__(self) -> None:
        check_spare(self.spare_percent)
        if self.least_bead_mm is not None and not SMALLEST_BEAD_MM <= self.least_bead_mm <= LARGEST_BEAD_MM:
            raise BadChoiceError(
                f"a chart bead of {self.least_bead_mm:g} mm cannot be printed; "
                f"give --least-bead from {SMALLEST_BEAD_MM:g}mm to {LARGEST_BEAD_MM:g}mm"
            )


def parse_studio(text: str, *, source: str = "the studio file") -> Studio:
    """Read a studio file.

    Parameters
    ----------
    text
        TOML with any of ``name`` (a line), ``contact`` and ``terms`` (a text, or a list of them).

    Raises
    ------
    BadFileError
        When it is no TOML, has other keys, or a value is no text.
    """
    values = toml_values(text, source=source, remedy='write lines like name = "…"')
    try:
        return _check_studio(values)
    except BadFileError as error:
        raise BadFileError(error.message, where=[source]) from error


def _check_studio(values: dict[str, Any]) -> Studio:
    unknown = [key for key in values if key not in STUDIO_KEYS]
    if unknown:
        named = ", ".join(f"'{key}'" for key in unknown)
        raise BadFileError(
            f"{named} cannot be used; a studio file has {', '.join(STUDIO_KEYS[:-1])} and {STUDIO_KEYS[-1]} only"
        )
    if not values:
        raise BadFileError(f"says nothing; give any of {', '.join(STUDIO_KEYS)}")
    name = values.get("name", "")
    if "name" in values:
        if not isinstance(name, str):
            raise BadFileError('name must be one line of text; write name = "…"')
        check_line(name, "name")
    return Studio(name, _texts(values, "contact", parted_by="\n"), _texts(values, "terms", parted_by="\n\n"))


def _texts(values: dict[str, Any], key: str, *, parted_by: str) -> tuple[str, ...]:
    """Return a text or a list of texts in pieces; line ends within a piece are blanks."""
    if key not in values:
        return ()
    given = values[key] if isinstance(values[key], list) else [values[key]]
    if not given or not all(isinstance(one, str) for one in given):
        raise BadFileError(f'{key} must be a text or a list of texts; write {key} = ["…", "…"]')
    pieces = [" ".join(piece.split()) for one in given for piece in one.replace("\r\n", "\n").split(parted_by)]
    kept = tuple(piece for piece in pieces if piece)
    if not kept:
        raise BadFileError(f"{key} is empty; give it a text, or leave it out")
    if not all(piece.isprintable() for piece in kept):
        raise BadFileError(f"{key} holds a control character; give plain text")
    if sum(map(len, kept)) > LONGEST_TEXT:
        raise BadFileError(f"{key} is over {LONGEST_TEXT:,} characters long; give less")
    return kept
