"""The review as one HTML page that holds all it needs and asks for nothing."""

from collections.abc import Sequence
from math import ceil
from typing import Any, NamedTuple

import numpy as np

from convert.chart.bead_shapes import drawn_size_mm
from convert.colouring.choices import FEWEST_REVIEWED, MOST_REVIEWED, Colours
from convert.colouring.colour_count import GOOD_MEAN, GOOD_P95, WORTH_A_COLOUR, Spread
from convert.documents.colour_review.review import Review, Reviewed, colour_of_beads
from convert.documents.colour_review.vision import TOO_CLOSE, VISIONS
from convert.documents.colour_review.words import FIGURES, figure_words, pair_sentences, suggestion, work_line
from convert.documents.html import pack, read_part, render_page
from shared.arrays import Ints

_ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_CURVE_WIDTH, _CURVE_HEIGHT = 640.0, 280.0


def review_page(review: Review, *, next_to: Colours, spare_percent: float) -> str:
    """Write the page.

    Parameters
    ----------
    next_to
        The number of colours shown next to the suggested one, if it is among the choices; else its neighbour.
    spare_percent
        What the weights hold above the count.
    """
    design = review.suggested.design
    sides = (review.knee.k, _other_side(review, next_to))
    known = any(choice.figures.packs is not None for choice in review.choices)
    return render_page(
        "convert.documents.colour_review",
        "page.html",
        style=read_part("convert.documents.colour_review", "page.css"),
        script=read_part("convert.documents.colour_review", "page.js"),
        title=design.title,
        work=work_line(design),
        suggestion=suggestion(review),
        notices=review.notices,
        visions=VISIONS,
        sides=[("Left", str(sides[0])), ("Right", str(sides[1]))],
        items=[_item(choice, suggested=choice is review.suggested) for choice in review.choices],
        columns=[(name, label) for name, (_, label) in FIGURES.items() if known or name not in {"packs", "cost"}],
        packs_known=known,
        curve=curve_of(
            [choice.figures.spread for choice in review.choices],
            review.knee.k,
            width=_CURVE_WIDTH,
            height=_CURVE_HEIGHT,
        ),
        knee=str(review.knee.k),
        spare=f"{spare_percent:g}",
        too_close=f"{TOO_CLOSE:g}",
        good_mean=f"{GOOD_MEAN:g}",
        good_p95=f"{GOOD_P95:g}",
        fewest=str(FEWEST_REVIEWED),
        most=str(MOST_REVIEWED),
        worth=f"{WORTH_A_COLOUR:g}",
        data=_data(review, sides),
    )


def _other_side(review: Review, next_to: Colours) -> int:
    numbers = [choice.figures.k for choice in review.choices]
    place = numbers.index(review.knee.k)
    if next_to != "auto" and next_to in numbers and next_to != review.knee.k:
        return next_to
    return numbers[place - 1] if place else numbers[min(1, len(numbers) - 1)]


def _item(choice: Reviewed, *, suggested: bool) -> dict[str, Any]:
    """Return a number of colours as the page shows it."""
    words, pairs = figure_words(choice.figures, choice.counted), pair_sentences(choice)
    shown = {"k": str(choice.figures.k), "name": choice.name, "too_many": choice.too_many, "colours": choice.colours}
    return shown | {"words": words, "pairs": pairs, "suggested": suggested}


def _data(review: Review, sides: tuple[int, int]) -> dict[str, Any]:
    """Return what the script draws from: the place of each bead once, and a letter for each bead of each choice.

    Beads are listed as one reads them, from the top and from the left.
    """
    design = review.suggested.design
    grid, bead_sizes = design.grid, design.bead_sizes
    down, right = grid.place_of.T
    order = np.lexsort((right, down))
    drawn = [drawn_size_mm(bead_sizes, level) for level in range(len(bead_sizes.sizes))]
    return {
        "columns": grid.columns,
        "halfRows": grid.rows + 1,
        "places": pack(grid.place_of[order], "u2"),
        "slot": [bead_sizes.flat.length_mm, bead_sizes.flat.diameter_mm / 2],
        "drawn": [
            {"width": width, "height": height, "round": size.shape == "round"}
            for (width, height), size in zip(drawn, bead_sizes.sizes, strict=True)
        ],
        "levels": _letters(design.levels[order]),
        "visions": {vision.word: vision.label for vision in VISIONS},
        "sides": list(sides),
        "choices": {str(choice.figures.k): _choice(choice, order) for choice in review.choices},
    }


def _choice(choice: Reviewed, order: Ints) -> dict[str, Any]:
    colours = choice.colours
    return {
        "cells": _letters(colour_of_beads(choice.design, colours)[order]),
        "colours": {vision.word: [colour.seen[vision.word] for colour in colours] for vision in VISIONS},
    }


def _letters(places: Ints) -> str:
    return "".join(_ALPHABET[place] for place in places.tolist())


Point = tuple[float, float]

_STEPS = (1, 2, 5, 10, 20, 50)
_MOST_LINES = 8
_MOST_NUMBERS = 20


class Tick(NamedTuple):
    """A mark on an axis."""

    at: float
    """Place along the axis."""
    text: str


class Curve(NamedTuple):
    """Colour difference against the number of colours.

    In a box, x to the right from the first number, y down from the largest difference.
    """

    mean: tuple[Point, ...]
    p95: tuple[Point, ...]
    """Difference that 95 % of the beads stay under."""
    across: tuple[Tick, ...]
    """Numbers of colours, as many as have room; the suggested one is among them."""
    up: tuple[Tick, ...]
    """CIEDE2000."""
    knee: int
    """The place of the suggested number in ``mean``."""


def curve_of(spreads: Sequence[Spread], knee_k: int, *, width: float, height: float) -> Curve:
    """Lay the curve out in a box whose upper left corner is (0, 0).

    Parameters
    ----------
    spreads
        At least one, k rising.
    knee_k
        The number to mark; one of them.
    width, height
        Of the box, in any unit.
    """
    numbers = [spread.k for spread in spreads]
    step = _step(max(spread.p95 for spread in spreads))
    top = step * max(1, ceil(max(spread.p95 for spread in spreads) / step))
    span = max(numbers[-1] - numbers[0], 1)

    def at(k: int, difference: float) -> Point:
        return (k - numbers[0]) / span * width, height * (1 - difference / top)

    return Curve(
        mean=tuple(at(spread.k, spread.mean) for spread in spreads),
        p95=tuple(at(spread.k, spread.p95) for spread in spreads),
        across=tuple(Tick(at(k, 0)[0], str(k)) for k in _shown(numbers, knee_k)),
        up=tuple(Tick(at(numbers[0], mark)[1], str(mark)) for mark in range(0, top + 1, step)),
        knee=numbers.index(knee_k),
    )


def _shown(numbers: list[int], knee_k: int) -> list[int]:
    every = ceil(len(numbers) / _MOST_NUMBERS)
    return [k for place, k in enumerate(numbers) if place % every == 0 or k == knee_k]


def _step(most: float) -> int:
    return next((step for step in _STEPS if most / step <= _MOST_LINES), _STEPS[-1])
