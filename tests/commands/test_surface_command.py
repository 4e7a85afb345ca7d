import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from size_levels import middle, rings
from strategies import SIZES, bead_of
from typer.testing import CliRunner

from convert.cli.app import app
from convert.surface import SURFACE_NAMES as NAMES
from shared.beads import parse_bead_sizes
from shared.calibration import Gauge
from shared.design import Design
from shared.design_file import design_text, parse_design
from shared.grid import Grid

SAMPLES = Path(__file__).parents[2] / "samples"


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def limpet(bead_sizes=SIZES):
    grid = Grid(9, 26)
    beads = tuple(bead_of(3 * level, level) for level in range(4))
    return Design("Limpet", grid, bead_sizes, beads, rings(grid, middle(grid), radii=(0.5, 1.5, 2.5)))


@pytest.fixture(autouse=True)
def coarse_pictures(monkeypatch):
    """What a command does with its files does not depend on how fine the picture is."""
    for name in ("FINEST", "CLOSE"):
        monkeypatch.setattr(f"convert.surface.render.views.{name}", 4.0)


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "design.json").write_text(design_text(limpet()), "utf-8")
    return tmp_path


def test_a_folder_or_its_design_gives_the_same_three_files_twice(folder):
    one = hummock("surface", folder)
    assert one.exit_code == 0, one.output
    two = hummock("surface", folder / "design.json", "--out", folder / "again")
    assert two.exit_code == 0, two.output
    for name in NAMES:
        assert (folder / name).read_bytes() == (folder / "again" / name).read_bytes(), name
    assert sorted(path.name for path in (folder / "again").iterdir()) == sorted(NAMES)
    values = json.loads((folder / "surface.json").read_text("utf-8"))
    assert values["summary"] in one.output
    assert "1 dome," in one.output
    assert "estimate" in one.output


def test_two_drop_is_refused_and_its_flat_length_told(tmp_path):
    grid = Grid(10, 26, drop=2)
    work = replace(limpet(), grid=grid, cells=np.zeros(grid.count, dtype=np.int64))
    (tmp_path / "design.json").write_text(design_text(work), "utf-8")
    told = hummock("surface", tmp_path)
    sentence = "the surface of two-drop work is not predicted yet; lengths are those of flat work"
    assert (told.exit_code, told.output) == (2, f"hummock: {sentence}\n")
    words = [SAMPLES / "tide-pool.png", "--rows", "20", "--raise", "diamond 9,5 r3", "--drop", "2"]
    made = hummock("convert", *words, "--columns", "10", "--fit", "stretch", "--out", tmp_path / "made")
    assert made.exit_code == 0, made.output
    assert f"note: {sentence}\n" in made.output
    assert "10 columns x 20 rows, two-drop odd-count flat peyote, 100 beads" in made.output
    heading = (tmp_path / "made" / "rows.txt").read_text("utf-8").splitlines()[1:3]
    assert heading == ["# 10 columns, 20 rows, two-drop odd-count flat peyote, tail at left", "two-drop"]
    chart = (tmp_path / "made" / "chart.svg").read_text("utf-8")
    assert "20 rows, two-drop odd-count flat peyote" in chart


def test_outputs_are_replaced_only_if_asked(folder):
    (folder / "surface.png").write_bytes(b"mine")
    refused = hummock("surface", folder)
    assert refused.exit_code == 2
    assert "--force" in refused.output
    assert (folder / "surface.png").read_bytes() == b"mine"
    assert hummock("surface", folder, "--force", "--quiet").output == ""
    assert (folder / "surface.png").read_bytes()[:4] == b"\x89PNG"


def test_on_a_wrist_the_beads_lie_round_it(folder):
    told = hummock("surface", folder, "--wrist", "140mm")
    assert told.exit_code == 0, told.output
    values = json.loads((folder / "surface.json").read_text("utf-8"))
    assert values["ground"] == {"kind": "wrist", "circumference_mm": 140.0}
    radius = 140 / (2 * np.pi) + 0.8
    places = np.array([place for row in values["centres_mm"] for place in row])
    out = np.hypot(places[:, 1], places[:, 2] + radius)
    assert np.median(out) == pytest.approx(radius, abs=0.6)
    assert out.max() - radius > 2


def test_the_gauge_of_a_design_is_used_and_the_word_estimate_goes(folder):
    stiff = replace(SIZES, gauge=Gauge("first cuff", 0.05))
    (folder / "design.json").write_text(design_text(limpet(stiff)), "utf-8")
    told = hummock("surface", folder)
    assert told.exit_code == 0, told.output
    assert "estimate" not in told.output
    values = json.loads((folder / "surface.json").read_text("utf-8"))
    assert values["estimate"] is False
    assert any("first cuff" in line for line in values["assumptions"])
    assert any("0.05" in line for line in values["assumptions"])


def test_a_measured_sample_is_saved_as_bead_sizes_that_convert_and_surface_take(folder):
    mine = folder / "mine.toml"
    before = hummock("surface", folder)
    flat_mm = json.loads((folder / "surface.json").read_text("utf-8"))["length_mm"]
    wanted = round(flat_mm * 1.04, 1)
    words = ["--measured-length", f"{wanted}mm", "--save-measures", mine, "--out", folder / "mine"]
    told = hummock("surface", folder, *words)
    assert told.exit_code == 0, told.output
    assert "an estimate: no stitched sample" in before.output
    assert "length set after a stitched sample, the rest an estimate" in told.output
    fitted = parse_bead_sizes(mine.read_text("utf-8"))
    assert fitted.gauge.sample == "Limpet"
    again = hummock("surface", folder, "--measures", mine, "--out", folder / "again")
    assert again.exit_code == 0, again.output
    for name in NAMES:
        assert (folder / "mine" / name).read_bytes() == (folder / "again" / name).read_bytes()
    values = json.loads((folder / "again" / "surface.json").read_text("utf-8"))
    assert values["length_mm"] == pytest.approx(wanted, rel=0.004)
    kept = hummock("surface", folder, *words)
    assert (kept.exit_code, "--force" in kept.output) == (2, True)
    picture = ["convert", SAMPLES / "tide-pool.png", "--columns", 9, "--measures", mine, "--out", folder / "design"]
    assert hummock(*picture).exit_code == 0
    assert parse_design((folder / "design" / "design.json").read_text("utf-8")).bead_sizes == fitted


def test_a_shape_that_does_not_come_to_rest_writes_nothing(folder, monkeypatch):
    monkeypatch.setattr("convert.surface.continuation.MOST_STEPS", 2)
    told = hummock("surface", folder)
    assert told.exit_code == 2
    assert "did not come to rest" in told.output
    assert [path.name for path in folder.iterdir()] == ["design.json"]


def test_convert_tells_the_finished_length_unless_told_not_to(tmp_path):
    words = ["convert", SAMPLES / "tide-pool.png", "--heights", SAMPLES / "tide-pool-heights.png", "--columns", 11]
    told = hummock(*words, "--out", tmp_path / "with")
    assert told.exit_code == 0, told.output
    assert "finished: " in told.output
    without = hummock(*words, "--out", tmp_path / "without", "--no-surface")
    assert "finished: " not in without.output
    assert (tmp_path / "with" / "design.json").read_bytes() == (tmp_path / "without" / "design.json").read_bytes()


def test_a_wrist_is_named_with_the_figures_that_hold_on_it(tmp_path):
    design = tmp_path / "limpet"
    words = ("convert", SAMPLES / "urchin-lines.png", "--columns", 9, "--rows", 30, "--raise", "disc 15,5 r2")
    assert hummock(*words, "--out", design).exit_code == 0
    told = hummock("surface", design, "--wrist", "165mm", "--out", tmp_path / "on")
    assert "round a wrist of 165.0 mm" in told.output
    assert "round a wrist" not in hummock("surface", design, "--out", tmp_path / "off").output
