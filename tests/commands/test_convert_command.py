import csv
import hashlib
import io
import json
import os
import subprocess
import sys
from pathlib import Path

import independent_reader
import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.cli.app import app
from convert.pattern_files import NAMES
from convert.rows.parser import parse_rows
from shared.design_file import parse_design

SAMPLES = Path(__file__).parents[2] / "samples"
TIDE_POOL = [str(SAMPLES / "tide-pool.png"), "--heights", str(SAMPLES / "tide-pool-heights.png"), "--columns", "25"]


def hummock(*words):
    return CliRunner().invoke(app, ["convert", *map(str, words)])


@pytest.fixture(scope="module")
def tide_pool(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made") / "cuff"
    told = hummock(*TIDE_POOL, "--colours", 6, "--out", folder)
    assert told.exit_code == 0, told.output
    return folder, told.output


def test_options_of_a_map_that_is_not_given_are_named(tmp_path):
    told = hummock(
        TIDE_POOL[0], "--columns", 9, "--thresholds", "0.5", "--blur", "1mm", "--out", tmp_path / "flat"
    ).output
    assert "note: --thresholds, --blur had no effect, for no height map was given (--heights)" in told


def test_the_main_job_writes_five_files_and_a_summary(tide_pool):
    folder, told = tide_pool
    assert sorted(path.name for path in folder.iterdir()) == sorted(NAMES)
    for words in (
        "25 columns x 150 rows",
        "32.5 mm",
        "120.8 mm",
        "6 colours; colour difference",
        "round 6/0",
        "estimate",
    ):
        assert words in told


def check_stitched(folder):
    """The independent reader stitches the rows; design, counts and size-step rule are recomputed from what it made."""
    values = json.loads((folder / "design.json").read_text("utf-8"))
    work = independent_reader.stitch((folder / "rows.txt").read_text("utf-8"))
    assert (work.columns, work.rows) == (values["columns"], values["rows"])
    for row, keys in enumerate(values["cells"], start=1):
        held = [column for column in range(1, work.columns + 1) if (work.columns - column + row) % 2]
        assert [work.cells[row, column] for column in held] == keys
    assert len(work.cells) == sum(map(len, values["cells"]))
    counts = {}
    for key in work.cells.values():
        counts[key] = counts.get(key, 0) + 1
    bought = {line["kind"]: line for line in csv.DictReader(io.StringIO((folder / "beads.csv").read_text("utf-8")))}
    assert {key: int(line["count"]) for key, line in bought.items()} == counts
    assert all(10 * int(line["with spare"]) >= 11 * int(line["count"]) for line in bought.values())
    level = {size["name"]: place for place, size in enumerate(values["sizes"])}
    level = {place: level[work.beads[key][0]] for place, key in work.cells.items()}
    for (row, column), here in level.items():
        for place in ((row + 2, column), (row + 1, column - 1), (row + 1, column + 1)):
            assert abs(here - level.get(place, here)) <= 1


def test_the_rows_stitch_into_the_design(tide_pool):
    check_stitched(tide_pool[0])


@pytest.mark.parametrize(
    "words",
    [
        ["tide-pool.png", "--heights", SAMPLES / "tide-pool-heights.png", "--columns", 24, "--hand", "left"],
        ["shoreline.png", "--heights", SAMPLES / "shoreline-heights.png", "--start", "bottom", "--slopes", "widen"],
        ["lighthouse-dusk.png", "--width", "1.6in", "--colours", 12, "--mirror"],
        ["urchin-lines.png", "--rows", 41, "--length", "90mm"],
    ],
    ids=lambda words: words[0],
)
def test_the_other_samples_stitch_too(words, tmp_path):
    words = [SAMPLES / words[0], *words[1:]]
    if "--length" in words:
        assert "give one of them" in hummock(*words, "--out", tmp_path / "none").output
        words = words[:-2]
    made = hummock(*words, "--out", tmp_path / "made")
    assert made.exit_code == 0, made.output
    check_stitched(tmp_path / "made")


@pytest.mark.parametrize(
    ("name", "colours"), [("china", 4), ("flower", 16), ("astronaut", 8), ("coffee", 4), ("chelsea", 16)]
)
def test_open_pictures_stitch_too(name, colours, tmp_path):
    """Pictures bundled in scikit-learn (china, flower) and scikit-image (the others)."""
    if name in {"china", "flower"}:
        from sklearn.datasets import load_sample_image as load

        pixels = load(f"{name}.jpg")
    else:
        import skimage.data

        pixels = getattr(skimage.data, name)()
    Image.fromarray(pixels).save(tmp_path / "picture.png")
    Image.fromarray(pixels.mean(axis=2).astype(np.uint8)).save(tmp_path / "map.png")
    words = [tmp_path / "picture.png", "--heights", tmp_path / "map.png", "--columns", 31, "--colours", colours]
    made = hummock(*words, "--out", tmp_path / "made")
    assert made.exit_code == 0, made.output
    check_stitched(tmp_path / "made")


def test_rows_parse_back_to_the_design(tide_pool):
    folder, _ = tide_pool
    design = parse_design((folder / "design.json").read_text("utf-8"))
    again = parse_rows((folder / "rows.txt").read_text("utf-8"), design.bead_sizes)
    assert np.array_equal(again.cells, design.cells)
    assert (again.title, again.grid, again.beads) == (design.title, design.grid, design.beads)


def test_the_design_names_what_it_was_made_from(tide_pool):
    provenance = json.loads((tide_pool[0] / "design.json").read_text("utf-8"))["provenance"]
    assert provenance["picture_sha256"] == hashlib.sha256((SAMPLES / "tide-pool.png").read_bytes()).hexdigest()
    assert provenance["heights_sha256"] == hashlib.sha256((SAMPLES / "tide-pool-heights.png").read_bytes()).hexdigest()
    assert provenance["options"]["colours"] == 6


def test_same_input_same_bytes_with_one_thread_in_a_process_of_its_own(tide_pool, tmp_path):
    environment = os.environ | dict.fromkeys(("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1")
    script = str(Path(sys.executable).with_name("hummock"))
    words = [script, "convert", *TIDE_POOL, "--colours", "6", "--out", str(tmp_path / "one")]
    run = subprocess.run(words, capture_output=True, text=True, env=environment, check=False)
    assert run.returncode == 0, run.stderr
    for name in NAMES:
        assert (tmp_path / "one" / name).read_bytes() == (tide_pool[0] / name).read_bytes(), name


def test_outputs_are_replaced_only_if_asked(tide_pool, tmp_path):
    folder = tmp_path / "cuff"
    folder.mkdir()
    (folder / "rows.txt").write_text("mine")
    refused = hummock(*TIDE_POOL, "--out", folder)
    assert refused.exit_code == 2
    assert "--force" in refused.output
    assert [path.name for path in folder.iterdir()] == ["rows.txt"]
    assert (folder / "rows.txt").read_text() == "mine"
    forced = hummock(*TIDE_POOL, "--colours", 6, "--out", folder, "--force", "--quiet")
    assert (forced.exit_code, forced.output) == (0, "")
    assert (folder / "rows.txt").read_bytes() == (tide_pool[0] / "rows.txt").read_bytes()


def test_the_american_spelling_is_accepted(tmp_path):
    made = hummock(SAMPLES / "urchin-lines.png", "--columns", 9, "--colors", 2, "--out", tmp_path / "made")
    assert made.exit_code == 0
    assert "2 colours" in made.output


def test_command_and_library_share_their_defaults(tmp_path):
    from convert.image.decode import Source
    from convert.options import Options
    from convert.pattern import make_pattern

    path = SAMPLES / "urchin-lines.png"
    assert hummock(path, "--out", tmp_path / "made").exit_code == 0
    made = parse_design((tmp_path / "made" / "design.json").read_text("utf-8"))
    assert made == make_pattern(Source(str(path), path.read_bytes()), None, Options(), surface=False).design
