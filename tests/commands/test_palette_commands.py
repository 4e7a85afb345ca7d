"""``hummock beads`` and ``hummock recolour``."""

import csv
import io
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.cli.app import app
from convert.pattern_files import NAMES
from palettes.formats.read import read_palette
from shared.colour import lab_from_linear, linear_from_srgb

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


def test_finishes_choose_beads_and_are_shown_to_buy_by(tmp_path):
    """A stash of names, sizes and grams alone is known by the names of the palette."""
    table, stash, made = tmp_path / "mine.csv", tmp_path / "stash.csv", tmp_path / "made"
    finishes = ("opaque matte", "transparent", "opaque", "")
    tints = [
        f"grey {k},{bytes([20 * k] * 3).hex()},all,{finish}"
        for k in range(12)
        for finish in finishes[k % 4 : k % 4 + 1]
    ]
    table.write_text("\n".join(["name,hex,size,finish", *tints]))
    told = hummock("beads", "--palette", table).output
    assert "transparent" in told
    assert "finish unknown" in told
    words = ("convert", SAMPLES / "tide-pool.png", "--palette", table, "--columns", 9, "--colours", 3, "--force")
    wide = hummock(*words, "--finish", "matte,transparent", "--out", made)
    assert wide.exit_code == 0, wide.output
    names = {bead["name"] for bead in json.loads((made / "design.json").read_text("utf-8"))["beads"]}
    clear = {name for name in names if int(name.split()[1]) % 4 == 1}
    assert {int(name.split()[1]) % 4 for name in names} <= {0, 1}
    assert bool(clear) == ("look different on thread" in wide.output)
    first = min(names)
    stash.write_text(f"name,size,grams\n{first},,5 g\nfoam,8,1\n")
    told = hummock("shopping", made, "--stash", stash, "--palette", table, "--out", tmp_path / "list")
    assert told.exit_code == 0, told.output
    (line,) = [line for line in told.output.splitlines() if f"  {first}  " in line]
    assert finishes[int(first.split()[1]) % 4] in line
    (bought,) = [
        row
        for row in csv.DictReader(io.StringIO((tmp_path / "list" / "beads.csv").read_text("utf-8")))
        if row["name"] == first
    ]
    assert int(bought["on hand"]) > 0
    opaque = hummock(*words, "--finish", "opaque", "--keep", "grey 1", "--never", "grey 3", "--out", made)
    assert opaque.exit_code == 0, opaque.output
    names = {bead["name"] for bead in json.loads((made / "design.json").read_text("utf-8"))["beads"]}
    assert names <= {"grey 1", *(f"grey {k}" for k in range(12) if k % 2 == 0)}


def test_a_photograph_is_never_replaced(tmp_path):
    photo = tmp_path / "heaps.png"
    codes = np.full((300, 420, 3), 205, dtype=np.uint8)
    codes[90:210, 40:130], codes[90:210, 200:290] = (150, 40, 40), (40, 90, 140)
    Image.fromarray(codes).save(photo)
    before = photo.read_bytes()
    for out in (("--out", tmp_path / "heaps.csv"), ("--out", tmp_path / "heaps.png"), ("--out", tmp_path / "x.gpl")):
        assert hummock("beads", photo, "--at", "85,150", *out, "--force").exit_code == 2
    assert hummock("beads", photo, "--at", "85,150", "--force").exit_code == 0
    assert photo.read_bytes() == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["heaps-stash.csv", "heaps-stash.png", "heaps.png"]


def test_a_colourway_keeps_packs_and_spare(tmp_path):
    table = tmp_path / "mine.csv"
    tints = [f"grey {step},#{bytes([step] * 3).hex()},all,10,2.5" for step in range(10, 250, 20)]
    table.write_text("\n".join(["name,colour,size,pack_grams,price", *tints]))
    words = ("--palette", table, "--columns", 9, "--spare", 50, "--out", tmp_path / "grey")
    assert hummock("convert", SAMPLES / "tide-pool.png", *words).exit_code == 0
    assert hummock("recolour", tmp_path / "grey", "--palette", table, "--out", tmp_path / "again").exit_code == 0
    first, again = (
        list(csv.DictReader(io.StringIO((tmp_path / name / "beads.csv").read_text("utf-8"))))
        for name in ("grey", "again")
    )
    assert [(line["with spare"], line["packs"], line["cost"]) for line in again] == [
        (line["with spare"], line["packs"], line["cost"]) for line in first
    ]
    assert all(line["packs"] and line["cost"] for line in again)
    twice = hummock(
        "recolour", tmp_path / "grey", "--swap", "A=#112233", "--swap", "a=#223344", "--out", tmp_path / "x"
    )
    assert "one colour is swapped twice" in twice.output


def test_wishes_that_change_nothing_are_told(tmp_path):
    words = ("--columns", 9, "--keep", "neon=#00ff00", "--ground", "#ff00ff", "--out", tmp_path / "made")
    told = hummock("convert", SAMPLES / "lighthouse-dusk.png", *words).output
    assert "note: neon is kept, but every bead is nearer to another colour" in told
    assert "note: no flat bead looks like the ground #ff00ff" in told


def test_the_number_of_colours_leaves_room_for_what_is_kept(tmp_path):
    keeps = [word for k in range(3) for word in ("--keep", f"k{k}=#{60 * k:02x}4466")]
    words = (SAMPLES / "tide-pool.png", "--columns", 9, "--colours", "auto", *keeps, "--out", tmp_path / "made")
    assert hummock("convert", *words).exit_code == 0


def test_a_stash_is_read_from_a_photograph(tmp_path):
    photo = np.full((300, 420, 3), 205, dtype=np.uint8)
    colours = [(150, 40, 40), (40, 90, 140), (190, 150, 60)]
    for place, colour in enumerate(colours):
        photo[90:210, 40 + 130 * place : 130 + 130 * place] = colour
    Image.fromarray(photo).save(tmp_path / "heaps.png")
    points = ("--at", "85,150 rust", "--at", "215,150", "--at", "345,150", "--at", "350,160", "--paper", "20,20")
    told = hummock("beads", tmp_path / "heaps.png", *points, "--out", tmp_path / "stash.csv", "--sizes", "11c 8")
    assert told.exit_code == 0, told.output
    assert "points 3 and 4" in told.output
    stash = read_palette((tmp_path / "stash.csv").read_bytes(), "stash.csv")
    assert len({colour.name for colour in stash.entries}) == 4
    assert stash.entries[0].name == "rust"
    # The ground of 205 is taken for white paper of L* 95, so that every colour comes out lighter by as much.
    expected = linear_from_srgb(np.array(colours) / 255) * (0.876 / 0.610)
    found = np.array([colour.lab for colour in stash.entries[:3]])
    assert found == pytest.approx(lab_from_linear(expected), abs=0.5)
    assert stash.entries[0].sizes == ("cylinder 11/0", "round 8/0")
    with Image.open(tmp_path / "stash.png") as picture:
        marked = (np.asarray(picture) != photo).any(axis=-1)
    assert all(marked[100:200, left : left + 90].any() for left in (40, 170, 300))
    assert not marked[:80].any()
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
    assert {b["srgb"] for b in new["beads"] if b["kind"].rstrip("0123456789") == "A"} == {"#8844aa"}
    assert [b for b in new["beads"] if b["kind"][0] != "A"] == [b for b in old["beads"] if b["kind"][0] != "A"]


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
    lightness = {bead["kind"].rstrip("0123456789"): bead["lab"][0] for bead in new["beads"]}
    before = {
        b["kind"].rstrip("0123456789"): b["lab"][0] for b in json.loads((cuff / "design.json").read_text())["beads"]
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
        (["convert", SAMPLES / "tide-pool.png", "--style", "oil"], "photo, flat, outlined, lines"),
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
