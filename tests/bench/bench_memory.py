"""Peak memory of the main job on pictures of 100 megapixels in many formats, whole process, at 31 columns.

Run by hand: ``.venv/bin/python tests/bench/bench_memory.py [NAME …]``. No run may take more than 900 MB, or than
1.1 times the floor where that is more. The floor is a
process that only loads the picture's pixels with Pillow. What can only be decoded whole is made as large as is read
without asking for more.
"""

import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from measured import command, measured

SIDE, COLUMNS, MOST_MB = 10_000, 31, 900
PICTURE = Path(__file__).parents[2] / "samples" / "lighthouse-dusk.png"

START = """
import struct, sys, zlib
import numpy as np
from PIL import Image
import tifffile
Image.MAX_IMAGE_PIXELS = None
path, side = sys.argv[2], int(sys.argv[3])
with Image.open(sys.argv[1]) as image:
    large = image.convert("RGB").resize((side, side), Image.Resampling.BICUBIC)

def clear(image):
    image.putalpha(image.convert("L"))
    return image

def deep_png(step):
    # 16 bits of colour, which Pillow cannot write: W3C, Portable Network Graphics, 3rd edition
    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
    packer, pixels = zlib.compressobj(1), np.asarray(large)
    with open(path, "wb") as file:
        file.write(b"\\x89PNG\\r\\n\\x1a\\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 16, 2, 0, 0, step)))
        passes = ((0, 0, 8, 8), (4, 0, 8, 8), (0, 4, 4, 8), (2, 0, 4, 4), (0, 2, 2, 4), (1, 0, 2, 2), (0, 1, 1, 2))
        for left, top, across, down in passes if step else ((0, 0, 1, 1),):
            for row in pixels[top::down, left::across]:
                file.write(chunk(b"IDAT", packer.compress(b"\\0" + (row * np.uint16(257)).astype(">u2").tobytes())))
        file.write(chunk(b"IDAT", packer.flush()) + chunk(b"IEND", b""))
"""


class Kind(NamedTuple):
    """How a picture is made."""

    ending: str
    save: str
    """Python that writes ``large`` to ``path``."""
    side: int = SIDE


def saved(ending: str, made: str = "large", how: str = "", side: int = SIDE) -> Kind:
    """Return a kind that Pillow writes."""
    return Kind(ending, f"({made}).save(path, {how})", side)


QUICK, LZW = "compress_level=1", "compression='tiff_lzw'"
DEEP_GREY = "Image.fromarray(np.asarray(large.convert('L')).astype(np.uint16) * 257)"
KINDS = {
    "PNG": saved("png", how=QUICK),
    "PNG, interlaced, 16 bits": Kind("png", "deep_png(1)"),
    "PNG, 16 bits": Kind("png", "deep_png(0)"),
    "PNG, grey of 16 bits": saved("png", DEEP_GREY, QUICK),
    "PNG, transparent": saved("png", "clear(large)", QUICK),
    "PNG, palette": saved("png", "large.quantize(64)", QUICK),
    "GIF": saved("gif", "large.quantize(64)"),
    "JPEG": saved("jpg", how="quality=90"),
    "JPEG, progressive": saved("jpg", how="quality=95, subsampling=0, progressive=True"),
    "JPEG, CMYK": saved("jpg", "large.convert('CMYK')", "quality=90"),
    "JPEG, CMYK, progressive": saved("jpg", "large.convert('CMYK')", "quality=90, progressive=True"),
    "TIFF": saved("tif"),
    "TIFF, LZW": saved("tif", how=LZW),
    "TIFF, LZW, lies on its side": saved("tif", how=f"{LZW}, tiffinfo={{274: 6}}"),
    "TIFF, CMYK, LZW": saved("tif", "large.convert('CMYK')", LZW),
    "TIFF, transparent, LZW": saved("tif", "clear(large)", LZW),
    "TIFF, 16 bits": Kind("tif", "tifffile.imwrite(path, np.asarray(large) * np.uint16(257), photometric='rgb')"),
    "BMP": saved("bmp"),
    "TGA, transparent": saved("tga", "clear(large)"),
    "WebP of 40 megapixels": saved("webp", how="method=0", side=6_324),
    "WebP of 40 megapixels, transparent": saved("webp", "clear(large)", "method=0", side=6_324),
    "JPEG 2000 of 25 megapixels": saved("jp2", "clear(large)", side=5_000),
}
MAPS = {"PNG": ("PNG", "PNG, grey of 16 bits", "PNG, transparent", "JPEG"), "JPEG": ("JPEG",), "TIFF": ("TIFF",)}
"""Of these pictures also with height maps of these kinds: each is in colours, but for the grey one."""

FLOOR = """
import sys
from PIL import Image
Image.MAX_IMAGE_PIXELS = None
Image.open(sys.argv[1]).load()
"""


class Peak(NamedTuple):
    """What one run took."""

    name: str
    floor_mb: float
    """Of the picture alone."""
    our_mb: float
    seconds: float


def peaks(names: list[str] | None = None) -> Iterator[Peak]:
    """Measure the main job on each kind of picture, or on those named, and with height maps."""
    for name in names or KINDS:
        with tempfile.TemporaryDirectory() as folder:
            path = _made(name, folder, "picture")
            floor = measured([sys.executable, "-c", FLOOR, path]).megabytes
            yield _peak(name, floor, folder, path)
            for kind in MAPS.get(name, ()):
                map_path = _made(kind, folder, "map")
                yield _peak(f"{name}; map: {kind}", floor, folder, path, "--heights", map_path)


def _made(name: str, folder: str, stem: str) -> str:
    kind = KINDS[name]
    path = f"{folder}/{stem}.{kind.ending}"
    measured([sys.executable, "-c", START + kind.save, str(PICTURE), path, str(kind.side)])
    return path


def _peak(name: str, floor: float, folder: str, path: str, *more: str) -> Peak:
    words = [path, "--columns", str(COLUMNS), *more, "--out", f"{folder}/made", "--force", "--quiet"]
    run = measured(command("convert", *words))
    return Peak(name, floor, run.megabytes, run.seconds)


def main() -> None:
    print(f"{'picture of 100 megapixels':40} {'floor MB':>9} {'our MB':>7} {'seconds':>8}")
    above = []
    for peak in peaks(sys.argv[1:]):
        print(f"{peak.name:40} {peak.floor_mb:9.0f} {peak.our_mb:7.0f} {peak.seconds:8.1f}", flush=True)
        above += [peak.name] if peak.our_mb > max(MOST_MB, 1.1 * peak.floor_mb) else []
    if above:
        sys.exit(f"over {MOST_MB} MB and 1.1 times the floor: {'; '.join(above)}")


if __name__ == "__main__":
    main()
