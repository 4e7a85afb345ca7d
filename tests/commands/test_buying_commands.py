"""``hummock lengths``, ``hummock shopping`` and ``hummock sheet``."""

import csv

import numpy as np
import pytest
from PIL import Image
from strategies import SIZES, bead_of
from typer.testing import CliRunner

from convert.cli.app import app
from convert.design_input import read_design
from convert.pattern_files import NAMES
from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


@pytest.fixture
def ripples(tmp_path):
    """A flat strip, 9 wide, with a stripe in every ten rows."""
    grid = Grid(9, 60)
    design = Design("Ripples", grid, SIZES, (bead_of(0, 0), bead_of(1, 0)), ((grid.row_of - 1) % 10 < 3).astype(int))
    folder = tmp_path / "ripples"
    folder.mkdir()
    (folder / "design.json").write_text(design_text(design), "utf-8")
    return folder


def table(path):
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def test_a_wrist_in_mm_and_in_inches_gives_the_same(ripples):
    """6.5 in is 165.1 mm; 165.1 + 20 - 20 holds (165.1 - 0.8) / 8 = 20.5 rounds of ten rows."""
    told = hummock("lengths", ripples, "--wrist", "6.5in")
    assert told.exit_code == 0, told.output
    assert told.output == hummock("lengths", ripples, "--wrist", "165.1mm").output
    assert "200 rows (20 repeats)" in told.output
    assert "finished 160.8 mm (6.33 in), 4.3 mm (0.17 in) left over" in told.output
    inches = hummock("lengths", ripples, "--wrist", "165.1 mm", "--units", "in").output
    assert " mm" not in inches.replace("mm wrist", "")


def test_sizes_write_a_table_and_a_design_for_each(ripples, tmp_path):
    words = ["--sizes", "--designs", tmp_path / "each", "--pack", "5g", "--ease", "loose", "--clasp", "0mm"]
    told = hummock("lengths", ripples, *words)
    assert told.exit_code == 0, told.output
    assert "Anthropometric Survey" in told.output
    rows = table(tmp_path / "ripples-lengths" / "lengths.csv")
    files = sorted((tmp_path / "each").iterdir())
    assert len(rows) == len(files) == 10
    for row in rows:
        design = read_design(tmp_path / "each" / f"{row['size'].lower().replace(' ', '-')}.json")
        assert (design.grid.rows, design.grid.count) == (int(row["rows"]), int(row["beads"]))
        assert float(row["beadwork mm"]) == float(row["wrist mm"]) + 30
        assert design.title == f"Ripples, {row['size']}"
        assert int(row["packs"]) == 2
    assert hummock("lengths", ripples, *words).exit_code == 2
    own = hummock("lengths", ripples, "--sizes", "--wrist", "180mm", "--wrist", "7in", "--out", tmp_path / "own")
    assert own.exit_code == 0, own.output
    assert [row["size"] for row in table(tmp_path / "own" / "lengths.csv")] == ["177.8 mm wrist", "180 mm wrist"]


def test_a_wrist_that_is_too_small_leaves_the_other_rows(ripples, tmp_path):
    words = ("--wrist", "20mm", "--clasp", "38mm")
    told = hummock(
        "lengths",
        ripples,
        *words,
        "--sizes",
        "--wrist",
        "165mm",
        "--out",
        tmp_path / "sizes",
        "--designs",
        tmp_path / "made",
    )
    assert told.exit_code == 0, told.output
    assert "no row for 20 mm wrist" in told.output
    assert [line["size"] for line in table(tmp_path / "sizes" / "lengths.csv")] == ["165 mm wrist"]
    assert [path.name for path in (tmp_path / "made").iterdir()] == ["165mm.json"]
    assert hummock("lengths", ripples, *words).exit_code == 2


def test_shopping_takes_off_what_is_at_hand_and_names_packs_cost_thread_and_needle(ripples, tmp_path):
    stash = tmp_path / "stash.csv"
    first = bead_of(0, 0)
    stash.write_text(f"name,colour,size,grams\n{first.name},{first.srgb},11c,0.3\n", "utf-8")
    told = hummock("shopping", ripples, "--stash", stash, "--pack", "5", "--spool", "50m", "--spare", 0)
    assert told.exit_code == 0, told.output
    rows = table(tmp_path / "ripples-shopping" / "beads.csv")
    counts = read_design(ripples).counts.tolist()
    assert [int(row["on hand"]) for row in rows] == [60, 0]
    assert [int(row["to buy"]) for row in rows] == [counts[0] - 60, counts[1]]
    assert [row["packs"] for row in rows] == ["1", "1"]
    for words in ("needle 12", "thread B", "1 spool of 50.0 m", "Local rules come first", "Nickel", "choke"):
        assert words in told.output
    assert (tmp_path / "ripples-shopping" / "shopping.txt").read_text("utf-8") in told.output


def test_kits_have_bags_and_labels(ripples, tmp_path):
    out = tmp_path / "kits"
    told = hummock("shopping", ripples, "--kits", 25, "--paper", "letter", "--out", out, "--surface", "--needle", 10)
    assert told.exit_code == 0, told.output
    assert sorted(path.name for path in out.iterdir()) == ["beads.csv", "kits.csv", "labels.html", "shopping.txt"]
    for row, bag in zip(table(out / "beads.csv"), table(out / "kits.csv"), strict=True):
        assert int(row["with spare"]) == 25 * int(bag["in each bag"])
    assert (out / "labels.html").read_text("utf-8").count("Kit 25 of 25") == 2
    assert hummock("shopping", ripples, "--kits", 1001, "--out", tmp_path / "more").exit_code == 2


def test_a_sheet_is_edited_with_other_programs_and_comes_back(ripples, tmp_path):
    assert hummock("sheet", ripples).exit_code == 0
    design = read_design(ripples)
    with Image.open(ripples / "sheet.png") as sheet:
        painted = sheet.convert("RGB")
    painted.putpixel((0, 0), tuple(bytes.fromhex(design.beads[0].srgb[1:])))
    painted.save(tmp_path / "painted.png")
    told = hummock("sheet", "--read", tmp_path / "painted.png", "--into", ripples)
    assert told.exit_code == 0, told.output
    assert "1 bead changed" in told.output
    assert "B to A: 1 (row 1 column 1)" in told.output
    edited = tmp_path / "ripples-edited"
    assert sorted(path.name for path in edited.iterdir()) == sorted(NAMES)
    after = read_design(edited)
    assert np.flatnonzero(after.cells != design.cells).tolist() == [0]
    again = hummock("sheet", "--read", ripples / "sheet.csv", "--into", edited, "--out", tmp_path / "back")
    assert again.exit_code == 0, again.output
    assert read_design(tmp_path / "back") == design
