"""Takes the number of colours that a picture needs."""

from typing import NamedTuple

from convert.assemble import Coloured
from convert.options import FEWEST_REVIEWED, MOST_REVIEWED
from convert.review.knee import knee, spread_of
from convert.review.sweep import Choose


class Counted(NamedTuple):
    """Beads in as many colours as the rule takes."""

    coloured: Coloured
    """The beads."""
    reason: str
    """A sentence that says how many colours were taken, and why."""


def counted(choose: Choose) -> Counted:
    """Try `FEWEST_REVIEWED` to `MOST_REVIEWED` colours and take as many as `convert.review.knee.knee` says."""
    numbers = range(FEWEST_REVIEWED, MOST_REVIEWED + 1)
    found = tuple(choose(numbers))
    taken = knee([spread_of(k, coloured.errors) for k, coloured in zip(numbers, found, strict=True)])
    coloured = found[taken.k - FEWEST_REVIEWED]
    return Counted(coloured, f"{colours_in_words(coloured.colours)} by --colours auto: {taken.reason}")


def colours_in_words(number: int) -> str:
    """Return the number with its noun.

    Examples
    --------
    >>> colours_in_words(1), colours_in_words(7)
    ('1 colour', '7 colours')
    """
    return f"{number} colour" if number == 1 else f"{number} colours"
