"""The colours of a design, whatever their sizes, and beads of one colour in another size."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from palettes.colour import lab_of_srgb
from palettes.colour_names import describe
from shared.colour import codes_from_hex
from shared.design import Bead, Design, letter_of, letters

_A = ord("A")


def looks(design: Design) -> tuple[Bead, ...]:
    """Return a bead for each colour of a design, in the order in which they come up."""
    first: dict[tuple[str, str], Bead] = {}
    for bead in design.beads:
        first.setdefault((letter_of(bead.kind), bead.srgb), bead)
    return tuple(first.values())


def look_of_bead(design: Design) -> tuple[int, ...]:
    """Return for each bead of the list the place of its colour in `looks`."""
    places = {(letter_of(look.kind), look.srgb): place for place, look in enumerate(looks(design))}
    return tuple(places[letter_of(bead.kind), bead.srgb] for bead in design.beads)


def in_size(look: Bead, level: int, design: Design) -> Bead:
    """Return a colour in a size of the bead sizes."""
    return replace(
        look, kind=letter_of(look.kind) + design.bead_sizes.marks[level], size=design.bead_sizes.sizes[level].name
    )


def new_looks(design: Design, colours: Sequence[str]) -> tuple[Bead, ...]:
    """Make a bead of the flat size for each new ``#rrggbb``: the next letters, a name that no other has."""
    taken = {bead.name for bead in design.beads}
    place = 1 + max(_place_of_letters(letter_of(bead.kind)) for bead in design.beads)
    made = []
    words = describe(np.stack([codes_from_hex(colour) for colour in colours])) if colours else ()
    for colour, word in zip(colours, words, strict=True):
        name = next(name for name in (word, *(f"{word} {n}" for n in range(2, 10_000))) if name not in taken)
        taken.add(name)
        made.append(Bead(letters(place), design.bead_sizes.flat.name, colour, lab_of_srgb(colour), name))
        place += 1
    return tuple(made)


def _place_of_letters(text: str) -> int:
    """Return the place of letters from 0, the inverse of `shared.design.letters`."""
    place = 0
    for letter in text:
        place = place * 26 + ord(letter) - _A + 1
    return place - 1
