"""What the fuzzer found, each made small: a value or our own error, and at once."""

import struct
import subprocess
import sys
import time
import zlib
from pathlib import Path

import pytest
from bad_input_files import DESIGN
from picture_oracle import encoded
from PIL import Image
from readers import READERS, parse_length_mm

from convert.cli.parameters import parse_drop
from convert.documents.edit_sheet.png import sheet_png
from convert.relief.dome_syntax import parse_dome
from shared.errors import BadChoiceError, HummockError

DIGITS = "9" * 5000
LONG = "9" * 100_000
PALETTE = "name,size,colour,grams\nkelp,all,#2f5a3a,"


@pytest.mark.parametrize(
    ("reader", "data"),
    [
        ("palette", f"GIMP Palette\n{DIGITS} 0 0 kelp\n"),
        ("palette", f"{PALETTE}{LONG}x\n"),
        ("measures", f"[gauge]\nbending = {DIGITS}\n"),
        ("measures", "a = " + "[" * 5000),
        ("studio", f"name = {DIGITS}\n"),
    ],
)
def test_what_was_found_in_files_is_refused(reader, data):
    assert not READERS[reader].law(data.encode())


def test_a_height_of_thousands_of_digits_is_refused():
    with pytest.raises(BadChoiceError):
        parse_dome(f"disc 5,5 r2 h{DIGITS}")


def gif_of_a_large_frame():
    """A picture of 12 x 9 pixels by its header, whose first frame has 65,000 x 65,000."""
    data = bytearray(encoded(Image.new("P", (12, 9), 1), "GIF"))
    place = data.index(b"\x2c") + 5
    data[place : place + 4] = struct.pack("<HH", 65_000, 65_000)
    return bytes(data)


def test_a_frame_beyond_its_picture_takes_no_memory():
    """It took gigabytes before anything was decoded."""
    code = "import resource, sys; from convert.image.decode import Source, read_header\n"
    code += "from shared.errors import BadFileError\n"
    code += "resource.setrlimit(resource.RLIMIT_AS, (2**31, 2**31))\n"
    code += "try: read_header(Source('eel.gif', sys.stdin.buffer.read()), max_pixels=10**6)\n"
    code += "except BadFileError as error: print(error)\n"
    home = str(Path(__file__).parents[2])
    run = subprocess.run(
        [sys.executable, "-c", code], input=gif_of_a_large_frame(), capture_output=True, cwd=home, check=True
    )
    assert b"eel.gif: has a frame of far more pixels than the limit" in run.stdout


def test_a_sheet_that_states_many_pixels_is_refused_without_a_warning():
    data = bytearray(sheet_png(DESIGN))
    data[16:24] = struct.pack(">II", 12_000, 10_000)
    data[29:33] = struct.pack(">I", zlib.crc32(data[12:29]))
    assert not READERS["painted"].law(bytes(data))


def test_a_drop_may_have_odd_blanks_about_it():
    assert parse_drop("2\x1d") == 2


@pytest.mark.parametrize("words", [f"{LONG}?", f"1{' ' * len(LONG)}?"])
def test_time_to_refuse_a_length_grows_with_its_letters_only(words):
    """A pattern that tries every way to part the digits took minutes."""
    begun = time.perf_counter()
    with pytest.raises(HummockError):
        parse_length_mm(words)
    assert time.perf_counter() - begun < 2
