"""What a design fitted to wrists comes to: a table as text or CSV, or a few lines for one wrist."""

from convert.shopping.choices import WristChoices
from convert.shopping.fit_to_wrist import Fit, Found
from convert.shopping.resize_design import plain_bead
from convert.shopping.wrists import SURVEY, SURVEY_SIZES
from convert.text_table import in_columns
from shared.csv_safe import table_csv
from shared.design import Design
from shared.plural import counted
from shared.units import MM_PER_UNIT, Units, length_in

HEADER = (
    "size", "wrist mm", "wrist in", "ease mm", "clasp mm", "beadwork mm", "beadwork in", "rows", "repeats",
    "plain rows", "rows cut", "finished mm", "finished in", "left over mm", "left over in", "bracelet mm",
    "bracelet in", "beads", "grams", "packs",
)  # fmt: skip
"""Columns of the table as CSV."""

_INCH = MM_PER_UNIT["in"]


def lengths_text(design: Design, found: Found, wanted: WristChoices, units: Units, *, table: bool) -> str:
    """Tell of a design made for some wrists, as a table or as a few lines each."""
    parts = [design.title, _tell_growth(design, found, units, plain_ends=wanted.plain_ends), ""]
    if not table:
        return "\n".join([*parts, *(_tell_fit(one, wanted, units) for one in found.fits)])
    ease, clasp = length_in(wanted.ease_mm, units), length_in(wanted.clasp_mm, units)
    parts += [f"beadwork = wrist + ease {ease} - clasp {clasp}; the bracelet is the finished length + clasp", ""]
    parts += [_table(found.fits, units), ""]
    parts += [f"no row for {size.name} ({length_in(size.wrist_mm, units)}): {why}" for size, why in found.missed]
    if {one.size for one in found.fits} <= set(SURVEY_SIZES):
        parts.append(f"sizes: {SURVEY}; P50 is the middle one. Measure the wrist if you can: --wrist 165mm")
    if any(one.packs is None for one in found.fits):
        parts.append("packs are unknown; say --pack 10g, or --palette with pack weights")
    return "\n".join(parts)


def _tell_growth(design: Design, found: Found, units: Units, *, plain_ends: bool) -> str:
    """Say how the design is made longer, and how far its lengths can be trusted."""
    repeat, growth = found.repeat, found.growth
    plain = plain_bead(design)
    ground = f"plain rows of {plain.kind} ({plain.name})"
    if repeat is None:
        lines = [f"the rows do not repeat: {ground} are put on at both ends, or rows cut off there"]
    else:
        ends = [counted(n, f"{word} row") for n, word in ((repeat.first_rows, "first"), (repeat.end, "last")) if n]
        each = f"{repeat.period} rows, {length_in(growth.repeat_mm, units)}"
        lines = [
            f"whole repeats ({each} each) are put in or taken out" + (f"; {' and '.join(ends)} stay" if ends else "")
        ]
        rest = (
            f"filled with {ground} at both ends"
            if plain_ends
            else "what is left over stays open (--plain-ends fills it)"
        )
        lines[0] += f"; {rest}"
    trust = "by a measured sample" if design.bead_sizes.is_measured("length") else "estimate"
    if growth.predicted:
        lines.append(f"lengths follow the predicted surface ({trust})")
    else:
        lines.append(f"lengths are those of flat work ({trust})" + (f": {growth.note}" if growth.note else ""))
    return "\n".join(lines)


def _tell_fit(one: Fit, wanted: WristChoices, units: Units) -> str:
    """Tell of one wrist."""
    wrist, ease, clasp = (length_in(mm, units) for mm in (one.size.wrist_mm, wanted.ease_mm, wanted.clasp_mm))
    lines = [
        f"wrist {wrist} + ease {ease} - clasp {clasp} = beadwork up to {length_in(one.beadwork_mm, units)}",
        f"{one.design.grid.rows} rows{_made_of(one)}",
        f"finished {length_in(one.finished_mm, units)}, {length_in(one.left_over_mm, units)} left over",
        f"with the clasp {length_in(one.finished_mm + wanted.clasp_mm, units)}",
        f"{one.design.grid.count:,} beads, {one.grams} g with spare, {_packs(one)}",
    ]
    return "\n".join(lines)


def _table(fits: tuple[Fit, ...], units: Units) -> str:
    """Write a table for the terminal, a line for each size; lengths in mm unless inches are asked for."""
    unit, digits, scale = ("in", 2, _INCH) if units == "in" else ("mm", 1, 1.0)
    heads = ["size", *(["wrist in"] if units == "both" else []), f"wrist {unit}", f"beadwork {unit}"]
    heads += ["rows", _parts_head(fits), f"finished {unit}", f"left over {unit}", "beads", "grams", "packs"]
    lines = [heads]
    for one in fits:
        lengths = (one.size.wrist_mm, one.beadwork_mm, one.finished_mm, one.left_over_mm)
        wrist, beadwork, finished, left = (f"{length / scale:.{digits}f}" for length in lengths)
        inches = [f"{one.size.wrist_mm / _INCH:.2f}"] if units == "both" else []
        packs = "-" if one.packs is None else str(one.packs)
        counts = [
            str(one.design.grid.rows),
            _parts(one),
            finished,
            left,
            f"{one.design.grid.count:,}",
            one.grams,
            packs,
        ]
        lines.append([one.size.name, *inches, wrist, beadwork, *counts])
    return in_columns(lines)


def lengths_csv(fits: tuple[Fit, ...], wanted: WristChoices) -> str:
    """Write the table as CSV (RFC 4180), lengths in mm and inches."""
    return table_csv(HEADER, [_csv_cells(one, wanted) for one in fits])


def _csv_cells(one: Fit, wanted: WristChoices) -> tuple[str, ...]:
    def both(length_mm: float) -> list[str]:
        return [f"{length_mm:.1f}", f"{length_mm / _INCH:.2f}"]

    plain = one.change.plain
    return (
        one.size.name,
        *both(one.size.wrist_mm),
        f"{wanted.ease_mm:.1f}",
        f"{wanted.clasp_mm:.1f}",
        *both(one.beadwork_mm),
        str(one.design.grid.rows),
        "" if one.repeats is None else str(one.repeats),
        str(max(plain, 0)),
        str(max(-plain, 0)),
        *both(one.finished_mm),
        *both(one.left_over_mm),
        *both(one.finished_mm + wanted.clasp_mm),
        str(one.design.grid.count),
        one.grams,
        "" if one.packs is None else str(one.packs),
    )


def _made_of(one: Fit) -> str:
    parts = []
    if one.repeats is not None:
        parts.append(counted(one.repeats, "repeat"))
    if one.change.plain:
        start, end = abs(one.change.at_start), abs(one.change.at_end)
        verb = "put on" if one.change.plain > 0 else "cut off"
        parts.append(f"{start} rows {verb} before row 1 and {end} after the last")
    return f" ({', '.join(parts)})" if parts else ""


def _parts_head(fits: tuple[Fit, ...]) -> str:
    if any(one.repeats is None for one in fits):
        return "rows at the ends"
    return "repeats + plain rows" if any(one.change.plain for one in fits) else "repeats"


def _parts(one: Fit) -> str:
    plain = one.change.plain
    if one.repeats is None:
        return f"{plain:+d}" if plain else "0"
    return f"{one.repeats} + {plain}" if plain else str(one.repeats)


def _packs(one: Fit) -> str:
    if one.packs is None:
        return "packs unknown (say --pack 10g, or --palette with pack weights)"
    return counted(one.packs, "pack")
