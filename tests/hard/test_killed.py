"""The plug is pulled while outputs are written: each file is the old one or the new one, whole."""

import os
import subprocess
import sys
import time
from itertools import count
from pathlib import Path

import numpy as np
import pytest
from folders import contents

from convert.files import place

ROOT = Path(__file__).parents[2]
SIZES = {"design.json": 300_000, "chart.svg": 900_000, "rows.txt": 20_000, "beads.csv": 2_000}
VERSIONS = [{name: bytes([65 + version]) * size for name, size in SIZES.items()} for version in range(2)]

WRITER = """
import sys
from itertools import count
from pathlib import Path
from convert.files import place
home, sizes = Path(sys.argv[1]), eval(sys.argv[2])
versions = [{name: bytes([65 + version]) * size for name, size in sizes.items()} for version in range(2)]
for turn in count():
    place(versions[turn % 2], home / "out", force=True)
    place(versions[turn % 2], home / f"new-{turn}", force=False)
    if turn == 0:
        print("writing", flush=True)
"""
IN_PLACE = WRITER.replace(
    "from convert.files import place",
    "def place(files, folder, force):\n"
    "    folder.mkdir(exist_ok=True)\n"
    "    [(folder / name).write_bytes(content) for name, content in files.items()]",
)


def killed(writer, home, seconds):
    """Let a process write for so long, after its first round, and pull the plug."""
    command = [sys.executable, "-S", "-c", writer, str(home), repr(SIZES)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={"PYTHONPATH": str(ROOT)})
    assert process.stdout.readline() == b"writing\n"
    time.sleep(seconds)
    process.kill()
    _, told = process.communicate()
    assert told == b""
    assert process.returncode == -9


def torn(home):
    """What is neither the old nor the new version: files of ``out``, and whole folders that are new."""
    bad = [name for name, content in contents_of(home / "out").items() if content not in [v[name] for v in VERSIONS]]
    return bad + [folder.name for folder in home.glob("new-*") if contents(folder) not in VERSIONS]


def contents_of(folder):
    """The outputs in a folder, without the hidden folders that a killed process leaves."""
    return {name: (folder / name).read_bytes() for name in SIZES}


def kill_often(home, times):
    rng = np.random.default_rng(9)
    home.mkdir()
    for version in range(times):
        killed(WRITER, home, rng.uniform(0, 0.03))
        assert torn(home) == []
        place(VERSIONS[version % 2], home / "out", force=True)
        assert contents_of(home / "out") == VERSIONS[version % 2]
        for folder in home.glob("new-*"):
            for file in folder.iterdir():
                file.unlink()
            folder.rmdir()


def test_a_few_kills_leave_whole_files(tmp_path):
    kill_often(tmp_path / "home", 8)


@pytest.mark.outside
def test_two_hundred_kills_leave_whole_files(tmp_path):
    """What they leave beside them shows that many came in the middle."""
    home = tmp_path / "home"
    kill_often(home, 200)
    left = [*home.glob(".hummock-*"), *(home / "out").glob(".hummock-*")]
    assert len(left) > 50


def test_what_a_killed_run_left_is_swept_up_a_day_later(tmp_path):
    yesterday = time.time() - 25 * 3600
    for name, age in ((".hummock-old", yesterday), (".hummock-new", time.time()), (".hummus", yesterday)):
        (tmp_path / name / "draft").mkdir(parents=True)
        os.utime(tmp_path / name, (age, age))
    place(VERSIONS[0], tmp_path, force=False)
    assert {path.name for path in tmp_path.iterdir()} == {".hummock-new", ".hummus", *SIZES}


@pytest.mark.outside
def test_files_that_are_written_in_place_are_found_torn(tmp_path):
    """The check itself: it is sharp enough to see what it looks for."""
    rng = np.random.default_rng(9)
    for turn in count():
        assert turn < 200, "no kill came in the middle of writing"
        home = tmp_path / str(turn)
        home.mkdir()
        killed(IN_PLACE, home, rng.uniform(0, 0.03))
        if torn(home):
            break
