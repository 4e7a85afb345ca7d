"""What keeps the house in order: arrows between packages, light start-up, what is shipped."""

import ast
import shutil
import subprocess
import sys
import tomllib
from functools import cache
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
BELOW = {"shared": set(), "palettes": {"shared"}, "convert": {"shared", "palettes"}}
SLOW = ("jinja2", "sklearn", "scipy", "skimage", "jsonschema", "webcolors", "rich", "typst", "PIL", "numpy")


@cache
def imported(path):
    names = []
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative imports hide the arrows"
            names += [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]
    return names


def modules(package):
    return sorted((TOP / package).rglob("*.py"))


@pytest.mark.parametrize("package", BELOW)
def test_arrows_point_down_only(package):
    for path in modules(package):
        ours = {name.split(".")[0] for name in imported(path)} & set(BELOW)
        assert ours <= BELOW[package] | {package}, path


STAGES = ("image", "layout", "cells", "relief", "colouring", "surface")
"""Rooms of the pipeline: each may import those before it."""

WRITERS = ("rows", "chart", "shopping", "documents")
"""Rooms that write: each may import those before it, and what a surface is; of other stages nothing."""

TOLD = {"documents": {"colouring"}}
"""Stages that a room tells of: the review of colours says which numbers of colours were tried, and which is taken."""

EVERYWHERE = {"progress", "text_table"}
"""Modules of convert/ that any room may import."""

FREE = {
    "options",
    "pipeline",
    "memo",
    "pattern",
    "pattern_files",
    "finished_length",
    "files",
    "drafts",
    "design_input",
    "batch",
    "cli",
}
"""What composes the rooms: it may import any of them."""


def room_of(module):
    """The room of a module of convert/, or its own name where it stands by itself."""
    return module.split(".")[1] if module.startswith("convert.") else None


def allowed_rooms(room):
    """What a room may import."""
    before = STAGES[: STAGES.index(room)] if room in STAGES else ("surface", *WRITERS[: WRITERS.index(room)])
    return {room, *before, *TOLD.get(room, ()), *EVERYWHERE}


@pytest.mark.parametrize("room", [*STAGES, *WRITERS])
def test_arrows_between_rooms_point_down_only(room):
    for path in sorted((TOP / "convert" / room).rglob("*.py")):
        rooms = {room_of(name) for name in imported(path)} - {None}
        assert rooms <= allowed_rooms(room), (path, rooms - allowed_rooms(room))


def test_every_room_is_known():
    there = {path.stem for path in (TOP / "convert").iterdir() if path.suffix == ".py" or path.is_dir()}
    assert there - {"__init__", "__pycache__"} == {*STAGES, *WRITERS, *EVERYWHERE, *FREE}


def test_nobody_imports_the_command_line_but_itself():
    for path in modules("convert"):
        if path.parent.name != "cli":
            assert not any(name.startswith(("convert.cli", "typer")) for name in imported(path)), path


def test_choices_are_light():
    """The command line knows every choice without loading a stage."""
    for path in (TOP / "convert").rglob("choices.py"):
        assert not {name.split(".")[0] for name in imported(path)} & {*SLOW}, path


def test_only_the_reader_and_the_painters_know_of_image_files():
    allowed = {"decode.py", "colour_profile.py", "png.py", "coverage.py", "typeface.py", "part.py", "stash.py"}
    for path in [*modules("shared"), *modules("palettes"), *modules("convert")]:
        if path.name not in allowed:
            assert not any(name.split(".")[0] == "PIL" for name in imported(path)), path


def test_help_loads_nothing_slow():
    """Of any command, of all of them, and the version."""
    script = (
        "import sys\nfrom convert.cli.app import EXAMPLES, main\n"
        "for words in (['--help'], ['--version'], *([name, '--help'] for name in EXAMPLES)):\n"
        "    sys.argv = ['hummock', *words]\n"
        "    try:\n        main()\n    except SystemExit as end:\n        assert not end.code\n"
        "print(*{name.split('.')[0] for name in sys.modules}, file=sys.stderr)\n"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert not set(run.stderr.split()) & set(SLOW)
    assert run.stdout.count("Usage: hummock") == 15


def test_files_are_short():
    long = [path for package in BELOW for path in modules(package) if len(path.read_text("utf-8").splitlines()) > 400]
    assert not long


def test_the_wheel_holds_the_three_packages_and_their_data():
    settings = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))
    assert settings["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"] == sorted(BELOW)
    for data in (
        "shared/bead_sizes.toml",
        "shared/design.schema.json",
        "convert/documents/colour_review/page.html",
        "convert/documents/stitch_page/page.html",
        "convert/documents/booklet/booklet.typ",
        "convert/batch/contact_sheet.html",
    ):
        assert (TOP / data).is_file()


def test_the_top_level_is_as_agreed():
    tracked = subprocess.run(
        [shutil.which("git") or "git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    top = {name.split("/")[0] for name in tracked if name}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "CHANGELOG.md", "tests", "samples", *BELOW}
    assert {name for name in top if not name.startswith(".")} == agreed
