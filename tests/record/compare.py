"""Two contents next to each other: what differs, in figures."""

import re
from collections import Counter
from typing import NamedTuple

import numpy as np
from record.content import digest

NEAR = 0.002
"""A figure of the surface is told to 0.001, and may differ by that much on another processor."""
ALIKE = 0.9
"""Words change with the wording; of the figures among them at least this share must be there still."""
SAME_FIGURES = "other words with the same figures"
PAINT = 6
"""Steps of 255 by which the means of a drawing's parts may differ."""
ROOM = 0.1
"""Share by which a drawing may grow or shrink."""
FOLLOW = ("order", "figures", "beads", "letters", "names")
"""Parts of other outputs in a folder that follow from the beads."""


class Difference(NamedTuple):
    """What differs in one part of one output."""

    command: str
    file: str
    part: str
    figures: str
    loose: bool = False
    """Whether it may be no more than another wording."""


def compare(command, old, new):
    """List the differences between what a command gave and what it gives, both as files of parts.

    Where beads differ, what else differs in that folder follows from it: rows, counts, chart and words. That is one
    difference, told by its beads, with a digest of all that follows.
    """
    found = list(_parts(command, old, new))
    for beads in [each for each in found if each.part == "cells"]:
        folder = beads.file.rpartition("/")[0]
        follow = [each for each in found if each.file.rpartition("/")[0] == folder and each.part in FOLLOW]
        words = [each for each in found if each.part == "text" and each.file.rpartition("/")[0] in (folder, "")]
        whole = digest([new[each.file].get(each.part) for each in follow])
        found = [each for each in found if each not in (*follow, *words, beads)]
        found += [beads._replace(figures=f"{beads.figures}, with what follows {whole}")]
        found += [each._replace(loose=True) for each in words]
    return found


def _parts(command, old, new):
    for file in sorted(old.keys() | new.keys()):
        if (file in old) != (file in new):
            yield Difference(command, file, "file", "is gone" if file in old else "is new")
            continue
        if old[file] is None or new[file] is None:
            continue
        for part in sorted(old[file].keys() | new[file].keys()):
            was, now = old[file].get(part), new[file].get(part)
            if was == now or (part == "kinds" and "cells" in new[file]):
                continue
            if was is None or now is None:
                told, loose = "is new" if was is None else "is gone", False
            elif part == "cells":
                told, loose = cells_differ(old[file], new[file]), False
            else:
                told, loose = DIFFER.get(part, values_differ)(was, now)
            if told:
                yield Difference(command, file, part, told, loose)


def beads_of(design):
    """Give colour and size of each bead, row by row."""
    return [design["kinds"][ord(sign) - 48] for row in design["cells"] for sign in row]


def cells_differ(old, new):
    """Say how many beads differ, in size, and in colour by how much (CIEDE2000)."""
    if old["grid"] != new["grid"]:
        return f"grid {old['grid']} is {new['grid']}"
    from skimage.color import deltaE_ciede2000, rgb2lab

    pairs = [pair for pair in zip(beads_of(old), beads_of(new), strict=True) if pair[0] != pair[1]]
    if not pairs:
        return ""
    lab = rgb2lab(np.array([[[*bytes.fromhex(bead[:6])] for bead in pair] for pair in pairs], dtype=np.uint8))
    apart = deltaE_ciede2000(lab[:, 0], lab[:, 1])
    sizes = sum(was.split("/")[1] != now.split("/")[1] for was, now in pairs)
    return (
        f"{len(pairs)} of {len(beads_of(old))} beads, {sizes} in size, by {apart.mean():.2f} on average and at most "
        f"{apart.max():.2f}; now {digest(beads_of(new))}"
    )


def order_differs(was, now):
    """Say how many rows differ, and the first."""
    if len(was) != len(now):
        return f"{len(was)} rows are {len(now)}; now {digest(now)}", False
    apart = [pair for pair in zip(was, now, strict=True) if pair[0] != pair[1]]
    return f"{len(apart)} of {len(was)} rows, the first '{apart[0][0]}', is '{apart[0][1]}'; now {digest(now)}", False


def heights_differ(was, now):
    """Say by how many mm heights differ."""
    if len(was) != len(now):
        return f"{len(was)} beads are {len(now)}", False
    most = float(np.abs(np.subtract(was, now)).max())
    return (f"heights by up to {most:.3f} mm" if most > NEAR else ""), False


def pixels_differ(was, now):
    """Say how many pixels differ."""
    if len(was) != len(now):
        return f"{len(was)} pixels are {len(now)}", False
    return f"{sum(a != b for a, b in zip(was, now, strict=True))} of {len(was)} pixels; now {digest(now)}", False


def drawing_differs(was, now):
    """Say how much the paint of a drawing differs."""
    most = int(np.abs(np.subtract(was, now)).max())
    return f"drawn otherwise by {most} of 255 in a part", most <= PAINT


def extent_differs(was, now):
    """Say how large a drawing is now; other words in its margins may change that a little."""
    return f"{was} pixels are {now}", bool(np.all(np.abs(np.log(np.divide(now, was))) < ROOM))


def text_differs(was, now):
    """Say which share of the figures in a text is still there; their order alone may differ."""
    old, new = (re.findall(r"\d+(?:,\d{3})*(?:\.\d+)?", text) for text in (was, now))
    if old == new:
        return SAME_FIGURES, True
    common = (Counter(old) & Counter(new)).total()
    share = 2 * common / max(len(old) + len(new), 1)
    gone, come = (" ".join((Counter(a) - Counter(b)).elements())[:60] for a, b in ((old, new), (new, old)))
    told = f"{share:.1%} of {len(old)} figures alike; gone: {gone}; new: {come}; now {digest(new)}"
    return told, share >= ALIKE


def values_differ(was, now):
    """Say which values differ, figures by more than `NEAR`."""
    apart = list(_values_apart(was, now, ""))
    return "; ".join(apart[:4]) + (f"; and {len(apart) - 4} more, all {digest(apart)}" if len(apart) > 4 else ""), False


def _values_apart(was, now, place):
    if isinstance(was, dict) and isinstance(now, dict) and was.keys() == now.keys():
        for key in was:
            yield from _values_apart(was[key], now[key], f"{place}{key} ")
    elif isinstance(was, list) and isinstance(now, list) and len(was) == len(now):
        for at, (a, b) in enumerate(zip(was, now, strict=True)):
            yield from _values_apart(a, b, f"{place}{at} ")
    elif isinstance(was, int | float) and isinstance(now, int | float):
        if abs(was - now) > NEAR:
            yield f"{place}{was} is {now}"
    elif was != now:
        yield f"{place}{was} is {now}"[:300]


DIFFER = {
    "order": order_differs,
    "z": heights_differ,
    "pixels": pixels_differ,
    "extent": extent_differs,
    "drawing": drawing_differs,
    "text": text_differs,
}
