"""The recorded command lines of ``commands.toml``, and what they read."""

import json
import shlex
import tomllib
from pathlib import Path

import numpy as np
from PIL import Image
from record.content import read_design

_TOLD = tomllib.loads((Path(__file__).parent / "commands.toml").read_text("utf-8"))
FAST, KEPT, REFUSED, TEXTS = (_TOLD[part] for part in ("fast", "kept", "refused", "texts"))
COMMANDS = {name: line.format(**_TOLD["phrases"]) for name, line in _TOLD["commands"].items()}


def words_of(name, root):
    """Give the words of a command: each has a folder of its own for ``it``, and for ``there``, where files are."""
    words = shlex.split(COMMANDS[name])
    if words[-1] == "there":
        (root / name).mkdir()
        for file in ("design.json", "rows.txt", "labels.html"):
            (root / name / file).write_text("what was there\n", "utf-8")
    return [name if word in ("it", "there") else word for word in words]


def lay_out(root, samples, kept):
    """Write all that the commands read into an empty folder: samples, pictures, texts, and the works kept."""
    (root / "samples").symlink_to(samples)
    for name, text in TEXTS.items():
        (root / name).write_text(text, "utf-8")
    for work, files in kept.items():
        for name, text in files.items():
            (root / "kept" / work).mkdir(parents=True, exist_ok=True)
            (root / "kept" / work / name).write_text(text, "utf-8")
    cells = paint(root)
    (root / "lettered.json").write_text(json.dumps(lettered(cells)), "utf-8")
    lines = [["rows", *map(str, range(1, 10))]]
    for pair in range(10):
        line = [""] * 9
        line[0::2], line[1::2] = cells[2 * pair], cells[2 * pair + 1]
        lines.append([f"{2 * pair + 1}+{2 * pair + 2}", *line])
    lines[3][2:5] = ["I", "O", "A8"]
    (root / "table.csv").write_text("\n".join(map(",".join, lines)) + "\n", "utf-8")


def paint(root):
    """Paint small pictures, each of another form; give the cells of a small design that holds every letter to P."""
    rng = np.random.default_rng(7)
    noise = rng.integers(0, 256, (15, 8, 3)).astype(np.uint8).repeat(12, 0).repeat(12, 1)
    Image.fromarray(noise).save(root / "noise.png")
    y, x = np.mgrid[:120, :80]
    deep = (np.hypot(y - 50, x - 40) * 1200).clip(0, 65535).astype(np.uint16)
    Image.fromarray(deep).save(root / "deep.png")
    clear = np.where(np.add.outer(np.arange(180), np.arange(96)) > 90, 255, 60).astype(np.uint8)
    Image.fromarray(np.dstack([noise, clear])).save(root / "clear.png")
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.fromarray(noise[:, :72]).save(root / "exif.tiff", exif=exif)
    Image.fromarray(noise).convert("CMYK").save(root / "cmyk.jpg", quality=95)
    frames = [Image.fromarray(part).quantize(8) for part in (noise[:72], noise[72:144])]
    frames[0].save(root / "moving.gif", save_all=True, append_images=frames[1:])
    (root / "pool").mkdir()
    for name, part in (("a", noise[:96, :80]), ("b", noise[36:, :80]), ("a-heights", deep[:96])):
        Image.fromarray(part).save(root / "pool" / f"{name}.png")
    heaps = np.full((120, 180, 3), 200, dtype=np.uint8)
    heaps[6:26, 10:50], heaps[6:26, 60:100] = 230, 118
    for place, colour in enumerate(((40, 90, 60), (150, 30, 40), (30, 40, 120))):
        heaps[50:90, 20 + 50 * place : 60 + 50 * place] = colour
    Image.fromarray(heaps).save(root / "heaps.png")
    keys = np.array([*"ABCDEFGHIJKLMNOP", "A11", "O11", "A8"])
    return [[str(key) for key in keys[rng.integers(0, 16, 5 - row % 2)]] for row in range(20)]


def lettered(cells):
    """Give a design in its first form, with the letters I and O, that no later version makes."""
    names = ("cylinder 11/0", "round 11/0", "round 8/0")
    cells[9][1] = cells[10][2] = "A11"
    cells[12][2] = cells[14][2] = "O11"
    beads = []
    for key in sorted({key for row in cells for key in row} | {"A8"}, key=lambda key: (key[0], len(key), key)):
        size = {"": 0, "11": 1, "8": 2}[key[1:]]
        code = 3 + 14 * (ord(key[0]) - 65)
        beads.append({"key": key, "size": names[size], "srgb": f"#{code:02x}{255 - code:02x}{code // 2:02x}",
                      "lab": [50, 0, 0], "name": f"colour {key[0]}", "source": "drawn"})  # fmt: skip
    return {"format": "hummock-design", "version": 1, "title": "Lettered", "columns": 9, "rows": 20, "hand": "right",
            "start": "top", "ladder": [{"name": name, "length_mm": 1.3 + size / 3, "diameter_mm": 1.6 + size / 2,
            "hole_mm": 0.8, "per_gram": 200 - 60 * size} for size, name in enumerate(names)],
            "beads": beads, "cells": cells, "provenance": {}}  # fmt: skip


def paint_over(root):
    """Paint an edited sheet over that of a kept work: new colours, and two beads changed for each other."""
    design = read_design(json.loads((root / "kept/plain/design.json").read_text("utf-8")))
    columns, rows = design["grid"][:2]
    colours = [bytes.fromhex(kind[:6]) for kind in design["kinds"]]
    sheet = np.zeros(((rows + 1) // 2, columns, 4), dtype=np.uint8)
    for row, line in enumerate(design["cells"]):
        for place, kind in enumerate(line):
            column = 2 * place + (columns - 1 + row) % 2
            sheet[row // 2, column] = (*colours[ord(kind) - 48], 255)
    sheet[3, 2:6, :3] = sheet[3, 5:1:-1, :3]
    sheet[8, 1:4, :3] = (250, 10, 200)
    Image.fromarray(sheet).save(root / "painted.png")
