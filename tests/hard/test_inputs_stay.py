"""Outputs never replace what is read, by whatever name, and a command that would do so is refused before any work."""

import shlex
import shutil
from pathlib import Path

import pytest
from folders import snapshot
from typer.main import get_command

from convert.cli.app import app
from convert.cli.outputs import check_apart, check_no_input
from shared.errors import BadChoiceError

COMMANDS = get_command(app)
DOME = '--raise "disc 5,5 r2"'

OVER = (
    # what lies where an output would go, and the line of words
    ("cuff.png", "own/chart.png", "convert own/chart.png --columns 5 --no-surface --out own"),
    ("map.png", "own/chart.png", "convert cuff.png --heights own/chart.png --columns 5 --no-surface --out own"),
    ("palette.csv", "own/beads.csv", "convert cuff.png --palette own/beads.csv --columns 5 --no-surface --out own"),
    ("bead_sizes.toml", "own/rows.txt", "convert cuff.png --measures own/rows.txt --columns 5 --no-surface --out own"),
    ("cuff.png", "own/cuff/chart.png", "batch own/cuff/jobs.csv --no-surface --jobs 1 --out own"),
    ("palette.csv", "own/cuff/beads.csv", "batch shelf --palette own/cuff/beads.csv --columns 5 --jobs 1 --out own"),
    ("palette.csv", "own/cuff/beads.csv", "batch own/rows-table.csv --no-surface --jobs 1 --out own"),
    ("jobs.csv", "own/report.csv", "batch own/report.csv --no-surface --jobs 1 --out own"),
    ("cuff.png", "own/colours.html", "colours own/colours.html --columns 5 --to 2 --out own"),
    ("palette.csv", "own/beads.csv", "recolour work --palette own/beads.csv --out own"),
    ("work/design.json", "own/design.json", "recolour own --swap A=#2f4a5a --out own"),
    ("palette.csv", "own/mine.csv", "beads --palette own/mine.csv --out own/mine.csv"),
    ("heaps.png", "own/heaps.png", "beads own/heaps.png --at 80,100 --out own/heaps.csv"),
    ("bead_sizes.toml", "own/stash.csv", "beads heaps.png --at 80,100 --measures own/stash.csv --out own/stash.csv"),
    ("cuff.png", "own/cuff.png", f"heights own/cuff.png {DOME} --columns 9 --out own/cuff.png"),
    ("bead_sizes.toml", "own/a.png", f"heights cuff.png {DOME} --columns 9 --measures own/a.png --out own/a.png"),
    ("work/design.json", "own/design.json", "surface own --measured-length 11mm --save-measures own/design.json"),
    ("work/design.json", "own/surface.json", "surface own/surface.json"),
    (
        "bead_sizes.toml",
        "own/l.toml",
        "surface work --measures own/l.toml --measured-length 11mm --save-measures own/l.toml",
    ),
    ("work/design.json", "own/rows.csv", "rows own/rows.csv"),
    ("typed.txt", "own/design.json", "proof own/design.json"),
    ("work/design.json", "own/design.json", "proof typed.txt --against own --out own"),
    ("work/design.json", "own/sheet.csv", "sheet own/sheet.csv"),
    ("work/design.json", "own/design.json", "sheet --read edited.csv --into own --out own"),
    ("edited.png", "own/chart.png", "sheet --read own/chart.png --into work --out own"),
    ("work/design.json", "own/lengths.csv", "lengths own/lengths.csv --sizes --wrist 165mm --out own"),
    ("work/design.json", "own/165mm.json", "lengths own/165mm.json --wrist 165mm --designs own"),
    ("palette.csv", "own/beads.csv", "shopping work --stash own/beads.csv --out own"),
    ("palette.csv", "own/beads.csv", "shopping work --palette own/beads.csv --out own"),
    ("studio.toml", "own/booklet.pdf", "booklet work --studio own/booklet.pdf --out own"),
    ("work/design.json", "own/booklet.pdf", "booklet work --colourway own/booklet.pdf --out own"),
    ("work/design.json", "own/stitch.html", "page own/stitch.html --no-surface"),
)


def test_every_command_that_may_replace_is_here():
    commands = {name: COMMANDS.get_command(None, name) for name in COMMANDS.list_commands(None)}
    able = {name for name, command in commands.items() if "--force" in str([p.opts for p in command.params])}
    assert {words.split()[0] for _, _, words in OVER} == able


@pytest.mark.parametrize(("kind", "place", "words"), OVER, ids=[words[:60] for _, _, words in OVER])
def test_an_output_is_never_an_input(kind, place, words, own_studio, capsys):
    target = own_studio / place
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(own_studio / kind, target)
    if "own/rows-table.csv" in words:
        text = "picture,columns,palette\n../cuff.png,5,cuff/beads.csv\n"
        (own_studio / "own/rows-table.csv").write_text(text, "utf-8")
    if "own/cuff/jobs.csv" in words:
        (own_studio / "own/cuff/jobs.csv").write_text("picture,name,columns\nchart.png,cuff,5\n", "utf-8")
    before = snapshot(own_studio)
    with pytest.raises(SystemExit) as ended:
        COMMANDS.main([*shlex.split(words), "--force"], "hummock")
    assert ended.value.code == 2
    told = capsys.readouterr().err
    assert told.count("\n") == 1
    assert "is read here, and the output would replace it" in told or "would replace your photograph" in told
    assert snapshot(own_studio) == before


def test_links_are_followed_both_ways(tmp_path):
    (tmp_path / "drawing.png").write_bytes(b"mine")
    (tmp_path / "link.png").symlink_to("drawing.png")
    (tmp_path / "sub").mkdir()
    for target, read in (("link.png", "drawing.png"), ("drawing.png", "link.png"), ("sub/../link.png", "link.png")):
        with pytest.raises(BadChoiceError, match="is read here"):
            check_no_input([tmp_path / target], [None, tmp_path / read])
    check_no_input([tmp_path / "new.png", tmp_path / "sub"], [None, "coast", tmp_path / "drawing.png"])


def test_outputs_are_apart(tmp_path):
    (tmp_path / "link").symlink_to(".")
    check_apart([tmp_path / "a", tmp_path / "b", tmp_path / "c" / "a"])
    for other in ("a", "link/a", "a/b", "x/../a"):
        with pytest.raises(BadChoiceError, match="in each other's place"):
            check_apart([tmp_path / "a", Path(f"{tmp_path}/{other}")])
        with pytest.raises(BadChoiceError, match="in each other's place"):
            check_apart([Path(f"{tmp_path}/{other}"), tmp_path / "a"])


@pytest.mark.parametrize(
    "words",
    [
        "surface work --measured-length 11mm --save-measures work/surface.json",
        "surface work --measured-length 11mm --out new --save-measures new",
        "surface work --measured-length 11mm --out new/in --save-measures new",
        "lengths work --sizes --wrist 165mm --out new --designs new/lengths.csv",
    ],
)
def test_outputs_of_two_kinds_do_not_meet(words, own_studio, capsys):
    before = snapshot(own_studio)
    with pytest.raises(SystemExit) as ended:
        COMMANDS.main([*shlex.split(words), "--force"], "hummock")
    assert ended.value.code == 2
    assert "in each other's place" in capsys.readouterr().err
    assert snapshot(own_studio) == before
