"""What keeps the house in order: arrows between packages, light start-up, what is shipped."""

import ast
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

TOP = Path(__file__).parents[2]
BELOW = {"shared": set(), "palettes": {"shared"}, "convert": {"shared", "palettes"}}
SLOW = ("jinja2", "sklearn", "scipy", "skimage", "jsonschema", "webcolors", "rich", "typst", "PIL", "numpy")


def imported(path):
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative imports hide the arrows"
            yield from [node.module, *(f"{node.module}.{alias.name}" for alias in node.names)]


def modules(package):
    return sorted((TOP / package).rglob("*.py"))


@pytest.mark.parametrize("package", BELOW)
def test_arrows_point_down_only(package):
    for path in modules(package):
        ours = {name.split(".")[0] for name in imported(path)} & set(BELOW)
        assert ours <= BELOW[package] | {package}, path


def test_nobody_imports_the_command_line_but_itself():
    for path in modules("convert"):
        if path.parent.name != "commands":
            assert not any(name.startswith(("convert.cli", "typer")) for name in imported(path)), path


def test_only_the_reader_and_the_painters_know_of_image_files():
    allowed = {"decode.py", "bands.py", "codes.py", "png.py", "coverage.py", "lettering.py"}
    for path in [*modules("shared"), *modules("palettes"), *modules("convert")]:
        if path.name not in allowed:
            assert not any(name.split(".")[0] == "PIL" for name in imported(path)), path


@pytest.mark.parametrize(
    "words",
    [
        ["--help"],
        ["--version"],
        *(
            [name, "--help"]
            for name in (
                *("convert", "batch", "colours", "surface", "mounds", "beads", "page", "rows", "proof", "lengths"),
                *("shopping", "sheet", "booklet", "recolour"),
            )
        ),
    ],
    ids=" ".join,
)
def test_help_loads_nothing_slow(words):
    script = (
        "import sys\nfrom convert.cli.app import main\n"
        f"sys.argv = ['hummock', *{words!r}]\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code\n"
        "print(*{name.split('.')[0] for name in sys.modules}, file=sys.stderr)\n"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert not set(run.stderr.split()) & set(SLOW)
    assert "hummock" in run.stdout.lower()


def test_files_are_short():
    long = [path for package in BELOW for path in modules(package) if len(path.read_text("utf-8").splitlines()) > 400]
    assert not long


def test_the_wheel_holds_the_three_packages_and_their_data():
    settings = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))
    assert settings["tool"]["hatch"]["build"]["targets"]["wheel"]["packages"] == sorted(BELOW)
    for data in (
        "shared/bead_sizes.toml",
        "shared/design.schema.json",
        "convert/review/page.html",
        "convert/documents/bench/page.html",
        "convert/documents/booklet/booklet.typ",
        "convert/batch/sheet.html",
    ):
        assert (TOP / data).is_file()


def test_the_top_level_is_as_agreed():
    tracked = subprocess.run(
        [shutil.which("git") or "git", "ls-files"], cwd=TOP, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    top = {name.split("/")[0] for name in tracked if name}
    agreed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "LICENSE", "CHANGELOG.md", "tests", "samples", *BELOW}
    assert {name for name in top if not name.startswith(".")} == agreed
