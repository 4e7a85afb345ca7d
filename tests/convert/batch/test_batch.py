"""Many pictures: each made once, as a single run makes it, past bad ones, and taken up again where it was stopped."""

import csv
import io
import json
import os
import re

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

import convert.batch.pool
from convert.batch.marker import MARKER
from convert.cli.app import app
from convert.pattern_files import NAMES
from shared.beads import bead_sizes_toml, default_bead_sizes


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def lines_of(folder):
    return {line["folder"]: line for line in csv.DictReader(io.StringIO((folder / "report.csv").read_text("utf-8")))}


def files_of(folder):
    return {name: (folder / name).read_bytes() for name in NAMES}


def paint(path, seed, size=(40, 60)):
    rng = np.random.default_rng(seed)
    areas = rng.integers(0, 256, (size[1] // 10, size[0] // 10, 3), dtype=np.uint8)
    Image.fromarray(areas.repeat(10, axis=0).repeat(10, axis=1)).save(path)


@pytest.fixture
def pool(tmp_path):
    """Three pictures, one of them with a height map, and a file that is none."""
    folder = tmp_path / "pool"
    folder.mkdir()
    for seed, name in enumerate(("crab", "limpet", "whelk")):
        paint(folder / f"{name}.png", seed)
    heights = np.zeros((60, 40), dtype=np.uint8)
    heights[20:40, 10:30] = 90
    Image.fromarray(heights).save(folder / "limpet-heights.png")
    (folder / "torn.jpg").write_bytes(b"no picture")
    return folder


@pytest.mark.parametrize("jobs", [1, 2])
def test_each_picture_comes_out_as_in_a_run_of_its_own(pool, tmp_path, jobs):
    told = hummock("batch", pool, "--columns", 11, "--jobs", jobs, "--out", tmp_path / "all")
    assert told.exit_code == 2
    assert "4 pictures: 3 made, 1 failed" in told.output
    for name in ("crab", "limpet", "whelk"):
        maps = ("--heights", pool / "limpet-heights.png") if name == "limpet" else ()
        single = hummock("convert", pool / f"{name}.png", *maps, "--columns", 11, "--out", tmp_path / name)
        assert single.exit_code == 0
        assert files_of(tmp_path / "all" / name) == files_of(tmp_path / name)
    report = lines_of(tmp_path / "all")
    failed = {name for name, line in report.items() if line["status"] != "made"}
    assert failed == {"torn"}
    assert report["torn"]["status"] == "failed"
    assert "no picture that can be read" in report["torn"]["note"]
    design = json.loads((tmp_path / "all" / "crab" / "design.json").read_text("utf-8"))
    assert report["crab"]["beads"] == str(sum(map(len, design["cells"])))
    assert report["crab"]["to buy"] == str(len(design["beads"]))


def test_nothing_is_made_twice(pool, tmp_path, monkeypatch):
    (pool / "torn.jpg").unlink()
    again = tmp_path / "again"
    again.mkdir()
    (again / "crab.png").write_bytes((pool / "crab.png").read_bytes())
    table = tmp_path / "list.csv"
    table.write_text("picture,name\npool/crab.png,first\nagain/crab.png,second\npool/whelk.png,third\n")
    done = []

    def counted(number, job):
        done.append(job.picture.name)
        return original(number, job)

    original = convert.batch.pool.do
    monkeypatch.setattr("convert.batch.pool.do", counted)
    words = ("batch", table, "--columns", 9, "--jobs", 1, "--out", tmp_path / "all")
    assert hummock(*words).exit_code == 0
    assert len(done) == 2
    assert files_of(tmp_path / "all" / "first") == files_of(tmp_path / "all" / "second")
    before = {path: path.stat().st_mtime_ns for path in (tmp_path / "all").glob("*/*")}
    told = hummock(*words)
    assert "3 kept from before" in told.output
    assert len(done) == 2
    assert {path: path.stat().st_mtime_ns for path in (tmp_path / "all").glob("*/*")} == before
    (tmp_path / "all" / "third" / MARKER).unlink()
    refused = hummock(*words)
    assert refused.exit_code == 2
    assert "is there already; say --force" in refused.output
    assert hummock(*words, "--force").exit_code == 0
    assert done[2:] == [str(pool / "whelk.png")]


def test_other_choices_or_another_palette_are_other_work(pool, tmp_path):
    (pool / "torn.jpg").unlink()
    mine = tmp_path / "mine.csv"
    words = ("batch", pool, "--columns", 9, "--jobs", 1, "--palette", mine, "--out", tmp_path / "all")
    mine.write_text("name,colour,size\nfoam,#f0f0e8,all\nkelp,#2f4a3a,all\n")
    assert hummock(*words).exit_code == 0
    assert "3 kept" in hummock(*words).output
    assert hummock(*words, "--mirror").exit_code == 2
    mine.write_text("name,colour,size\nfoam,#f0f0e8,all\nkelp,#3f5a4a,all\n")
    assert hummock(*words).exit_code == 2
    assert "3 made" in hummock(*words, "--force").output


def test_a_table_gives_options_over_those_of_the_command_line(pool, tmp_path):
    assert pool.parent == tmp_path
    table = tmp_path / "list.csv"
    table.write_text(
        "picture;name;columns;width;colours;mirror;keep;heights\n"
        "pool/crab.png;a;;;2;no;;\n"
        "pool/crab.png;b;;26mm;;yes;ink=#20242a; \n"
        'pool/limpet.png;c;7;;3;;"a=#20242a;b=#f0f0f0";pool/limpet-heights.png\n'
    )
    told = hummock("batch", table, "--columns", 11, "--colours", 4, "--jobs", 1, "--out", tmp_path / "all")
    assert told.exit_code == 0, told.output
    made = {name: json.loads((tmp_path / "all" / name / "design.json").read_text("utf-8")) for name in "abc"}
    assert [made[name]["columns"] for name in "abc"] == [11, 20, 7]
    assert len({bead["srgb"] for bead in made["a"]["beads"]}) == 2
    assert made["b"]["provenance"]["options"]["mirror"] is True
    assert made["b"]["provenance"]["options"]["keep"] == [["ink", "#20242a"]]
    assert made["c"]["provenance"]["options"]["keep"] == [["a", "#20242a"], ["b", "#f0f0f0"]]
    assert {bead["size"] for bead in made["c"]["beads"]} > {"cylinder 11/0"}


def test_palette_and_measures_of_a_row_are_seen_from_the_folder_of_the_table(pool, tmp_path, monkeypatch):
    (pool / "mine.csv").write_text("name,colour,size\nkelp,#2f4a3a,cylinder 11/0\nfoam,#e8efe9,cylinder 11/0\n")
    bead_sizes = bead_sizes_toml(default_bead_sizes()).replace("length_mm = 1.3\n", "length_mm = 1.25\n")
    (pool / "mine.toml").write_text(bead_sizes, "utf-8")
    (pool / "list.csv").write_text(
        "picture,name,palette,measures\ncrab.png,a,mine.csv,mine.toml\n"
        f"crab.png,b,{pool / 'mine.csv'},\ncrab.png,c,coast,\n"
    )
    monkeypatch.chdir(tmp_path)
    told = hummock("batch", "pool/list.csv", "--columns", 5, "--jobs", 1, "--out", "all")
    assert told.exit_code == 0, told.output
    made = {name: json.loads((tmp_path / "all" / name / "design.json").read_text("utf-8")) for name in "abc"}
    names = {name: {bead["name"] for bead in design["beads"]} for name, design in made.items()}
    assert names["a"] == names["b"] == {"kelp", "foam"}
    assert not names["c"] & names["a"]
    assert ["1.25" in (tmp_path / "all" / name / "design.json").read_text("utf-8") for name in "abc"] == [1, 0, 0]
    (pool / "list.csv").write_text("picture,measures\ncrab.png,pool/mine.toml\n")
    assert "is not there" in hummock("batch", "pool/list.csv", "--out", "other").output


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("name,columns\na,3\n", "no column is called picture"),
        ("picture,collums\na.png,3\n", "'collums' is not used (did you mean columns?)"),
        ("picture,mirror\na.png,perhaps\n", "line 2: 'perhaps' is neither yes nor no"),
        ("picture,columns,tidy\na.png,x,1\nb.png,3,9\n", "line 3: tidying of strength 9 cannot be had"),
        ("picture,columns\n,3\n", "names no picture"),
        ("picture\n", "names no picture"),
        ("picture,name\na.png,x\nb.png,X\n", "two pictures would go to the folder 'X'"),
        ("picture,name\na.png,../x\n", "no name of a folder"),
        ("picture,name\na.png,Report.csv\n", "'Report.csv' is a name that Hummock needs for itself"),
        ("picture\ncontact-sheet.html.png\n", "is a name that Hummock needs for itself"),
        ("picture,name\na.png,.hummock-x\n", "is a name that Hummock needs for itself"),
        ('picture,name\na.png,"tide\npool"\n', "holds a line break"),
    ],
)
def test_mistakes_in_a_table_are_told_before_any_work(tmp_path, table, words):
    (tmp_path / "list.csv").write_text(table)
    told = hummock("batch", tmp_path / "list.csv", "--out", tmp_path / "all")
    assert told.exit_code == 2
    assert words in told.output
    assert not (tmp_path / "all").exists()


def test_a_folder_that_cannot_be_written_is_refused_before_any_work(pool, tmp_path, monkeypatch):
    monkeypatch.setattr("os.access", lambda _path, mode: not mode & os.W_OK)
    monkeypatch.setattr("convert.batch.run.run", None)
    told = hummock("batch", pool, "--out", tmp_path / "all")
    assert told.exit_code == 2
    assert "all: cannot be written; check its permissions, or give another" in told.output


def test_a_folder_without_pictures_and_a_foreign_report_are_refused(pool, tmp_path):
    (tmp_path / "empty").mkdir()
    assert "holds no picture" in hummock("batch", tmp_path / "empty").output
    (tmp_path / "all").mkdir()
    (tmp_path / "all" / "report.csv").write_text("my own\n")
    told = hummock("batch", pool, "--out", tmp_path / "all")
    assert told.exit_code == 2
    assert (tmp_path / "all" / "report.csv").read_text() == "my own\n"


def test_the_contact_sheet_holds_all_and_escapes_names(pool, tmp_path):
    (pool / "crab.png").rename(pool / "<b>crab.png")
    hummock("batch", pool, "--columns", 9, "--jobs", 1, "--out", tmp_path / "all")
    page = (tmp_path / "all" / "contact-sheet.html").read_text("utf-8")
    assert page.count('src="data:image/png;base64,') == 3
    assert "&lt;b&gt;crab" in page
    assert "<b>" not in page
    assert "http" not in page.replace("http-equiv", "")
    assert "torn" in page
    hummock("batch", pool, "--columns", 9, "--jobs", 1, "--out", tmp_path / "all")
    kept = (tmp_path / "all" / "contact-sheet.html").read_text("utf-8")
    assert "kept" in kept
    assert re.findall(r'src="[^"]*"', kept) == re.findall(r'src="[^"]*"', page)


def test_the_contact_sheet_tells_one_of_a_thing_as_one(tmp_path):
    (tmp_path / "shelf").mkdir()
    paint(tmp_path / "shelf" / "crab.png", 0)
    done = hummock("batch", tmp_path / "shelf", "--columns", 2, "--colours", 1, "--jobs", 1, "--out", tmp_path / "all")
    assert done.exit_code == 0, done.output
    assert "<p>1 kind of bead to buy," in (tmp_path / "all" / "contact-sheet.html").read_text("utf-8")
