"""Every reader of what users give, each with a good file, edits of it, and a law: a value or our own error."""

import warnings
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import numpy as np
from bad_input_files import DESIGN, GRID, PALETTE, STUDIO, noise
from mutations import Pick, edited_bytes, edited_text, edited_values
from picture_oracle import encoded
from strategies import SIZES
from typer.main import get_command

from convert.chart.choices import DEFAULT_INK
from convert.cli.app import app
from convert.cli.batch_table import read_batch_table
from convert.cli.parameters import (
    parse_count,
    parse_count_or_auto,
    parse_crop,
    parse_drop,
    parse_percent,
    parse_pixels,
    parse_strength,
    parse_thresholds,
)
from convert.documents.booklet.choices import parse_studio
from convert.documents.edit_sheet.png import read_sheet_png, sheet_png
from convert.documents.edit_sheet.table import read_sheet_csv, sheet_csv
from convert.image.decode import Source, decode, read_header
from convert.image.raster import heights_from
from convert.relief.dome_syntax import parse_dome
from convert.rows.proofread import proofread
from convert.rows.writer import rows_text
from convert.shopping.packs import parse_pack
from convert.shopping.stash import read_photographed_stash
from convert.shopping.wrists import parse_ease_mm, parse_wrist_mm
from palettes.formats.csv_table import palette_csv
from palettes.formats.read import read_palette
from palettes.sizes import parse_sizes
from shared.beads import bead_sizes_toml, parse_bead_sizes
from shared.colour import codes_from_hex
from shared.design_file import design_text, parse_design
from shared.errors import HummockError
from shared.units import parse_length_mm

MOST_PIXELS = 100_000


class Reader(NamedTuple):
    """What reads bytes, and files to begin from."""

    read: Callable[[bytes], None]
    """Reads; what it read is written and read again where that can be done."""
    good: tuple[bytes, ...]
    """Files that it takes."""
    edit: Callable[[Pick], bytes]
    """Makes a file that is nearly good."""

    def law(self, data: bytes) -> bool:
        """Read; tell whether that gave a value. Any exception but our own, and any warning, is a find."""
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                self.read(data)
            except HummockError as error:
                sentence = str(error)
            else:
                return True
        assert sentence
        return False


def _text(data: bytes) -> str:
    """As `convert.files.read_text` decodes."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise HummockError("is not UTF-8") from error


def read_design(data: bytes) -> None:
    design = parse_design(_text(data))
    assert parse_design(design_text(design).encode().decode()) == design


def read_rows(data: bytes) -> None:
    proof = proofread(_text(data), SIZES)
    if proof.design is None:
        assert proof.mistakes
    else:
        assert proofread(rows_text(proof.design).encode().decode(), SIZES).design == proof.design


def read_measures(data: bytes) -> None:
    bead_sizes = parse_bead_sizes(_text(data))
    assert parse_bead_sizes(bead_sizes_toml(bead_sizes).encode().decode()) == bead_sizes


def read_studio(data: bytes) -> None:
    parse_studio(_text(data))


def read_any_palette(data: bytes) -> None:
    palette = read_palette(data, "mine.csv")
    again = read_palette(palette_csv(palette).encode(), "mine.csv")
    assert [colour.name for colour in again.entries] == [colour.name for colour in palette.entries]


def read_picture(data: bytes) -> None:
    source = Source("picture", data)
    header = read_header(source, max_pixels=MOST_PIXELS)
    decoded = decode(source, max_pixels=MOST_PIXELS)
    assert decoded.pixels().codes.shape[:2] == (header.height, header.width)


def read_heights(data: bytes) -> None:
    source = Source("map", data)
    header = read_header(source, max_pixels=MOST_PIXELS)
    heights = heights_from(decode(source, managed=False, max_pixels=MOST_PIXELS), turn=0, mirror=False, invert=False)
    assert heights.shape == (header.height, header.width)
    values = heights.band(slice(None))
    assert 0 <= values.min() <= values.max() <= 1


def read_table(data: bytes) -> None:
    assert read_sheet_csv(_text(data), DESIGN, source="sheet.csv").design.grid == GRID


def read_painted(data: bytes) -> None:
    assert read_sheet_png(data, DESIGN, source="sheet.png", new_colours=True).design.grid == GRID


def read_batch(data: bytes) -> None:
    with TemporaryDirectory() as folder:
        table = Path(folder) / "list.csv"
        table.write_bytes(data)
        entries, _ = read_batch_table(table, BATCH, DEFAULT_INK, surface=False, taken=())
    assert len({entry.name.casefold() for entry in entries}) == len(entries) > 0


def read_photograph(data: bytes) -> None:
    codes = decode(Source("heaps.jpg", data), max_pixels=MOST_PIXELS).pixels().codes
    stash = read_photographed_stash(codes, ["40,60"], paper="5,5", grey=None, sizes="11c", name="mine")
    assert read_palette(stash.table, "mine.csv").entries


def _picked(goods: tuple[bytes, ...], edit: Callable[[bytes, Pick], bytes], pick: Pick) -> bytes:
    return edit(goods[pick(len(goods))], pick)


def _of_text(read: Callable[[bytes], None], *goods: str) -> Reader:
    files = tuple(good.encode() for good in goods)
    return Reader(read, files, partial(_picked, files, lambda data, pick: edited_text(data.decode(), pick)))


def _of_bytes(read: Callable[[bytes], None], *goods: bytes) -> Reader:
    return Reader(read, goods, partial(_picked, goods, edited_bytes))


def read_words(data: bytes) -> None:
    """Words of options: each parser gives a value, or says in one sentence what is wrong."""
    words = _text(data)
    read = 0
    for parse in PARSERS:
        try:
            parse(words)
            read += 1
        except HummockError:
            continue
    if not read:
        raise HummockError("nothing reads it")


PARSERS = (
    *(parse_dome, parse_pack, parse_sizes, parse_length_mm, partial(parse_length_mm, zero=True), parse_wrist_mm),
    *(
        parse_thresholds,
        parse_crop,
        parse_count,
        parse_count_or_auto,
        parse_percent,
        parse_strength,
        parse_pixels,
        codes_from_hex,
    ),
    *(parse_ease_mm, parse_drop),
)
_NOISE = noise(12, 9)
_PICTURES = (
    *(encoded(_NOISE, kind) for kind in ("PNG", "JPEG", "TIFF", "WEBP", "GIF", "BMP", "PPM", "TGA", "JPEG2000")),
    encoded(_NOISE[..., 0].astype(np.uint16) * 257),
    encoded(_NOISE, "TIFF", compression="tiff_lzw"),
)
BATCH = get_command(app).get_command(None, "batch").make_context("batch", ["."])
_LIST = 'picture,name,columns,raise,hand\ncrab.png,crab,11,"disc 9mm,middle r2mm;ridge 1-6,9 r3",left\nb.jpg,,9,,\n'
_HEAPS = np.full((120, 180, 3), 200, dtype=np.uint8)
for _place, _colour in enumerate(((40, 90, 60), (150, 30, 40), (30, 40, 120))):
    _HEAPS[40:80, 20 + 50 * _place : 60 + 50 * _place] = _colour
_GPL = "GIMP Palette\nName: Tide\nColumns: 2\n# invented\n47 90 58 kelp\n240 239 232\tfoam\n"
_LAB = "name;L;a;b;size;code;finish;pack_grams;price\nkelp;35,2;-20;12,5;8 6;K1;matt;10;4,50\n"
_HAD = "code;hex;R;G;B;grams;price\nK1;#2f5a3a;47;90;58;4,5 g;3,20 €\nK2;;240;239;232;;€2\n"
_BARE = "kelp,rgb(47,90,58),cylinder 11/0,4 g\nfoam,#fff,8/0,3 g\n"
_SHEET = sheet_csv(DESIGN)

READERS = {
    "design": Reader(
        read_design, (design_text(DESIGN).encode(),), lambda pick: edited_values(design_text(DESIGN), pick)
    ),
    "rows": _of_text(read_rows, rows_text(DESIGN), "bead A = 8/0 #2f5a3a kelp\n1+2 > 5: 5A\n3: A, 1 A\n4-5 = 3\n"),
    "measures": _of_text(
        read_measures, bead_sizes_toml(SIZES) + '[gauge]\nsample = "cuff"\nbending = 0.5\nmeasured = ["length"]\n'
    ),
    "studio": _of_text(read_studio, STUDIO + 'contact = ["by the pier"]\nterms = """\nsell\n\nwhat you make\n"""\n'),
    "palette": _of_text(read_any_palette, PALETTE, _GPL, _LAB, _HAD, _BARE),
    "picture": _of_bytes(read_picture, *_PICTURES),
    "heights": _of_bytes(read_heights, *_PICTURES),
    "sheet": _of_text(read_table, _SHEET, _SHEET.replace(",", ";")),
    "words": _of_text(
        read_words,
        *("diamond 12,9 r5 h2 every 20 both edges", "disc 30mm,middle r6mm", "ridge 1-6,9 r3", "ring 4,9 r6 w4"),
        *("11c 11=10g", "11c 8, 6", "6.5in", "0,25.5%,90%,100%", "0.25,50%", "300M", "#2f5a3a", "7.5%", "auto"),
    ),
    "batch": _of_text(read_batch, _LIST, "picture;rows\ncrab.png;20\n"),
    "photograph": _of_bytes(read_photograph, *(encoded(_HEAPS, kind) for kind in ("PNG", "JPEG"))),
    "painted": _of_bytes(read_painted, sheet_png(DESIGN)),
}
