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

SCRIPT = Path(sys.executable).with_name("hummock")
PICTURES = 40


def ended(run):
    run.terminate()


def stopped_again_and_again(run):
    """As at a terminal, where all processes hear of it."""
    while run.poll() is None:
        os.killpg(run.pid, signal.SIGINT)
        time.sleep(0.1)


@pytest.mark.skipif(not Path("/proc/self/stat").exists(), reason="looks for processes as Linux tells of them")
@pytest.mark.parametrize(("stop", "early"), [(ended, False), (stopped_again_and_again, True)])
def test_it_tidies_up_in_one_sentence(tmp_path, stop, early):
    folder, out = tmp_path / "pool", tmp_path / "all"
    folder.mkdir()
    for seed in range(PICTURES):
        areas = np.random.default_rng(seed).integers(0, 256, (30, 20, 3), dtype=np.uint8)
        Image.fromarray(areas.repeat(10, axis=0).repeat(10, axis=1)).save(folder / f"shell-{seed:02d}.png")
    command = [str(SCRIPT), "batch", str(folder), "--columns", "19", "--jobs", "2", "--out", str(out)]
    run = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True)
    while not (len(alive(run.pid)) > 2 if early else len(list(out.glob("*/batch.json"))) > 1) and run.poll() is None:
        time.sleep(0.01)
    assert len(alive(run.pid)) > 2
    stop(run)
    words, complaint = run.communicate(timeout=30)
    assert run.returncode == 130
    assert words == ""
    assert complaint.splitlines()[-1] == "hummock: stopped; what was not finished is as it was before"
    assert "Traceback" not in complaint
    assert "Warning" not in complaint
    last = time.monotonic() + 10
    while alive(run.pid) and time.monotonic() < last:
        time.sleep(0.01)
    assert alive(run.pid) == []
    made = {path.parent.name for path in out.glob("*/batch.json")}
    assert len(made) < PICTURES
    if not early:
        told = (out / "contact-sheet.html").read_text("utf-8")
        assert f"{len(made)} made" in told or f"{len(made) - 1} made" in told  # the last may not have been noted


def alive(group):
    """The numbers of the processes of a group that still do something."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):
            number, rest = stat.parent.name, stat.read_text().rpartition(")")[2].split()
            found += [int(number)] if int(rest[2]) == group and rest[0] not in "ZX" else []
    return found


def test_who_stops_what_is_done_already_changes_nothing():
    """Python itself needs a moment to end, and joblib in it; nothing is left to be stopped then."""
    late = "import atexit, os, signal; atexit.register(lambda: os.kill(os.getpid(), signal.SIGINT))"
    code = f"{late}; from convert.cli.app import main; main()"
    run = subprocess.run([sys.executable, "-c", code, "--version"], capture_output=True, text=True, check=False)
    assert run.stdout.startswith("hummock ")
    assert (run.returncode, run.stderr) == (0, "")
