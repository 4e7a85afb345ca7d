"""What is kept of each output: its content, in a form that no wording, letter or option name touches.

A bead is told as its colour and the place of its size in rising order, like ``2f4a5a/0``. Of every file there are
*parts*, each compared in its own way by its name: ``cells``, ``order``, ``z``, ``pixels``, ``drawing``, ``text``; any
other part must be equal, figures within 0.002.
"""

import csv
import hashlib
import html
import io
import json
import re
import shutil
import struct
import subprocess
from collections import Counter

import numpy as np
from PIL import Image

SIZES = ("cylinder 11/0", "round 11/0", "round 8/0", "round 6/0")
"""Where no design says which sizes there are."""
NAMES = {"bench.html": "stitch.html"}
"""New names of files, by which both are known."""
UNREAD = ("batch.json", "colours.png")
"""What says how a file was made; and a twin of the page."""
TURN = "turn"
_DRAWN = re.compile("chart|colourways|surface|covers|found")
_RANK = re.compile(r"[A-Z]+")


def content_of(path, name):
    """Read a file; give its content by parts, or nothing where none is kept."""
    if path.name in UNREAD or path.suffix == ".hummock":
        return None
    if path.name == "rows.txt":
        text = path.read_text("utf-8")
        return {"order": read_rows(text), "text": text}
    if path.suffix in BINARY:
        return BINARY[path.suffix](path.read_bytes(), name)
    return TEXTS.get(path.suffix, lambda text, _: {"text": text})(path.read_text("utf-8"), name)


def read_json(text, _):
    """Read a design or a shape."""
    found = json.loads(text)
    return read_surface(found) if "domes" in found else read_design(found)


def read_design(found):
    """Read a design of version 1 or 2."""
    sizes = found.get("sizes") or found["ladder"]
    place = {size["name"]: at for at, size in enumerate(sizes)}
    beads = {bead.get("kind") or bead["key"]: bead for bead in found["beads"]}
    letters = {key: bead.get("letter") or _RANK.match(key).group() for key, bead in beads.items()}
    ranks = sorted(set(letters.values()), key=lambda letter: (len(letter), letter))
    kind_of = {key: f"{bead['srgb'][1:]}/{place[bead['size']]}" for key, bead in beads.items()}
    kinds = list(dict.fromkeys(kind_of[key] for row in found["cells"] for key in row))
    sign = {key: chr(48 + kinds.index(kind)) for key, kind in kind_of.items() if kind in kinds}
    return {
        "grid": [found["columns"], found["rows"], found["hand"], found["start"], found.get("drop", 1)],
        "measures": [
            [size[f"{of}_mm"] for of in ("length", "diameter", "hole")] + [size["per_gram"]] for size in sizes
        ],
        "kinds": kinds,
        "cells": ["".join(sign[key] for key in row) for row in found["cells"]],
        "letters": sorted([kind_of[key], ranks.index(letters[key])] for key in beads),
        "names": sorted([kind_of[key], bead["name"]] for key, bead in beads.items()),
        "title": found["title"],
        "gauge": [found["gauge"]["bending"], found["gauge"]["measured"]] if "gauge" in found else None,
    }


def read_rows(text):
    """Read word rows in the first or the second form: for each entry its row, direction, turn, and beads in order."""
    kinds, entries = {}, {}
    for line in text.splitlines():
        words = line.partition("#")[0].strip()
        old = re.match(r"bead (\w+) = (.+) #([0-9a-f]{6})", line)
        new = re.match(r"(\w+): (\w+ \d+/0), .*\(#([0-9a-f]{6})\)", line)
        if old or new:
            key, size, colour = (old or new).groups()
            kinds[key] = f"{colour}/{SIZES.index(size)}"
            continue
        again = re.match(r"(?:Rows )?(\d+)(?:[-\u2013](\d+))?(?: = |: as rows? )(\d+)(?:[-\u2013](\d+))?$", words)
        row = re.match(r"(?:Rows? )?(\d+)(?:\+(\d+))? ([<>←→]) (\d+): ([^;]+)(;.*)?$", words)
        if again:
            first, last, start, end = (int(again[at] or again[at - 1]) for at in range(1, 5))
            for at in range(first, last + 1):
                entries[at] = entries[start + (at - first) % (end - start + 1)]
        elif row:
            runs = [run.split() for run in row[5].split(", ")]
            told = " ".join(f"{count}*{kinds[key]}" for count, key in runs)
            entries[int(row[1])] = (
                f"{'<' if row[3] in '<←' else '>'}{row[4]} {'turn' if TURN in (row[6] or '') else ''}: {told}"
            )
        elif words:
            entries[words] = "is said"
    return [f"{at} {told}" for at, told in entries.items()]


def read_table(text, name):
    """Read a table: its figures, and of what is to buy which bead each line is for; no words."""
    lines = list(csv.reader(io.StringIO(text)))
    head = lines[0]
    skipped = [at for at, word in enumerate(head) if word == "seconds"]
    figures = []
    for line in lines[1:]:
        cells = [cell for at, cell in enumerate(line) if at not in skipped]
        if {"size", "colour", "count"} <= set(head) and line[2].startswith("#"):
            size = SIZES.index(line[1]) if line[1] in SIZES else line[1]
            cells = [f"{line[2][1:]}/{size}", *cells[4:]]
        figures.append([cells[0] if "/" in cells[0] else None, *map(figure, cells)])
    text = "\n".join("; ".join(cell for at, cell in enumerate(line) if at not in skipped) for line in lines)
    rows = name.endswith("rows.csv")
    return {"figures": None if rows else sorted(figures, key=str) if "beads.csv" in name else figures, "text": text}


def figure(cell):
    """Give the number in a cell, or nothing."""
    try:
        return float(cell)
    except ValueError:
        return None


def read_surface(found):
    """Read the predicted shape: lengths, domes and places that do not fit, and the height of each bead in mm."""
    return {
        "size": {name: value for name, value in found.items() if name.endswith("_mm") and name != "centres_mm"},
        "grid": [found["columns"], found["rows"]],
        "domes": [[dome["height_mm"], dome["rows"], dome["columns"], dome["beads"]] for dome in found["domes"]],
        "fit": [[place["rows"], place["columns"], place["count"], place["worst"]] for place in found["fit"]],
        "places": len(found["fit"]),
        "z": [round(bead[2], 3) for row in found.get("centres_mm", ()) for bead in row],
    }


def read_png(data, name):
    """Read a picture: pixels of one that is data (some, if large), of a drawing its mean colours in 8 x 8 parts."""
    with Image.open(io.BytesIO(data)) as picture:
        size, mode = list(picture.size), picture.mode
        if _DRAWN.search(name.rpartition("/")[2]) is None:
            pixels = np.asarray(picture if mode.startswith(("L", "I")) else picture.convert("RGBA"))
            step = 1 + max(size) // 150
            return {"size": size, "pixels": pixels[::step, ::step].reshape(-1, 1 if pixels.ndim == 2 else 4).tolist()}
        small = np.asarray(picture.convert("RGB").resize((8, 8), Image.Resampling.BOX))
    return {"extent": size, "drawing": small.reshape(-1).tolist()}


def read_svg(text, _):
    """Read a chart: where the beads of each colour lie, and its words."""
    shapes = dict(re.findall(r'<g id="(\w+)">.*?fill="#([0-9a-f]{6})"', text, re.DOTALL))
    used = re.findall(r'<use href="#(\w+)" x="([^"]*)" y="([^"]*)"', text)
    beads, sums = Counter(), {}
    for key, x, y in used:
        colour = shapes.get(key, "")
        beads[colour] += 1
        sums[colour] = [was + float(at) for was, at in zip(sums.get(colour, (0, 0)), (x, y), strict=True)]
    means = {
        colour: [count, *(round(part / count, 3) for part in sums[colour])] for colour, count in sorted(beads.items())
    }
    return {"beads": means, "text": words_of(text)}


def read_page(text, _):
    """Read a page: its words, and of the page to stitch from each row with its direction, turn and beads."""
    found = re.search(r'type="application/json"[^>]*>(.*?)</script>', text, re.DOTALL)
    data = json.loads(found[1]) if found else {}
    order = []
    if isinstance(data, dict) and "steps" in data:
        kinds = [f"{kind[3][1:]}/{kind[7]}" for kind in data["kinds"]]
        for first, last, way, turn, flat in data["steps"]:
            runs = " ".join(f"{flat[at]}*{kinds[flat[at + 1]]}" for at in range(0, len(flat), 2))
            order.append(f"{first} {last} {way} {turn}: {runs}")
    return {"order": order, "text": words_of(text)}


def words_of(text):
    """Give the words that a page or a drawing shows."""
    bare = re.sub(r"<(style|script)\b.*?</\1>", " ", text, flags=re.DOTALL)
    return re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", bare))).strip()


def read_pdf(data, _):
    """Read the words of a booklet; nothing where poppler is missing, which is then not compared."""
    program = shutil.which("pdftotext")
    if program is None:
        return None
    told = subprocess.run([program, "-raw", "-", "-"], input=data, capture_output=True, check=True).stdout
    return {"text": re.sub(r"\s+", " ", told.decode("utf-8")).strip(), "pages": told.count(b"\f")}


def read_glb(data, _):
    """Read a shape: how many things it holds, and its colours."""
    (length,) = struct.unpack_from("<I", data, 12)
    found = json.loads(data[20 : 20 + length])
    colours = [material["pbrMetallicRoughness"]["baseColorFactor"] for material in found["materials"]]
    return {"nodes": len(found["nodes"]), "meshes": len(found["meshes"]), "colours": sorted(colours)}


def digest(value):
    """Return eight letters that stand for a value."""
    return hashlib.sha256(json.dumps(value).encode()).hexdigest()[:8]


TEXTS = {".json": read_json, ".csv": read_table, ".svg": read_svg, ".html": read_page}
BINARY = {".png": read_png, ".glb": read_glb, ".pdf": read_pdf}
