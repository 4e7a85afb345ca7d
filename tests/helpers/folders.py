"""Folders for tests of writing: what goes in, and what is there."""

import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

from convert.files import place
from shared.errors import BadFileError

OUTPUTS = {"design.json": b"{}\n", "chart.svg": b"<svg/>", "rows.txt": b"1+2 > 3: 3 A\n", "beads.csv": b"key\r\n"}


def snapshot(folder):
    """Everything below a folder, hidden or not: kind, permissions, and content or where a link leads."""
    seen = {}
    for path in sorted(folder.rglob("*")):
        name, mode = str(path.relative_to(folder)), stat.S_IMODE(path.lstat().st_mode)
        if path.is_symlink():
            seen[name] = ("link", str(path.readlink()))
        elif path.is_dir():
            seen[name] = ("folder", mode)
        else:
            seen[name] = ("file", mode, path.read_bytes())
    return seen


def contents(folder, *, hidden=True, but=()):
    """The files in a folder, but for some; without hidden files and folders if so wanted."""
    paths = [path for path in folder.iterdir() if path.name not in but and (hidden or not path.name.startswith("."))]
    return {path.name: path.read_bytes() for path in paths}


def fill(folder, *, force=True):
    """A folder with a file of somebody else's and, to be replaced, older outputs, one a link to a file elsewhere."""
    out, elsewhere = folder / "out", folder / "elsewhere"
    out.mkdir(parents=True)
    elsewhere.mkdir()
    (elsewhere / "chart.svg").write_bytes(b"old chart")
    (out / "notes.txt").write_bytes(b"mine")
    if force:
        (out / "chart.svg").symlink_to(elsewhere / "chart.svg")
        (out / "design.json").write_bytes(b"old design")
        (out / "design.json").chmod(0o640)
    return out


def placed(folder, *, force):
    """Place the outputs; return what was told if that failed."""
    try:
        place(OUTPUTS, folder, force=force)
    except BadFileError as error:
        return str(error)
    except KeyboardInterrupt:
        return f"{folder}: interrupted"
    return ""


_KILLED = """
import os, signal, sys
from pathlib import Path
from convert import drafts, files
folder, outputs, left, wait = Path(sys.argv[1]), *map(eval, sys.argv[2:])
note = drafts.note_move
def stop(journal, name, draft, *, replaces):
    global left
    note(journal, name, draft, replaces=replaces)
    left -= 1
    if left < 0:
        print("here", flush=True)
        sys.stdin.read() if wait else signal.raise_signal(signal.SIGKILL)
files.note_move = stop
files.place(outputs, folder, force=True)
"""


def killed_midway(folder, outputs, moved, *, wait=False):
    """Start a process that is killed, or waits, when n files are moved into a folder and the next is noted."""
    command = [sys.executable, "-c", _KILLED, str(folder), repr(outputs), str(moved), str(wait)]
    env = os.environ | {"PYTHONPATH": str(Path(__file__).parents[2])}
    run = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, env=env)
    assert run.stdout.readline() == b"here\n"
    if not wait:
        run.communicate()
        assert run.returncode == -signal.SIGKILL
    return run
