"""The plug is pulled while outputs are written: all are the old ones or all are the new ones, whole."""

import os
import shutil
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

NOTES = {"notes.txt": b"mine"}
FOLDERS = {"out": {}, "shared": NOTES, "linked": NOTES}
"""Folders whose files are replaced again and again, and what else is in each; the last is a link to a folder."""

WRITER = """
import sys
from itertools import count
from pathlib import Path
from convert.files import place
home, sizes, folders, notes = Path(sys.argv[1]), *map(eval, sys.argv[2:])
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
MOVES = "import convert.files\nconvert.files.may_exchange = lambda *_: False\n"
ONE_BY_ONE = MOVES + "import os\nos.fsync = lambda _: None\n" + WRITER  # so that most of the time goes into moves
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
os.fsync = lambda _: None  # what is killed is the process, not the disk
def write(folder, step):
    steps = iter(range(step))
    sys.addaudithook(lambda *_: next(steps, None) is None and signal.raise_signal(signal.SIGKILL))
    place(new, folder, force=force)
    os._exit(0)
for step in count():
    folder = home / str(step)
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


needs_exchange = pytest.mark.skipif(sys.platform != "linux", reason="only Linux exchanges folders")


def kill_often(home, times):
    rng = np.random.default_rng(9)
    made_home(home)
    for version in range(times):
        killed(WRITER, home, rng.uniform(0, 0.03))
        assert torn(home) == set()
        for name, others in FOLDERS.items():
            place(VERSIONS[version % 2], home / name, force=True)
            assert contents(home / name) == VERSIONS[version % 2] | others
        for folder in [*home.glob("new-*"), *home.glob("added-*")]:
            shutil.rmtree(folder)


@needs_exchange
def test_a_few_kills_leave_all_files_of_one_version(tmp_path):
    kill_often(tmp_path / "home", 5)


def killed_at_each_step(stepper, home, *, force):
    """What folders hold when the plug is pulled before the first, second, third … call of the operating system.

    Of small files, beside one of somebody else's, and of old ones if they are to be replaced. The last folder is
    that of a process which came to its end.
    """
    old, new = ({name: content[:9] for name, content in version.items()} for version in VERSIONS)
    before = NOTES | (old if force else {})
    home.mkdir()
    words = [str(home), *map(repr, (force, before, new))]
    command = [sys.executable, "-S", "-c", stepper, *words]
    told = subprocess.run(command, env={"PYTHONPATH": str(ROOT)}, capture_output=True, check=True)
    assert told.stderr == b""
    found = [contents(home / str(step), hidden=False) for step in range(len(list(home.glob("[0-9]*"))))]
    assert found[0] == before
    assert found[-1] == before | new
    return found


@needs_exchange
@pytest.mark.parametrize("force", [True, False])
def test_a_kill_at_any_step_leaves_all_files_of_one_version(tmp_path, force):
    """The same of moves one by one is not so: a check of the check, and why the folder is exchanged."""
    found = killed_at_each_step(STEPPER, tmp_path / "exchanged", force=force)
    assert len(found) > 30
    assert [content for content in found if content not in (found[0], found[-1])] == []
    moved = killed_at_each_step(MOVES + STEPPER, tmp_path / "moved", force=force)
    assert len([content for content in moved if content not in (moved[0], moved[-1])]) >= len(SIZES) - 1


@pytest.mark.outside
@needs_exchange
def test_two_hundred_kills_leave_all_files_of_one_version(tmp_path):
    """What they leave beside the folders shows that many came in the middle."""
    home = tmp_path / "home"
    kill_often(home, 200)
    assert len(list(home.glob(".hummock-*"))) > 50


def test_what_a_killed_run_left_is_swept_up_a_day_later(tmp_path):
    yesterday = time.time() - 25 * 3600
    for name, age in ((".hummock-old", yesterday), (".hummock-new", time.time()), (".hummus", yesterday)):
        (tmp_path / name / "draft").mkdir(parents=True)
        os.utime(tmp_path / name, (age, age))
    place(VERSIONS[0], tmp_path, force=False)
    assert {path.name for path in tmp_path.iterdir()} == {".hummock-new", ".hummus", *SIZES}


@pytest.mark.outside
@pytest.mark.parametrize("writer", [IN_PLACE, ONE_BY_ONE], ids=["in place", "one by one"])
def test_files_that_are_written_otherwise_are_found_torn(tmp_path, writer):
    """The check itself: it is sharp enough to see what it looks for."""
    rng = np.random.default_rng(9)
    for turn in count():
        assert turn < 200, "no kill came in the middle of writing"
        home = made_home(tmp_path / str(turn))
        killed(writer, home, rng.uniform(0, 0.03))
        if torn(home) & FOLDERS.keys():
            break
