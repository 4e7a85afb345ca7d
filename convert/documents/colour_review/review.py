"""The review as one value: the designs, their figures, what is hard to tell apart, and the number suggested."""

from collections.abc import Sequence
from typing import NamedTuple

from convert.colouring.choices import Count
from convert.colouring.colour_count import Knee, knee, spread_of
from convert.colouring.sweep import Candidate, different
from convert.documents.colour_review.confusable import Pair, confusable_pairs
from convert.documents.colour_review.figures import Figures, figures_of
from convert.documents.colour_review.vision import VISIONS, seen_codes
from convert.shopping.packs import PackOf, no_packs
from shared.colour import codes_from_hex, hex_from_codes
from shared.design import Bead, Design, letter_of
from shared.errors import BadChoiceError
from shared.plural import counted

FEWEST_TRIED, MOST_TRIED = 1, 40
"""Numbers of colours that may be reviewed."""


class Colour(NamedTuple):
    """One colour of a design."""

    letters: str
    """As in its keys."""
    name: str
    """In words."""
    seen: dict[str, str]
    """As ``#rrggbb`` by the word of each kind of vision."""
    beads: tuple[tuple[Bead, int], ...]
    """Each size of it and how many the work takes."""


class Reviewed(NamedTuple):
    """One number of colours."""

    design: Design
    """The work in so many."""
    figures: Figures
    """What it takes."""
    colours: tuple[Colour, ...]
    """What it is made of."""
    pairs: tuple[Pair, ...]
    """Colours hard to tell apart."""
    counted: Count = "colours"
    """What the number counts."""

    @property
    def name(self) -> str:
        """The number with what it counts: ``7 colours``, or ``10 beads to buy, in 6 colours``."""
        if self.counted == "colours":
            return counted(self.figures.k, "colour")
        return f"{counted(self.figures.k, 'bead')} to buy, in {counted(len(self.colours), 'colour')}"

    @property
    def too_many(self) -> bool:
        """Whether the picture has fewer colours than the number allows."""
        return self.counted == "colours" and len(self.colours) < self.figures.k


class Review(NamedTuple):
    """Several numbers of colours beside each other."""

    choices: tuple[Reviewed, ...]
    """Rising; where a colour more changed nothing it is left out."""
    knee: Knee
    """The number suggested; one of the choices."""
    notices: tuple[str, ...]
    """What a person should know."""

    @property
    def suggested(self) -> Reviewed:
        """The choice that is suggested."""
        return next(choice for choice in self.choices if choice.figures.k == self.knee.k)


def review(
    candidates: Sequence[Candidate],
    *,
    spare_percent: float,
    pack_of: PackOf = no_packs,
    notices: tuple[str, ...] = (),
    counted: Count = "colours",
) -> Review:
    """Put together what a person needs to choose the number of colours.

    Parameters
    ----------
    candidates
        For numbers that rise by one.
    spare_percent
        Added to each count before it is weighed.
    pack_of
        How each bead is sold, where that is known.
    notices
        What is known already.
    counted
        What the numbers count.
    """
    kept = different(candidates)
    choices = tuple(
        Reviewed(
            candidate.design,
            figures_of(candidate, spare_percent=spare_percent, pack_of=pack_of),
            _colours(candidate.design),
            confusable_pairs(candidate.design),
            counted,
        )
        for candidate in kept
    )
    taken = knee([spread_of(candidate.k, candidate.errors) for candidate in candidates])
    return Review(choices, taken, notices + _ended_early(candidates, choices))


def numbers_between(first: int, last: int) -> range:
    """Return the numbers of colours to review.

    Raises
    ------
    BadChoiceError
        When they are out of range or the wrong way round.
    """
    if not FEWEST_TRIED <= first <= last <= MOST_TRIED:
        raise BadChoiceError(
            f"from {first} to {last} colours cannot be reviewed; give --from and --to, rising,"
            f" within {FEWEST_TRIED} and {MOST_TRIED}"
        )
    return range(first, last + 1)


def _colours(design: Design) -> tuple[Colour, ...]:
    of_letters: dict[str, list[tuple[Bead, int]]] = {}
    for bead, count in zip(design.beads, design.counts.tolist(), strict=True):
        of_letters.setdefault(letter_of(bead.kind), []).append((bead, count))
    return tuple(_colour(letters, tuple(beads)) for letters, beads in of_letters.items())


def _colour(letters: str, beads: tuple[tuple[Bead, int], ...]) -> Colour:
    bead = beads[0][0]
    codes = codes_from_hex(bead.srgb)[None]
    seen = {vision.word: hex_from_codes(seen_codes(codes, vision)[0]) for vision in VISIONS}
    return Colour(letters, bead.name, seen, beads)


def _ended_early(candidates: Sequence[Candidate], choices: tuple[Reviewed, ...]) -> tuple[str, ...]:
    last, counted = candidates[-1].k, choices[-1].counted
    most = choices[-1].figures.colours if counted == "colours" else choices[-1].figures.to_buy
    if len(choices) == len(candidates):
        return ()
    return (f"up to {last} {counted} were tried; more than {most} change nothing at this size",)
