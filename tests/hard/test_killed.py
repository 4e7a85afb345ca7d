"""The plug is pulled while outputs are written: every file is an old one or a new one, whole, and all are mended."""

import shutil
import subprocess
import sys
import time
import warnings
from itertools import count
from pathlib import Path

import numpy as np
import pytest
from folders import contents, killed_midway
from PIL import Image
from typer.testing import CliRunner

from convert.cli.app import app
from convert.drafts import ROOM, mend
from convert.files import place
from convert.pattern_files import NAMES

ROOT = Path(__file__).parents[2]
SIZES = {"design.json": 300_000, "chart.svg": 900_000, "rows.txt": 20_000, "beads.csv": 2_000}
VERSIONS = [{name: bytes([65 + version]) * size for name, size in SIZES.items()} for version in range(2)]

NOTES = {"notes.txt": b"mine"}
FOLDERS = {"out": {}, "shared": NOTES, "linked": NOTES}
"""Folders whose files are replaced again and again, and what else is in each; the last is a link to a folder."""

WRITER = """
import os, sys
from itertools import count
from pathlib import Path
from convert.files import place
home, sizes, folders, notes = Path(sys.argv[1]), *map(eval, sys.argv[2:])
os.fsync = lambda _: None  # what is killed is the process, not the disk; so most of the time goes into moves
versions = [{name: bytes([65 + version]) * size for name, size in sizes.items()} for version in range(2)]
for turn in count():
    for folder in folders:
        place(versions[turn % 2], home / folder, force=True)
    place(notes, home / f"added-{turn}", force=False)
    for folder in ("added", "new"):
        place(versions[turn % 2], home / f"{folder}-{turn}", force=False)
    if turn == 0:
        print("writing", flush=True)
"""
IN_PLACE = WRITER.replace(
    "from convert.files import place",
    "def place(files, folder, force):\n"
    "    folder.mkdir(exist_ok=True)\n"
    "    [(folder / name).write_bytes(content) for name, content in files.items()]",
)

STEPPER = """
import os, signal, sys
from itertools import count
from pathlib import Path
from convert.files import place
home, force, old, new = Path(sys.argv[1]), *map(eval, sys.argv[2:])
os.fsync = lambda _: None
def write(folder, step):
    steps = iter(range(step))
    sys.addaudithook(lambda *_: next(steps, None) is None and signal.raise_signal(signal.SIGKILL))
    place(new, folder, force=force)
    os._exit(0)
for step in count():
    (home / str(step)).mkdir()
    folder = home / str(step) / "out"
    if old:
        place(old, folder, force=False)
    child = os.fork() or write(folder, step)
    if os.waitpid(child, 0)[1] == 0:
        break
"""


def killed(writer, home, seconds):
    """Let a process write for so long, after its first round, and pull the plug."""
    words = [str(home), *map(repr, (SIZES, tuple(FOLDERS), NOTES))]
    command = [sys.executable, "-S", "-c", writer, *words]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, env={"PYTHONPATH": str(ROOT)})
    assert process.stdout.readline() == b"writing\n"
    time.sleep(seconds)
    process.kill()
    _, told = process.communicate()
    assert told == b""
    assert process.returncode == -9


def mended(folder):
    """Mend a folder; whether that was told of."""
    with warnings.catch_warnings(record=True) as told:
        warnings.simplefilter("always")
        mend(folder)
    return bool(told)


def torn(home):
    """The folders that hold neither all of one version nor, where they are new, nothing of any."""
    wanted = {name: [version | others for version in VERSIONS] for name, others in FOLDERS.items()}
    wanted |= {folder.name: [NOTES, *(version | NOTES for version in VERSIONS)] for folder in home.glob("added-*")}
    wanted |= {folder.name: VERSIONS for folder in home.glob("new-*")}
    return {name for name, versions in wanted.items() if contents(home / name, hidden=False) not in versions}


def made_home(home):
    (home / "real").mkdir(parents=True)
    (home / "linked").symlink_to(home / "real")
    for name, others in FOLDERS.items():
        place(others, home / name, force=False)
    return home


def kill_often(home, times):
    """Return how many folders were found torn, and mended."""
    rng = np.random.default_rng(9)
    made_home(home)
    found = 0
    for version in range(times):
        killed(WRITER, home, rng.uniform(0, 0.02))
        before = {(home / name).resolve() for name in torn(home)}
        told = {folder.resolve() for folder in home.iterdir() if mended(folder)}
        found += len(before)
        assert before <= told
        assert torn(home) == set()
        for name, others in FOLDERS.items():
            place(VERSIONS[version % 2], home / name, force=True)
            assert contents(home / name, hidden=False) == VERSIONS[version % 2] | others
        for folder in [*home.glob("new-*"), *home.glob("added-*")]:
            shutil.rmtree(folder)
    mend(home)
    assert not list(home.rglob(f"{ROOM}*/*"))
    return found


def test_kills_leave_whole_files_that_are_mended(tmp_path):
    kill_often(tmp_path / "home", 8)


@pytest.mark.outside
def test_two_hundred_kills_leave_whole_files_that_are_mended(tmp_path):
    assert kill_often(tmp_path / "home", 200) > 5


@pytest.mark.parametrize("old", [VERSIONS[0] | NOTES, NOTES, {}], ids=["replaced", "added", "new folder"])
def test_a_kill_at_any_step_leaves_whole_files_that_are_mended(tmp_path, old):
    """The plug is pulled before the first, second, third … call of the operating system, until the process ends."""
    before = {name: content[:9] for name, content in old.items()}
    new = {name: content[:9] for name, content in VERSIONS[1].items()}
    words = [str(tmp_path), repr(VERSIONS[0].keys() <= old.keys()), repr(before), repr(new)]
    run = subprocess.run([sys.executable, "-S", "-c", STEPPER, *words], env={"PYTHONPATH": str(ROOT)}, check=True)
    assert run.returncode == 0
    steps, mixed = len(list(tmp_path.iterdir())), 0
    for step in range(steps):
        out = tmp_path / str(step) / "out"
        found = contents(out, hidden=False) if out.exists() else {}
        for name, content in found.items():
            assert content in (before.get(name), new.get(name))
        told = mended(out)
        mended(out.parent)
        after = contents(out, hidden=False) if out.exists() else {}
        assert after in (before, before | new)
        if found not in (before, before | new):
            mixed += 1
            assert told
            assert after == before
        assert not list(out.parent.rglob(f"{ROOM}*/*"))
    assert after == found == before | new
    assert steps > 15
    assert mixed >= (len(SIZES) - 1 if old else 0)


@pytest.mark.outside
def test_files_that_are_written_in_place_are_found_torn(tmp_path):
    """The check itself: it is sharp enough to see what it looks for."""
    rng = np.random.default_rng(9)
    for turn in count():
        assert turn < 200, "no kill came in the middle of writing"
        home = made_home(tmp_path / str(turn))
        killed(IN_PLACE, home, rng.uniform(0, 0.03))
        if torn(home) & FOLDERS.keys():
            break


@pytest.mark.parametrize(
    ("words", "status"), [("rows out --out elsewhere", 0), ("convert cuff.png --columns 5 --no-surface --out out", 2)]
)
def test_the_next_command_that_opens_the_folder_says_it_and_mends_it(tmp_path, monkeypatch, words, status):
    """Whether it reads it, or is to write into it and is refused."""
    monkeypatch.chdir(tmp_path)
    Image.fromarray(np.random.default_rng(1).integers(0, 256, (60, 40, 3), dtype=np.uint8)).save("cuff.png")
    make = "convert cuff.png --columns 5 --no-surface --out out"
    assert CliRunner().invoke(app, make).exit_code == 0
    before = contents(tmp_path / "out")
    killed_midway(tmp_path / "out", dict.fromkeys(NAMES, b"new"), 2)
    assert contents(tmp_path / "out", hidden=False) != before
    told = CliRunner().invoke(app, words)
    assert told.exit_code == status
    assert told.stderr.startswith("hummock: out: a run was killed while it replaced design.json, chart.svg; ")
    assert told.stderr.count("\n") == (1 if status == 0 else 2)
    assert contents(tmp_path / "out") == before
