"""A studio's folder for the table of bad inputs: files that are good, and next to each what it must not be."""

import json
import struct
import zlib
from pathlib import Path

import numpy as np
from encoded_pictures import chunk
from picture_oracle import encoded
from PIL import Image
from strategies import SIZES, bead_of

from convert.documents.edit_sheet.png import sheet_png
from convert.documents.edit_sheet.table import sheet_csv
from convert.rows.writer import rows_text
from shared.beads import bead_sizes_toml
from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid

GRID = Grid(5, 12)
DESIGN = Design("Limpets", GRID, SIZES, (bead_of(0, 0), bead_of(1, 0), bead_of(1, 1)), np.arange(GRID.count) % 3)
PALETTE = "name,colour,size,grams\nkelp,#2f5a3a,all,4\nfoam,#f0efe8,all,\nslate,#3a4450,all,\n"
STUDIO = 'name = "Two Tides"\n'
LEVEL = '[[size]]\nname = "cylinder 11/0"\nlength_mm = {}\ndiameter_mm = 1.6\nhole_mm = 0.8\nper_gram = 200\n'


def picture(width=30, height=40):
    down, across = np.mgrid[:height, :width]
    return np.stack([down * 5 % 256, across * 7 % 256, (down + across) * 3 % 256], axis=2).astype(np.uint8)


def noise(width, height):
    return np.random.default_rng(3).integers(0, 256, (height, width, 3), dtype=np.uint8)


def heaps():
    photo = np.full((200, 320, 3), 236, dtype=np.uint8)
    photo[60:140, 40:120], photo[60:140, 190:270] = (150, 40, 40), (40, 90, 140)
    return photo


def png_that_claims(width, height):
    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")


def values(**other):
    """The design's values as JSON, with others in some places."""
    return json.dumps(json.loads(design_text(DESIGN)) | other)


def in_bead(**other):
    beads = json.loads(design_text(DESIGN))["beads"]
    return values(beads=[beads[0] | other, *beads[1:]])


def _cells():
    return json.loads(design_text(DESIGN))["cells"]


def good():
    """File names and what is in them; every command takes these."""
    text, sheet = design_text(DESIGN), sheet_csv(DESIGN)
    return {
        "cuff.png": encoded(picture()),
        "map.png": encoded(picture()[..., 0]),
        "heaps.png": encoded(heaps()),
        "shelf/cuff.png": encoded(picture()),
        "work/design.json": text,
        "typed.txt": rows_text(DESIGN),
        "palette.csv": PALETTE,
        "bead_sizes.toml": bead_sizes_toml(SIZES),
        "studio.toml": STUDIO,
        "edited.csv": sheet,
        "edited.png": sheet_png(DESIGN),
        "jobs.csv": "picture,columns\ncuff.png,5\n",
        "notes.txt": "mine",
    }


def bad():
    """The same, of files that are no good; most in a folder ``bad``."""
    return _pictures() | _designs() | _tables() | _words()


def _pictures():
    whole, half = encoded(noise(60, 60)), encoded(noise(30, 40))
    return {
        "bad/empty": b"",
        "bad/cut.png": whole[: len(whole) // 2],
        "bad/noise.png": bytes(range(256)) * 9,
        "bad/dot.png": encoded(picture(1, 1)),
        "bad/thread.png": encoded(picture(8, 20_000)),
        "bad/huge.png": png_that_claims(100_000, 50_000),
        "bad/clear.png": encoded(Image.new("RGBA", (9, 9), (200, 10, 10, 0))),
        "bad/clear-30.png": encoded(Image.new("LA", (30, 40), (200, 0))),
        "bad/cut-30.png": half[: len(half) // 2],
        "bad/cut-5.png": encoded(noise(5, 6))[:90],
        "bad/deep-5.tif": encoded(np.ones((6, 5), dtype=np.float32), "TIFF"),
        "bad/deep.tif": encoded(np.ones((9, 9), dtype=np.float32), "TIFF"),
        "bad/wide.png": encoded(picture(90, 20)),
        "bad/sheet-scaled.png": encoded(picture(50, 90)),
        "bad/shelf/dot.png": encoded(picture(1, 1)),
        "bad/no-pictures/notes.txt": "mine",
    }


def _designs():
    text, cells = design_text(DESIGN), _cells()
    return {
        "bad/cut.json": text[: len(text) // 2],
        "bad/newer.json": values(version=3),
        "bad/count.json": values(cells=[*cells[:3], cells[3][:-1], *cells[4:]]),
        "bad/key.json": values(cells=[["Z"] * len(cells[0]), *cells[1:]]),
        "bad/no-columns.json": values(columns=0),
        "bad/negative.json": values(rows=-12),
        "bad/immense.json": values(columns=10**9, rows=10**9),
        "bad/far.json": values(columns=10**400),
        "bad/words.json": values(columns="five"),
        "bad/nan.json": text.replace('"columns": 5', '"columns": NaN'),
        "bad/endless.json": text.replace('"columns": 5', '"columns": 1e999'),
        "bad/list.json": "[" + text + "]",
        "bad/deep.json": "[" * 100_000,
        "bad/digits.json": text.replace('"columns": 5', '"columns": ' + "9" * 5000),
        "bad/nul.json": text.replace("Limpets", "Lim\0pets"),
        "bad/half-a-letter.json": values(title="Lim\ud800pets"),
        "bad/half-a-letter-behind.json": values(provenance={"note": "\ud800"}),
        "bad/deep-behind.json": text.replace('"provenance": {', '"provenance": {"a": ' + "[" * 500 + "]" * 500),
        "bad/two-lines.json": values(title="Lim\npets"),
        "bad/long.json": values(title="Limpets " * 9000),
        "bad/latin.json": text.replace("Limpets", "Ans\u00e9").encode("latin-1"),
        "bad/lab.json": in_bead(lab=[1e300, 0, 0]),
        "bad/lab-far.json": in_bead(lab=[10**400, 0, 0]),
        "bad/size.json": in_bead(size="round 99/0"),
        "bad/extra.json": values(zz=1),
        "bad/other-shape.json": design_text(_other_shape()),
    }


def _other_shape():
    grid = Grid(6, 10)
    return Design("Whelks", grid, SIZES, DESIGN.beads[:1], np.zeros(grid.count, dtype=int))


def _tables():
    rows = PALETTE.splitlines(keepends=True)
    sheet = sheet_csv(DESIGN)
    return {
        "bad/header.csv": rows[0],
        "bad/strange.csv": "tide,moon\nhigh,full\n",
        "bad/nan.csv": PALETTE.replace(",4", ",nan"),
        "bad/inf.csv": PALETTE.replace(",4", ",inf"),
        "bad/minus.csv": PALETTE.replace(",4", ",-4"),
        "bad/formula.csv": PALETTE.replace(",4", ',"=SUM(A1:A9)"'),
        "bad/formula-colour.csv": PALETTE.replace("#2f5a3a", '"=HYPERLINK(""x"")"'),
        "bad/nul.csv": PALETTE.replace("kelp", "ke\0lp"),
        "bad/utf-16.csv": PALETTE.encode("utf-16"),
        "bad/workbook.csv": b"PK\x03\x04" + bytes(99),
        "bad/large-cell.csv": PALETTE.replace("kelp", "k" * 10_000_000),
        "bad/long-cell.csv": PALETTE.replace("kelp", "k" * 200_000),
        "bad/quotes.csv": PALETTE.replace("kelp", '"kelp'),
        "bad/palette.gpl": "GIMP Palette\n300 0 0 too red\n",
        "bad/sheet-key.csv": sheet.replace("A,", "Z,", 1),
        "bad/sheet-cell.csv": sheet.replace("A,", "A" * 10_000_000 + ",", 1),
        "bad/sheet-nul.csv": sheet.replace("A,", "A\0,", 1),
        "bad/sheet-formula.csv": sheet.replace("A,", "=A1+A2,", 1),
        "bad/sheet-line.csv": sheet[: sheet.rindex("\r\n", 0, -2) + 2],
        "bad/jobs-option.csv": "picture,columns\n../cuff.png,zero\n",
        "bad/jobs-nan.csv": "picture,width,tidy\n../cuff.png,nanmm,inf\n",
        "bad/jobs-nul.csv": "picture\n../cu\0ff.png\n",
        "bad/jobs-formula.csv": 'picture,columns\n../cuff.png,"=2+3"\n',
        "bad/jobs-cell.csv": "picture\n" + "c" * 10_000_000 + "\n",
        "bad/jobs-name.csv": "picture,name\n../cuff.png,../cuff\n",
        "bad/jobs-twice.csv": "picture,name\n../cuff.png,Cuff\n../map.png,cuff\n",
        "bad/jobs-columns.csv": "picture;columns\n../cuff.png;1;2;3\n",
        "bad/jobs-none.csv": "picture\n",
        "bad/jobs-strange.csv": "picture,moon\n../cuff.png,full\n",
        "bad/jobs-long-name.csv": f"picture,name\n../cuff.png,{'c' * 300}\n",
    }


def _words():
    rows, level = rows_text(DESIGN), LEVEL
    return {
        "bad/rows-count.txt": rows.replace("2 A", "3 A", 1).replace("1 A", "3 A", 1),
        "bad/rows-key.txt": rows.replace(" A,", " Z,", 1),
        "bad/rows-nul.txt": rows.replace("A", "A\0", 1),
        "bad/rows-utf-16.txt": rows.encode("utf-16"),
        "bad/rows-far.txt": "bead A = cylinder 11/0 #2f5a3a kelp\n1+2 > 999999999999999: 999999999999999 A\n",
        "bad/rows-none.txt": "# Limpets\n",
        "bad/minus.toml": level.format(-1.3),
        "bad/nan.toml": level.format("nan"),
        "bad/inf.toml": level.format("inf"),
        "bad/zero.toml": level.format(0),
        "bad/far.toml": level.format("9" * 400),
        "bad/far-below.toml": level.format("-" + "9" * 400),
        "bad/digits.toml": level.format("9" * 5000),
        "bad/gauge-far.toml": level.format(1.3)
        + f'[gauge]\nsample = "cuff"\nbending = {"9" * 400}\nmeasured = ["dome"]\n',
        "bad/deep.toml": "a = " + "[" * 5000,
        "bad/words.toml": "eleven small, eight large\n",
        "bad/no-sizes.toml": 'name = "mine"\n',
        "bad/one-size.toml": level.format(1.3),
        "bad/nul.toml": "\0" * 40,
        "bad/studio.toml": 'owner = "mine"\n',
        "bad/studio-nan.toml": "name = nan\n",
        "bad/studio-long.toml": f'terms = "{"kelp " * 2000}"\n',
    }


def fill(folder: Path, *, with_bad=True):
    """Make the folder: good files, and, unless only these are wanted, bad ones and names that lead nowhere."""
    for name, content in (good() | (bad() if with_bad else {})).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))
    if not with_bad:
        return
    (folder / "bad/loop").symlink_to("loop")
    (folder / "bad/nothing").mkdir()
    with (folder / "bad/endless.png").open("wb") as file:
        file.truncate(3_000_000_000)  # it takes no room on the disk
