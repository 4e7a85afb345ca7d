"""The review as one HTML page that holds all it needs and asks for nothing."""

from typing import Any, NamedTuple

import numpy as np

from convert.chart.bead_shapes import drawn_size_mm
from convert.colouring.choices import FEWEST_REVIEWED, MOST_REVIEWED, Colours
from convert.colouring.colour_count import GOOD_MEAN, GOOD_P95, WORTH_A_COLOUR
from convert.documents.colour_review.bead_colours import colour_of_beads
from convert.documents.colour_review.confusable import TOO_CLOSE
from convert.documents.colour_review.curve import curve_of
from convert.documents.colour_review.review import Colour, Review, Reviewed
from convert.documents.colour_review.vision import VISIONS, Vision
from convert.documents.colour_review.words import figure_words, pair_sentences, suggestion, work_line
from convert.documents.html import part, rendered
from shared.arrays import Ints

COLUMNS = (
    ("k", "Colours"),
    ("mean", "Mean colour error"),
    ("p95", "95 % of beads under"),
    ("to_buy", "Beads to buy"),
    ("rarest_colour", "Rarest colour"),
    ("rarest_bead", "Rarest bead"),
    ("grams", "Grams with spare"),
    ("packs", "Packs"),
    ("cost", "Cost"),
)
"""The figures in their order, and what each is called."""

_ALPHABET = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"
_CURVE_WIDTH, _CURVE_HEIGHT = 640.0, 280.0


class _Item(NamedTuple):
    """A number of colours as the page shows it."""

    name: str
    too_many: bool
    words: dict[str, str]
    colours: tuple[Colour, ...]
    pairs: tuple[tuple[Vision, str], ...]
    suggested: bool


def review_page(review: Review, *, beside: Colours, spare_percent: float) -> str:
    """Write the page.

    Parameters
    ----------
    review
        What it shows.
    beside
        The number of colours shown beside the suggested one, if it is among the choices; else its neighbour.
    spare_percent
        What the weights hold above the count.
    """
    design = review.suggested.design
    sides = (review.knee.k, _other_side(review, beside))
    known = any(choice.figures.packs is not None for choice in review.choices)
    return rendered(
        "convert.documents.colour_review",
        "page.html",
        style=part("convert.documents.colour_review", "page.css"),
        script=part("convert.documents.colour_review", "page.js"),
        title=design.title,
        work=work_line(design),
        suggestion=suggestion(review),
        notices=review.notices,
        visions=VISIONS,
        sides=[("Left", str(sides[0])), ("Right", str(sides[1]))],
        items=[_item(choice, suggested=choice is review.suggested) for choice in review.choices],
        columns=COLUMNS if known else COLUMNS[:-2],
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


def _other_side(review: Review, beside: Colours) -> int:
    numbers = [choice.figures.k for choice in review.choices]
    place = numbers.index(review.knee.k)
    if beside != "auto" and beside in numbers and beside != review.knee.k:
        return beside
    return numbers[place - 1] if place else numbers[min(1, len(numbers) - 1)]


def _item(choice: Reviewed, *, suggested: bool) -> _Item:
    return _Item(
        choice.name, choice.too_many, figure_words(choice.figures), choice.colours, pair_sentences(choice), suggested
    )


def _data(review: Review, sides: tuple[int, int]) -> dict[str, Any]:
    """Return what the script draws from: the lattice once, and a letter for each bead of each choice.

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
        "drop": grid.drop,
        "first": int(right[down == 0].min()) // grid.drop if (down == 0).any() else 1,
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
