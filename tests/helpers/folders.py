"""Folders for tests of writing: what goes in, and what is there."""

import stat

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
