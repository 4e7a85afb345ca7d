"""The colours of a design, whatever their sizes, and beads of one colour in another size."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from palettes.colour import lab_of_srgb
from palettes.colour_names import describe
from shared.colour import codes_from_hex
from shared.design import Bead, Design, letter_of, letters_after


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
    letters, made = letters_after(letter_of(bead.kind) for bead in design.beads), []
    words = describe(np.stack([codes_from_hex(colour) for colour in colours])) if colours else ()
    for colour, word in zip(colours, words, strict=True):
        name = next(name for name in (word, *(f"{word} {n}" for n in range(2, 10_000))) if name not in taken)
        taken.add(name)
        made.append(Bead(next(letters), design.bead_sizes.flat.name, colour, lab_of_srgb(colour), name))
    return tuple(made)
