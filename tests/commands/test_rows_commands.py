import csv
import os
import subprocess
import sys
from pathlib import Path

import pytest
from size_levels import rings
from strategies import SIZES, bead_of
from typer.testing import CliRunner

from convert.cli.app import app
from convert.cli.proof import OUTPUT
from convert.cli.rows import OUTPUTS
from shared.beads import bead_sizes_toml
from shared.design import Design
from shared.design_file import design_text
from shared.grid import Grid


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def limpets():
    grid = Grid(13, 83)
    levels = rings(grid, *((row, 7) for row in (13, 33, 53, 73)), radii=(0.5, 1.5, 2.5))
    beads = tuple(bead_of(level, level) for level in range(4))
    return Design("Limpets", grid, SIZES, beads, levels, {"picture": "limpets.png"})


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "design.json").write_text(design_text(limpets()), "utf-8")
    return tmp_path


def test_a_folder_or_its_design_gives_the_same_three_files(folder):
    one = hummock("rows", folder)
    assert one.exit_code == 0, one.output
    assert one.output == f"wrote rows.txt, rows.csv, rows-in-words.txt to {folder}\n"
    assert hummock("rows", folder / "design.json", "--out", folder / "again", "--quiet").output == ""
    assert sorted(path.name for path in (folder / "again").iterdir()) == sorted(OUTPUTS)
    for name in OUTPUTS:
        assert (folder / name).read_bytes() == (folder / "again" / name).read_bytes()


def test_rows_to_proof_to_design_byte_for_byte(folder):
    for words in ([], ["--full"]):
        assert hummock("rows", folder, "--out", folder / "rows", "--force", *words).exit_code == 0
        run = hummock("proof", folder / "rows" / "rows.txt", "--against", folder)
        assert run.exit_code == 0, run.output
        assert f"13 columns, 83 rows, 540 beads; bead for bead as in {folder}" in run.output
        assert (folder / "rows" / OUTPUT).read_bytes() == (folder / "design.json").read_bytes()
        (folder / "rows" / OUTPUT).unlink()


def test_full_writes_every_row(folder):
    hummock("rows", folder, "--out", folder / "short")
    hummock("rows", folder, "--out", folder / "full", "--full")
    with (folder / "full" / "rows.csv").open(newline="") as file:
        kinds = [line["line"] for line in csv.DictReader(file)]
    assert kinds.count("row") == 82
    assert "repeat" not in kinds
    assert "Rows 23–82: as rows 3–22" in (folder / "short" / "rows.txt").read_text("utf-8")
    assert "as rows" not in (folder / "full" / "rows.txt").read_text("utf-8")


def test_nothing_is_replaced_unless_asked(folder):
    (folder / "rows.csv").write_text("mine")
    run = hummock("rows", folder)
    assert run.exit_code == 2
    assert "rows.csv: is there already; say --force" in run.stderr
    assert not (folder / "rows.txt").exists()
    assert hummock("rows", folder, "--force").exit_code == 0
    run = hummock("proof", folder / "rows.txt")
    assert run.exit_code == 2
    assert "design.json: is there already" in run.stderr
    assert hummock("proof", folder / "rows.txt", "--force", "--quiet").output == ""


def test_every_mistake_has_a_line_of_its_own_and_nothing_is_written(folder):
    hummock("rows", folder)
    rows = folder / "rows.txt"
    wrong = (
        rows.read_text("utf-8").replace("Row 4 → 6: 6 A", "Row 4 → 6: 5 A").replace("Row 6 → 6: 6 A", "Row 6 > 6: 6 C8")
    )
    rows.write_text(wrong, "utf-8")
    run = hummock("proof", rows, "--against", folder, "--out", folder / "back")
    assert run.exit_code == 2
    heading, *mistakes = run.stderr.splitlines()
    assert heading == f"hummock: {rows}: {len(mistakes)} mistakes:"
    assert "  line 10: row 4 has 5 beads where 6 belong; add 1 or correct a count" in mistakes
    assert any("row 6, columns 2, 4, 6, 8, 10 and 12: C8 stand where A belongs" in line for line in mistakes)
    assert all(line.startswith("  line ") for line in mistakes)
    assert not (folder / "back").exists()


def test_measures_of_ones_own(folder):
    hummock("rows", folder)
    (folder / "mine.toml").write_text(bead_sizes_toml(SIZES), "utf-8")
    assert (
        hummock("proof", folder / "rows.txt", "--measures", folder / "mine.toml", "--out", folder / "a").exit_code == 0
    )
    (folder / "two.toml").write_text(bead_sizes_toml(type(SIZES)(SIZES.sizes[:2])), "utf-8")
    run = hummock("proof", folder / "rows.txt", "--measures", folder / "two.toml", "--out", folder / "b")
    assert run.exit_code == 2
    assert "bead C8 is a 'round 8/0', which is none of the bead sizes" in run.stderr


def test_neither_command_loads_more_than_it_needs(folder):
    script = (
        "import sys\nfrom convert.cli.app import main\n"
        f"for words in (['rows', {str(folder)!r}], ['proof', {str(folder / 'rows.txt')!r}, '--force']):\n"
        "    sys.argv[1:] = words\n"
        "    try:\n        main()\n    except SystemExit as end:\n        assert not end.code\n"
        "print(*{name.split('.')[0] for name in sys.modules}, file=sys.stderr)\n"
    )
    top = {"PYTHONPATH": str(Path(__file__).parents[2])}
    run = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, env={**os.environ, **top}
    )
    assert not set(run.stderr.split()) & {"scipy", "sklearn", "skimage", "PIL", "rich", "jinja2"}
