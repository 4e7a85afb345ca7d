"""The shopping list in plain words, with thread, needle and cautions."""

from collections.abc import Mapping
from fractions import Fraction
from textwrap import wrap
from typing import NamedTuple

from convert.shopping.choices import ThreadOptions
from convert.shopping.packs import grams_text, money
from convert.shopping.shopping_list import Purchase
from convert.shopping.thread import NEEDLES_MM, YARD_MM, Advice, Thread, metres_text
from convert.text_table import in_columns
from shared.design import Design
from shared.plural import counted

WIDTH = 100
"""Characters of a line."""


class Shopping(NamedTuple):
    """All that is to be bought."""

    items: tuple[Purchase, ...]
    spare_percent: float
    thread: Thread
    """Of one work."""
    options: ThreadOptions
    spools: int | None
    """For all works; None where no spool is known."""
    advice: Advice
    notes: tuple[str, ...]
    finishes: Mapping[str, str]
    """By kind, where they are known."""

    @property
    def works(self) -> int:
        """How many works are made."""
        return self.items[0].works


def shopping_text(design: Design, found: Shopping) -> str:
    """Write all that is to be bought, in plain words."""
    parts = [
        _head(design, found),
        _table(found.items, found.finishes),
        _totals(found),
        _thread(found),
        _needle(found.advice),
        *(f"note: {note}" for note in found.notes),
        "Beads per gram, thread and packs are estimates from bead measures; all of them are rounded up.",
        "\n".join(("Take care:", *(f"- {name}. {words}" for name, words in CAUTIONS))),
    ]
    return "\n\n".join("\n".join(_wrap(line) for line in part.splitlines()) for part in parts) + "\n"


def _wrap(line: str) -> str:
    return line if len(line) <= WIDTH or "  " in line else "\n".join(wrap(line, WIDTH, subsequent_indent="  "))


def _head(design: Design, found: Shopping) -> str:
    grid = design.grid
    many = f" for {found.works} kits" if found.works > 1 else ""
    size = f"{counted(grid.columns, 'column')} x {counted(grid.rows, 'row')}, {counted(grid.count, 'bead')}"
    return f"Shopping list{many}: {design.title}\n{size}{' in each' if many else ''}, {found.spare_percent:g} % spare"


def _table(items: tuple[Purchase, ...], finishes: Mapping[str, str]) -> str:
    kits, known = items[0].works > 1, any(item.cost is not None for item in items)
    hand, packs = any(item.on_hand for item in items), any(item.pack for item in items)
    shown = {"finish": bool(finishes), "all kits": kits, "on hand": hand, "packs": packs, "cost": known}
    rows = [_cells(item, "each" if kits else "count", finishes.get(item.bead.kind, "")) for item in items]
    heads = [head for head in rows[0] if shown.get(head, True)]
    return in_columns([heads, *([row[head] for head in heads] for row in rows)], words=4 if finishes else 3)


def _cells(item: Purchase, each: str, finish: str) -> dict[str, str]:
    return {
        "kind": item.bead.kind,
        "size": item.bead.size,
        "colour": item.bead.name,
        "finish": finish,
        each: f"{item.needed:,}",
        "spare incl.": f"{item.with_spare:,}",
        "all kits": f"{item.total:,}",
        "on hand": f"{item.on_hand:,}",
        "to buy": f"{item.to_buy:,}",
        "grams": grams_text(item.buy_centigrams),
        "packs": "?" if item.pack is None else f"{item.packs} x {item.pack.grams:g} g",
        "cost": "?" if item.cost is None else money(item.cost),
    }


def _totals(found: Shopping) -> str:
    items = found.items
    buy = f"{sum(item.to_buy for item in items):,} beads, {grams_text(sum(item.buy_centigrams for item in items))} g"
    known = [item.packs for item in items if item.packs is not None]
    lines = [f"to buy: {buy}"]
    if known:
        unknown = counted(len(items) - len(known), "bead")
        more = "" if len(known) == len(items) else f", and {unknown} whose packs are unknown"
        lines[0] += f", {counted(sum(known), 'pack')}{more}"
    else:
        lines.append("packs are unknown: say --pack 10g, or --palette with pack weights")
    costs = [item.cost for item in items if item.cost is not None]
    if costs:
        unknown = counted(len(items) - len(costs), "bead")
        least = "" if len(costs) == len(items) else f" at least ({unknown} without a price)"
        lines.append(f"cost: {money(sum(costs, Fraction(0)))}{least}")
    return "\n".join(lines)


def _thread(found: Shopping) -> str:
    thread, options, works = found.thread, found.options, found.works
    cut = f"{options.cut_mm / 1000:.2f} m ({options.cut_mm / YARD_MM:.1f} yd)"
    tail = f"{options.tail_mm / 10:g} cm ({options.tail_mm / 25.4:.1f} in)"
    each = " each" if works > 1 else ""
    path = (
        f"{metres_text(thread.path_mm)} along the needle's path, then {options.slack_percent:g} % slack and the tails"
    )
    lines = [f"thread{each}: {metres_text(thread.total_mm)}: {path}"]
    lines.append(f"cut {counted(thread.pieces, 'piece')} of up to {cut}, a tail of {tail} at each end")
    if works > 1:
        lines.append(f"for all kits: {metres_text(works * thread.total_mm)}, {counted(works * thread.pieces, 'piece')}")
    if found.spools is not None and options.spool_mm is not None:
        spools = counted(found.spools, "spool")
        lines.append(f"{spools} of {metres_text(options.spool_mm)}, no piece tied from two")
    return "\n".join(lines)


def _needle(advice: Advice) -> str:
    needle = f"needle {advice.needle} ({NEEDLES_MM[advice.needle]:g} mm)"
    line = f"{needle}, thread {advice.thread} or finer: {advice.smallest_hole}"
    return f"{line}\nwarning: {advice.warning}" if advice.warning else line


CAUTIONS = (
    (
        "Local rules come first",
        "The rules of the place where you stitch, wear or sell this work come before this list.",
    ),
    ("Small parts", "Glass beads can choke. Not for children under 3 years; keep them from small children and pets."),
    (
        "Needles and thread",
        (
            "Beading needles and cut ends of thread are sharp. Count your needles before and after, and keep them "
            "closed away. Children need an adult beside them."
        ),
    ),
    (
        "Broken glass",
        (
            "A broken bead has sharp edges. Do not force a needle or bite it, and guard your eyes when you break a "
            "bead out."
        ),
    ),
    (
        "Nickel",
        (
            "Choose a clasp that is sold as meeting the nickel limit where you live (in the European Union 0.5 µg/cm² "
            "a week) if the wearer may be sensitive."
        ),
    ),
    (
        "Lead and cadmium",
        (
            "For anything meant for a child, use beads and clasps that are sold as meeting the limits for children's "
            "products."
        ),
    ),
    ("Wearing", "A band can break. Take it off to sleep, and never leave it on a child who is alone."),
    (
        "Selling",
        (
            "If you sell what you have made, the rules of the place of sale apply. This sheet does not say that any "
            "rule is met."
        ),
    ),
)
"""Cautions for somebody who stitches or wears the work: own words after published rules, which come first.

Small parts: 16 CFR 1501; Directive 2009/48/EC, from 2030 Regulation (EU) 2025/2509. Sharp points: 16 CFR 1500.48.
Nickel: Regulation (EC) 1907/2006, Annex XVII entry 27. Lead and cadmium: CPSIA 2008; the same Annex, entries 63 and 23.
"""
