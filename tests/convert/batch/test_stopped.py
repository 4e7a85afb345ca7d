"""A batch that is ended, or stopped by an impatient hand, tidies up, says one sentence, and leaves no process."""

import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.batch.marker import MARKER
from convert.cli.app import app
from convert.pattern_files import NAMES

SCRIPT = Path(sys.executable).with_name("hummock")
PICTURES = 40


def ended(run):
    run.terminate()


def stopped_again_and_again(run):
    """As at a terminal, where all processes hear of it."""
    while run.poll() is None:
        os.killpg(run.pid, signal.SIGINT)
        time.sleep(0.1)


needs_proc = pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks for processes in /proc")


def start_batch(home, pictures):
    """Start a batch with two processes, in a session of its own; return it and its command."""
    folder, out = home / "pool", home / "all"
    folder.mkdir()
    for seed in range(pictures):
        areas = np.random.default_rng(seed).integers(0, 256, (30, 20, 3), dtype=np.uint8)
        Image.fromarray(areas.repeat(10, axis=0).repeat(10, axis=1)).save(folder / f"shell-{seed:02d}.png")
    command = [str(SCRIPT), "batch", str(folder), "--columns", "19", "--jobs", "2", "--out", str(out)]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True)
    return run, command


def wait_until(true, run, seconds=60):
    last = time.monotonic() + seconds
    while not true() and run.poll() is None and time.monotonic() < last:
        time.sleep(0.01)
    assert true()


@needs_proc
@pytest.mark.parametrize(("stop", "early"), [(ended, False), (stopped_again_and_again, True)])
def test_it_tidies_up_in_one_sentence(tmp_path, stop, early):
    run, _ = start_batch(tmp_path, PICTURES)
    out = tmp_path / "all"
    wait_until(lambda: len(alive(run.pid)) > 2 and (early or len(list(out.glob("*/batch.json"))) > 1), run)
    stop(run)
    words, complaint = run.communicate(timeout=30)
    assert run.returncode == 130
    assert words == ""
    assert complaint == "hummock: stopped; what was not finished is as it was before\n"
    assert gone_within(2, run.pid)
    made = {path.parent.name for path in out.glob("*/batch.json")}
    assert len(made) < PICTURES
    if not early:
        told = (out / "contact-sheet.html").read_text("utf-8")
        assert f"{len(made)} made" in told or f"{len(made) - 1} made" in told  # the last may not have been noted


@needs_proc
def test_a_batch_that_is_killed_leaves_no_process_and_whole_folders_and_is_taken_up_again(tmp_path):
    run, command = start_batch(tmp_path, 9)
    out = tmp_path / "all"
    wait_until(lambda: len(list(out.glob("*/batch.json"))) > 1, run)
    assert len(alive(run.pid)) > 2
    run.kill()
    run.wait()
    assert gone_within(2, run.pid)
    run.communicate()
    made = {path.parent.name for path in out.glob("*/batch.json")}
    assert 2 <= len(made) < 9
    assert all({path.name for path in (out / name).iterdir()} == {*NAMES, MARKER} for name in made)
    told = CliRunner().invoke(app, ["batch", *command[2:-4], "--jobs", "1", "--out", str(out)])
    assert told.exit_code == 0
    assert f"9 pictures: {9 - len(made)} made, {len(made)} kept from before" in told.stdout


def gone_within(seconds, group):
    last = time.monotonic() + seconds
    while alive(group) and time.monotonic() < last:
        time.sleep(0.01)
    return not alive(group)


def alive(group):
    """The numbers of the processes of a group that still do something."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            number, rest = stat.parent.name, stat.read_text().rpartition(")")[2].split()
            found += [int(number)] if int(rest[2]) == group and rest[0] not in "ZX" else []
    return found


def test_who_stops_what_is_done_already_changes_nothing():
    """Python itself needs a moment to end; nothing is left to be stopped then."""
    late = "import atexit, os, signal; atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))"
    code = f"{late}; from convert.cli.app import main; main()"
    run = subprocess.run([sys.executable, "-c", code, "--version"], capture_output=True, text=True, check=False)
    assert run.stdout.startswith("hummock ")
    assert (run.returncode, run.stderr) == (0, "")
