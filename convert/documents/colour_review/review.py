"""The review as one value: the designs, their figures, what is hard to tell apart, and the number suggested."""

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple, TypeVar

import numpy as np

from convert.colouring.choices import Count
from convert.colouring.colour_count import Candidate, Knee, Spread, knee, leave_out_repeats, spread_of
from convert.documents.colour_review.vision import VISIONS, Pair, confusable_pairs, seen_codes
from convert.shopping.packs import PackOf, grams_text, no_packs
from convert.shopping.shopping_list import shopping_list
from shared.arrays import Ints
from shared.colour import codes_from_hex, hex_from_codes
from shared.design import Bead, Design
from shared.errors import BadChoiceError
from shared.letters import letter_of
from shared.plural import counted

FEWEST_TRIED, MOST_TRIED = 1, 40
"""Numbers of colours that may be reviewed."""

Number = TypeVar("Number", int, Fraction)


class Rare(NamedTuple):
    """What a design uses least."""

    kind: str
    """Letters of a colour, or a kind of bead."""
    beads: int
    """How many, without spare."""


class ReviewFigures(NamedTuple):
    """What one number of colours would take: how true it is, and what has to be bought for it."""

    spread: Spread
    colours: int
    """Different colours used, k or fewer."""
    to_buy: int
    """Colours in sizes: lines on the shopping list."""
    rarest_colour: Rare
    """The colour used least, all its sizes together."""
    rarest_bead: Rare
    """The line of the shopping list with the lowest count."""
    centigrams: int
    """Weight of all lines with spare in hundredths of a gram, each rounded up; an estimate."""
    packs: int | None
    """Packs to buy; None unless every line's pack is known."""
    cost: Fraction | None
    """Their price; None unless every line's is known."""

    @property
    def k(self) -> int:
        """The number of colours asked for."""
        return self.spread.k

    @property
    def grams(self) -> str:
        """The weight in grams, with two decimals."""
        return grams_text(self.centigrams)


class ReviewedColour(NamedTuple):
    """One colour of a design."""

    letters: str
    name: str
    seen: dict[str, str]
    """As ``#rrggbb`` by the word of each kind of vision."""
    beads: tuple[tuple[Bead, int], ...]
    """Each size of it and how many the work takes."""


class Reviewed(NamedTuple):
    """One number of colours."""

    design: Design
    figures: ReviewFigures
    colours: tuple[ReviewedColour, ...]
    pairs: tuple[Pair, ...]
    counted: Count = "colours"

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
    """Several numbers of colours next to each other."""

    choices: tuple[Reviewed, ...]
    """Rising; where a colour more changed nothing it is left out."""
    knee: Knee
    """The number suggested; one of the choices."""
    notices: tuple[str, ...]

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
    """
    kept = leave_out_repeats(candidates)
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


def _colours(design: Design) -> tuple[ReviewedColour, ...]:
    of_letters: dict[str, list[tuple[Bead, int]]] = {}
    for bead, count in zip(design.beads, design.counts.tolist(), strict=True):
        of_letters.setdefault(letter_of(bead.kind), []).append((bead, count))
    return tuple(_colour(letters, tuple(beads)) for letters, beads in of_letters.items())


def _colour(letters: str, beads: tuple[tuple[Bead, int], ...]) -> ReviewedColour:
    bead = beads[0][0]
    codes = codes_from_hex(bead.srgb)[None]
    seen = {vision.word: hex_from_codes(seen_codes(codes, vision)[0]) for vision in VISIONS}
    return ReviewedColour(letters, bead.name, seen, beads)


def _ended_early(candidates: Sequence[Candidate], choices: tuple[Reviewed, ...]) -> tuple[str, ...]:
    last, counted = candidates[-1].k, choices[-1].counted
    most = choices[-1].figures.colours if counted == "colours" else choices[-1].figures.to_buy
    if len(choices) == len(candidates):
        return ()
    return (f"up to {last} {counted} were tried; more than {most} change nothing at this size",)


def figures_of(candidate: Candidate, *, spare_percent: float, pack_of: PackOf = no_packs) -> ReviewFigures:
    """Work out the figures of a candidate.

    Parameters
    ----------
    spare_percent
        Added to each count before it is weighed, for instance 10.
    """
    purchases = shopping_list(candidate.design, spare_percent=spare_percent, pack_of=pack_of)
    by_kind = {purchase.bead.kind: purchase.needed for purchase in purchases}
    by_colour: Counter[str] = Counter()
    for kind, needed in by_kind.items():
        by_colour[letter_of(kind)] += needed
    return ReviewFigures(
        spread=spread_of(candidate.k, candidate.errors),
        colours=len(by_colour),
        to_buy=len(purchases),
        rarest_colour=_rarest(by_colour),
        rarest_bead=_rarest(by_kind),
        centigrams=sum(purchase.centigrams for purchase in purchases),
        packs=_sum([purchase.packs for purchase in purchases]),
        cost=_sum([purchase.cost for purchase in purchases]),
    )


def _rarest(counts: Mapping[str, int]) -> Rare:
    return Rare(*min(counts.items(), key=lambda one: one[1]))


def _sum(parts: Sequence[Number | None]) -> Number | None:
    """Add up what is known of every part; None where something is not."""
    known = [part for part in parts if part is not None]
    return sum(known[1:], known[0]) if len(known) == len(parts) else None


def colour_of_beads(design: Design, colours: Sequence[ReviewedColour]) -> Ints:
    """Return the place in ``colours`` of the colour of each bead of the grid, shape (beads,)."""
    of_kind = {bead.kind: place for place, colour in enumerate(colours) for bead, _ in colour.beads}
    return np.array([of_kind[bead.kind] for bead in design.beads], dtype=np.int64)[design.cells]
