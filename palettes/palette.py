"""A palette or stash: the colours that exist, and the sizes in which each is made."""

import re
import unicodedata
from collections.abc import Collection
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from palettes.colour import Colour
from shared.beads import BeadSizes
from shared.colour import codes_from_hex
from shared.design import check_line
from shared.errors import BadChoiceError, BadFileError

_MOST_NAMES_SHOWN = 3


@dataclass(frozen=True)
class Palette:
    """Colours by name.

    Parameters
    ----------
    name
        What the palette is called, one line.
    entries
        At least one colour; no two names are the same, letter case and width of blanks aside.
    notices
        What a person should know of how it was read, one sentence each; no part of what it is.

    Raises
    ------
    BadFileError
        When there is none, or two have one name.
    """

    name: str
    entries: tuple[Colour, ...]
    notices: tuple[str, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        check_line(self.name, "the name of a palette")
        if not self.entries:
            raise BadFileError(f"{self.name} holds no colour; give at least one")
        if len(self._places) < len(self.entries):
            raise BadFileError(f"two colours of {self.name} have the same name; give each its own")

    @cached_property
    def lab(self) -> NDArray[np.float64]:
        """CIELAB of the entries, shape (entries, 3)."""
        lab = np.array([entry.lab for entry in self.entries], dtype=np.float64)
        lab.flags.writeable = False
        return lab

    @cached_property
    def codes(self) -> NDArray[np.uint8]:
        """8-bit sRGB of the entries, shape (entries, 3)."""
        codes = np.stack([codes_from_hex(entry.srgb) for entry in self.entries])
        codes.flags.writeable = False
        return codes

    def exists(self, bead_sizes: BeadSizes) -> NDArray[np.bool_]:
        """Return which entry is made in which bead size, shape (entries, levels)."""
        return np.array([[entry.is_made_in(size.name) for size in bead_sizes.sizes] for entry in self.entries])

    def place_of(self, name: str) -> int:
        """Return the place in ``entries`` of a colour, letter case and width of blanks aside.

        Raises
        ------
        BadChoiceError
            When the palette has no such name; the message gives the nearest ones.
        """
        place = self._places.get(folded(name))
        if place is None:
            raise BadChoiceError(f"{self.name} has no colour called '{name}'; {self._nearest_names(name)}")
        return place

    def find(self, name: str) -> Colour:
        """Return the colour of a name; errors as in `place_of`."""
        return self.entries[self.place_of(name)]

    def with_entry(self, colour: Colour) -> "Palette":
        """Return the palette with one colour more at its end, in place of one of the same name."""
        others = tuple(entry for entry in self.entries if folded(entry.name) != folded(colour.name))
        return replace(self, entries=(*others, colour))

    def of_finish(self, finishes: Collection[str], spared: Collection[str] = ()) -> "Palette":
        """Return the palette with only colours of some finishes (all if none is given) and of the names ``spared``.

        Raises
        ------
        BadChoiceError
            When no colour has one of the finishes among the words of its own.
        """
        if not finishes:
            return self
        wanted, named = {folded(finish) for finish in finishes}, {folded(name) for name in spared}
        fit = [bool(wanted & {folded(c.finish), *re.split(r"[\s,;/+]+", folded(c.finish))}) for c in self.entries]
        if not any(fit):
            there = ", ".join(sorted({colour.finish for colour in self.entries} - {""})) or "none at all"
            raise BadChoiceError(f"{self.name} has no colour of the finish {', '.join(finishes)}; it has {there}")
        pairs = zip(self.entries, fit, strict=True)
        return replace(self, entries=tuple(c for c, fits in pairs if fits or folded(c.name) in named))

    @cached_property
    def _places(self) -> dict[str, int]:
        return {folded(entry.name): place for place, entry in enumerate(self.entries)}

    def _nearest_names(self, name: str) -> str:
        folded_names = get_close_matches(folded(name), self._places, n=_MOST_NAMES_SHOWN, cutoff=0.5)
        near = [self.entries[self._places[found]].name for found in folded_names]
        if near:
            return f"did you mean {' or '.join(near)}?"
        some = ", ".join(entry.name for entry in self.entries[:_MOST_NAMES_SHOWN])
        return f"its names are {some} and so on" if len(self.entries) > _MOST_NAMES_SHOWN else f"it has {some}"


def folded(name: str) -> str:
    """Return what two spellings of one name have in common.

    Examples
    --------
    >>> folded(" Wet  Slate") == folded("wet slate")
    True
    """
    return " ".join(unicodedata.normalize("NFKC", name).split()).casefold()
