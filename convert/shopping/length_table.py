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


def lengths_text(design: Design, found: Found, wanted: WristChoices, units: Units, *, table: bool) -> str:
    """Tell of a design made for some wrists, as a table or as a few lines each."""
    parts = [design.title, _tell_growth(design, found, units, plain_ends=wanted.plain_ends), ""]
    if not table:
        return "\n".join([*parts, *(_tell_fit(one, wanted, units) for one in found.fits)])
    ease, clasp = length_in(wanted.ease_mm, units), length_in(wanted.clasp_mm, units)
    parts += [f"beadwork = wrist + ease {ease} - clasp {clasp}; the bracelet is the finished length + clasp", ""]
    parts += [_table(found.fits, wanted, units), ""]
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


def _table(fits: tuple[Fit, ...], wanted: WristChoices, units: Units) -> str:
    """Write a table for the terminal, a line for each size; lengths in mm unless inches are asked for."""
    unit = "in" if units == "in" else "mm"
    lengths = ["wrist in", "wrist mm"] if units == "both" else [f"wrist {unit}"]
    heads = ["size", *lengths, f"beadwork {unit}", "rows", _parts_head(fits), f"finished {unit}", f"left over {unit}"]
    heads += ["beads", "grams", "packs"]
    rows = [
        _cells(one, wanted) | {_parts_head(fits): _parts(one), "beads": f"{one.design.grid.count:,}"} for one in fits
    ]
    return in_columns([heads, *([row[head] or "-" for head in heads] for row in rows)])


def lengths_csv(fits: tuple[Fit, ...], wanted: WristChoices) -> str:
    """Write the table as CSV (RFC 4180), lengths in mm and inches; there is at least one fit."""
    rows = [_cells(one, wanted) for one in fits]
    return table_csv(tuple(rows[0]), [tuple(row.values()) for row in rows])


def _cells(one: Fit, wanted: WristChoices) -> dict[str, str]:
    """Return what tables tell of a size, by the names of their columns; empty where unknown."""
    return {
        "size": one.size.name,
        **_both("wrist", one.size.wrist_mm),
        "ease mm": f"{wanted.ease_mm:.1f}",
        "clasp mm": f"{wanted.clasp_mm:.1f}",
        **_both("beadwork", one.beadwork_mm),
        "rows": str(one.design.grid.rows),
        "repeats": "" if one.repeats is None else str(one.repeats),
        "plain rows": str(max(one.change.plain, 0)),
        "rows cut": str(max(-one.change.plain, 0)),
        **_both("finished", one.finished_mm),
        **_both("left over", one.left_over_mm),
        **_both("bracelet", one.finished_mm + wanted.clasp_mm),
        "beads": str(one.design.grid.count),
        "grams": one.grams,
        "packs": "" if one.packs is None else str(one.packs),
    }


def _both(name: str, length_mm: float) -> dict[str, str]:
    return {f"{name} mm": f"{length_mm:.1f}", f"{name} in": f"{length_mm / MM_PER_UNIT['in']:.2f}"}


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
