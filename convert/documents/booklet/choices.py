"""Every choice of the booklet with its default, once."""

from dataclasses import dataclass, field
from typing import Any

from convert.chart.choices import InkChoice
from convert.documents.paper import Paper
from convert.shopping.choices import ClaspChoice, PackChoices, ThreadOptions
from convert.shopping.wrists import DEFAULT_EASE, EASES
from shared.choice import choice
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


@dataclass(frozen=True, kw_only=True)
class BookletChoices(PackChoices, ClaspChoice, InkChoice):
    """How a booklet is made.

    Parameters
    ----------
    ease_mm
        What a bracelet is longer than the wrist, for the table of sizes.
    thread
        How thread is cut.

    Raises
    ------
    BadChoiceError
        When a number cannot be worked with.
    """

    paper: Paper = choice("a4", "Output", "What it is printed on.")
    large_print: bool = choice(False, "Output", "Text and word rows of 18 points, a larger chart.")
    least_bead_mm: float | None = choice(
        None,
        "Output",
        "No chart bead is smaller on paper; a wide chart is cut into strips for it.",
        form="length",
        option="least-bead",
        shown="2mm, in large print 3.5mm",
    )
    studio: Studio = choice(
        Studio, "Output", "Your name, contact and terms, a TOML file; nothing else is said of you.", form="studio"
    )
    ease_mm: float = EASES[DEFAULT_EASE]
    thread: ThreadOptions = field(default_factory=ThreadOptions)

    def __post_init__(self) -> None:
        PackChoices.__post_init__(self)
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
        from shared.design import check_line

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
