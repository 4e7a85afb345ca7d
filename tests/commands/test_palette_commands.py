"""``hummock beads`` and ``hummock recolour``."""

import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.commands.app import app
from convert.outputs import NAMES
from palettes.formats.read import read_palette

SAMPLES = Path(__file__).parents[2] / "samples"


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


@pytest.fixture(scope="module")
def cuff(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made") / "cuff"
    words = [SAMPLES / "tide-pool.png", "--heights", SAMPLES / "tide-pool-heights.png", "--columns", 15]
    assert hummock("convert", *words, "--out", folder).exit_code == 0
    return folder


def test_beads_lists_sizes_and_palettes():
    told = hummock("beads")
    assert told.exit_code == 0
    for words in ("cylinder 11/0", "round 6/0", "coast", "half-tide", "pebbles"):
        assert words in told.output


def test_beads_tells_what_a_palette_covers(tmp_path):
    told = hummock("beads", "--palette", "half-tide", "--out", tmp_path / "covers.png")
    assert told.exit_code == 0
    assert [line.split()[-2] for line in told.output.splitlines()[1:5]] == ["40", "40", "20", "20"]
    with Image.open(tmp_path / "covers.png") as picture:
        seen = {tuple(pixel) for pixel in np.asarray(picture.convert("RGB")).reshape(-1, 3)[::7].tolist()}
    assert (229, 111, 134) in seen


def test_what_was_passed_over_in_a_palette_is_told(cuff, tmp_path):
    table = tmp_path / "mine.csv"
    greys = [f"grey {step},#{bytes([step] * 3).hex()},all,3" for step in range(10, 250, 20)]
    table.write_text("\n".join(["name,colour,size,shelf", *greys]))
    note = "note: mine.csv: "
    convert = ("convert", SAMPLES / "tide-pool.png", "--columns", 9, "--out", tmp_path / "made")
    for words in (("beads",), convert, ("recolour", cuff, "--out", tmp_path / "again")):
        told = hummock(*words, "--palette", table).output
        assert note in told
        assert "shelf" in told.partition(note)[2].splitlines()[0]


def test_a_stash_is_read_from_a_photograph(tmp_path):
    photo = np.full((300, 420, 3), 205, dtype=np.uint8)
    colours = [(150, 40, 40), (40, 90, 140), (220, 180, 60)]
    for place, colour in enumerate(colours):
        photo[90:210, 40 + 130 * place : 130 + 130 * place] = colour
    Image.fromarray(photo).save(tmp_path / "heaps.png")
    told = hummock("beads", tmp_path / "heaps.png", "--out", tmp_path / "stash.csv", "--sizes", "11c 8")
    assert told.exit_code == 0, told.output
    stash = read_palette((tmp_path / "stash.csv").read_bytes(), "stash.csv").palette
    assert len(stash.entries) == 3
    assert stash.entries[0].sizes == ("cylinder 11/0", "round 8/0")
    with Image.open(tmp_path / "stash.png") as picture:
        assert picture.width >= 420
    made = hummock(
        "convert",
        SAMPLES / "urchin-lines.png",
        "--columns",
        9,
        "--palette",
        tmp_path / "stash.csv",
        "--colours",
        2,
        "--out",
        tmp_path / "made",
    )
    assert made.exit_code == 0, made.output


def test_one_recolouring_gives_all_files_and_a_sheet(cuff, tmp_path):
    made = hummock("recolour", cuff, "--swap", "A=#8844aa", "--out", tmp_path / "new")
    assert made.exit_code == 0, made.output
    assert sorted(path.name for path in (tmp_path / "new").iterdir()) == sorted([*NAMES, "colourways.png"])
    old, new = (json.loads((folder / "design.json").read_text("utf-8")) for folder in (cuff, tmp_path / "new"))
    assert new["cells"] == old["cells"]
    assert {b["srgb"] for b in new["beads"] if b["key"].rstrip("0123456789") == "A"} == {"#8844aa"}
    assert [b for b in new["beads"] if b["key"][0] != "A"] == [b for b in old["beads"] if b["key"][0] != "A"]


def test_several_palettes_give_several_designs(cuff, tmp_path):
    made = hummock("recolour", cuff, "--palette", "coast", "--palette", "pebbles", "--out", tmp_path / "ways")
    assert made.exit_code == 0, made.output
    assert sorted(path.name for path in (tmp_path / "ways").iterdir()) == [
        "coast.json",
        "colourways.png",
        "pebbles.json",
    ]
    new = json.loads((tmp_path / "ways" / "pebbles.json").read_text("utf-8"))
    assert {bead["source"] for bead in new["beads"]} == {"pebbles"}
    lightness = {bead["key"].rstrip("0123456789"): bead["lab"][0] for bead in new["beads"]}
    before = {
        b["key"].rstrip("0123456789"): b["lab"][0] for b in json.loads((cuff / "design.json").read_text())["beads"]
    }
    assert sorted(before, key=before.get) == sorted(lightness, key=lightness.get)


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["recolour", "CUFF"], "say --swap"),
        (["recolour", "CUFF", "--swap", "A"], "write it like A=#2f4a5a"),
        (["recolour", "CUFF", "--swap", "Q=#2f4a5a"], "no colour Q"),
        (["recolour", "CUFF", "--swap", "A=kelp"], "#rrggbb"),
        (["recolour", "CUFF", "--palette", "tidal"], "coast, half-tide, pebbles"),
        (["recolour", "CUFF", "--palette", "coast", "--palette", "coast"], "same name"),
        (["recolour", "none.json", "--swap", "A=#2f4a5a"], "is not there"),
        (["beads", "none.jpg"], "is not there"),
        (["beads", "--grey", "1,2,3,4"], "go with a photograph"),
        (["beads", "--palette", "nothing.csv"], "is not there"),
        (["convert", SAMPLES / "tide-pool.png", "--palette", "tidal"], "none of the palettes"),
        (["convert", SAMPLES / "tide-pool.png", "--palette", SAMPLES / "README.md"], "README.md"),
        (["convert", SAMPLES / "tide-pool.png", "--keep", "kelp"], "give --palette"),
        (["convert", SAMPLES / "tide-pool.png", "--palette", "coast", "--keep", "kelpy"], "did you mean"),
        (["convert", SAMPLES / "tide-pool.png", "--tidy", "much"], "0 to 3"),
        (["convert", SAMPLES / "tide-pool.png", "--kind", "oil"], "photo, logo, sketch"),
    ],
    ids=lambda value: " ".join(map(str, value))[:20] + str(len(value)) if isinstance(value, list) else value,
)
def test_bad_input_is_told_and_nothing_written(words, sentence, cuff, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    told = hummock(*(cuff if word == "CUFF" else word for word in words))
    assert told.exit_code == 2, told.output
    assert sentence in told.output
    assert told.output.startswith("hummock: ")
    assert list(tmp_path.iterdir()) == []
