"""Colourways: the same work, raised areas and all, in other colours."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from palettes.colour import Colour
from palettes.palette import Palette
from shared.arrays import Floats
from shared.ciede2000 import ciede2000
from shared.design import Bead, Design
from shared.errors import BadChoiceError
from shared.letters import letter_of


def swap_colours(design: Design, swaps: Mapping[str, Colour], *, source: str = "") -> Design:
    """Give colours of a design other looks; their beads keep size and letter.

    Parameters
    ----------
    design
        Left as it is.
    swaps
        The new colour by the letter of the old one.
    source
        The palette that they come from; empty for colours given as such.

    Raises
    ------
    BadChoiceError
        When the design has no such letter, or a colour is not made in a size that is needed.
    """
    known = list(dict.fromkeys(letter_of(bead.kind) for bead in design.beads))
    for letter in swaps:
        if letter not in known:
            raise BadChoiceError(f"the design has no colour {letter}; its colours are {', '.join(known)}")
    beads = tuple(
        _recolour_bead(bead, swaps[letter_of(bead.kind)], source) if letter_of(bead.kind) in swaps else bead
        for bead in design.beads
    )
    return replace(design, beads=beads)


def match_colours(design: Design, palette: Palette) -> Design:
    """Give every colour of a design one of a palette, each its own, so that light and dark keep their order.

    Of all ways to do so the one with the least CIEDE2000, summed over the beads, is found: with both lists in
    order of lightness it is the cheapest rising path, worked out column by column.

    Parameters
    ----------
    design
        Left as it is; letters and sizes stay.
    palette
        What exists; a colour can only replace one whose sizes it is made in.

    Raises
    ------
    BadChoiceError
        When the palette is too small, or lacks the sizes.
    """
    names = sorted({letter_of(bead.kind) for bead in design.beads}, key=lambda letter: _lightness(design, letter))
    offered = sorted(palette.entries, key=lambda colour: colour.lab[0])
    cost = np.array([[_cost(design, letter, colour) for colour in offered] for letter in names])
    places = _cheapest_rising(cost)
    if places is None:
        raise BadChoiceError(
            f"{palette.name} cannot replace {len(names)} colours one by one, light and dark in order, in the sizes of "
            "this design; give a larger palette, or single colours with --swap"
        )
    return swap_colours(
        design,
        {letter: offered[place] for letter, place in zip(names, places, strict=True)},
        source=palette.name,
    )


def _recolour_bead(bead: Bead, colour: Colour, source: str) -> Bead:
    if not colour.is_made_in(bead.size):
        raise BadChoiceError(f"{colour.name} is not made in {bead.size}, which {bead.kind} needs; take another colour")
    return replace(bead, srgb=colour.srgb, lab=colour.lab, name=colour.name, source=source)


def _beads_of(design: Design, letter: str) -> list[tuple[Bead, int]]:
    pairs = zip(design.beads, design.counts.tolist(), strict=True)
    return [(bead, count) for bead, count in pairs if letter_of(bead.kind) == letter]


def _lightness(design: Design, letter: str) -> tuple[float, str]:
    return _beads_of(design, letter)[0][0].lab[0], letter


def _cost(design: Design, letter: str, colour: Colour) -> float:
    """Return the summed difference of a replacement; without end where a size does not exist."""
    beads = _beads_of(design, letter)
    if not all(colour.is_made_in(bead.size) for bead, _ in beads):
        return np.inf
    return sum(count * float(ciede2000(np.array(bead.lab), np.array(colour.lab))) for bead, count in beads)


def _cheapest_rising(cost: Floats) -> list[int] | None:
    """Return rising places, one in each row, with the least sum; None where there are none."""
    rows, columns = cost.shape
    least = np.zeros(columns + 1)
    taken = np.zeros((rows, columns), dtype=bool)
    for row in range(rows):
        using = least[:-1] + cost[row]
        best = np.minimum.accumulate(using)
        taken[row] = using <= best
        least = np.concatenate([[np.inf], best])
    if columns == 0 or not np.isfinite(least[-1]):
        return None
    places, end = [], columns
    for row in reversed(range(rows)):
        end = int(np.flatnonzero(taken[row, :end])[-1])
        places.append(end)
    return places[::-1]
