"""The figures of the review in words, the same on the page and on the terminal."""

from convert.colouring.choices import Count
from convert.documents.colour_review.review import Rare, Review, Reviewed, ReviewFigures
from convert.documents.colour_review.vision import TOO_CLOSE, VISIONS, Pair, Vision
from convert.shopping.packs import money
from convert.text_table import in_columns
from shared.design import Design
from shared.plural import counted

UNKNOWN = "not known"

FIGURES = {
    "k": ("colours", "Colours"),
    "mean": ("mean difference", "Mean colour difference"),
    "p95": ("95 % under", "95 % of beads under"),
    "to_buy": ("beads to buy", "Beads to buy"),
    "rarest_colour": ("rarest colour", "Rarest colour"),
    "rarest_bead": ("rarest bead", "Rarest bead"),
    "grams": ("grams", "Grams with spare"),
    "packs": ("packs", "Packs"),
    "cost": ("cost", "Cost"),
}
"""The figures in their order, and what each is called on the terminal and on the page."""


def suggestion(review: Review) -> str:
    """Say which number is suggested, and why."""
    return f"{_suggested(review.suggested)} suggested: {review.knee.reason}."


def _suggested(choice: Reviewed) -> str:
    return choice.name if choice.counted == "kinds" else counted(choice.figures.colours, "colour")


def work_line(design: Design) -> str:
    """Say what kind of work it is."""
    grid = design.grid
    width_mm, length_mm = design.extent_mm
    return (
        f"{counted(grid.columns, 'column')} x {grid.rows:,} rows of {grid.name}, {grid.count:,} beads,"
        f" {width_mm:.1f} x {length_mm:.1f} mm flat (estimate)"
    )


def figure_words(figures: ReviewFigures, count: Count = "colours") -> dict[str, str]:
    """Return each figure by its name, for tables; what was asked for stands with the colours where there are fewer."""
    is_met = figures.k == (figures.colours if count == "colours" else figures.to_buy)
    rarest, scarcest = figures.rarest_colour, figures.rarest_bead
    return {
        "k": str(figures.colours) if is_met else f"{figures.colours} ({figures.k} asked for)",
        "mean": f"{figures.spread.mean:.2f}",
        "p95": f"{figures.spread.p95:.2f}",
        "to_buy": str(figures.to_buy),
        "rarest_colour": _rare(rarest),
        "rarest_bead": _rare(scarcest),
        "grams": figures.grams,
        "packs": UNKNOWN if figures.packs is None else str(figures.packs),
        "cost": UNKNOWN if figures.cost is None else money(figures.cost),
    }


def pair_sentences(reviewed: Reviewed) -> tuple[tuple[Vision, str], ...]:
    """Name the pairs that are hard to tell apart, one sentence for each kind of vision that has some."""
    grouped = [(vision, [pair for pair in reviewed.pairs if pair.vision == vision]) for vision in VISIONS]
    return tuple((vision, _pairs(vision, pairs)) for vision, pairs in grouped if pairs)


def review_summary(review: Review) -> str:
    """Write what the terminal shows: the work, the figures, the suggestion, notices."""
    design = review.suggested.design
    parts = [design.title, work_line(design), "", figures_table(review), "", suggestion(review)]
    pairs = [sentence for _, sentence in pair_sentences(review.suggested)]
    return "\n".join([*parts, *pairs, *(f"note: {notice}" for notice in review.notices)])


def figures_table(review: Review) -> str:
    """Write the figures as a table for the terminal, the suggested number marked."""
    rows = [figure_words(choice.figures, choice.counted) for choice in review.choices]
    names = [name for name in FIGURES if any(row[name] != UNKNOWN for row in rows)]
    cells = [tuple(FIGURES[name][0] for name in names), *(tuple(row[name] for name in names) for row in rows)]
    lines = in_columns(cells, words=0).splitlines()
    marks = ["", *("  <- suggested" if choice is review.suggested else "" for choice in review.choices)]
    return "\n".join(f"{line}{mark}" for line, mark in zip(lines, marks, strict=True))


def _pairs(vision: Vision, pairs: list[Pair]) -> str:
    whose = "for anyone" if vision is VISIONS[0] else f"for {vision.label} eyes"
    listed = ", ".join(f"{pair.first} and {pair.second} ({_under(pair.difference)})" for pair in pairs)
    return f"Hard to tell apart {whose}: {listed}."


def _under(difference: float) -> str:
    """Write a difference with one decimal, rounded down: what is under the limit never reads as the limit."""
    return f"{int(min(difference, TOO_CLOSE) * 10) / 10:.1f}"


def _rare(rare: Rare) -> str:
    return f"{rare.kind}: {rare.beads:,}"
