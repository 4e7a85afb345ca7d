"""What a batch keeps from before: only what was made from the same, and is still what was made."""

import csv
import io
import os

import numpy as np
import pytest
from folders import killed_midway
from PIL import Image
from typer.testing import CliRunner

from convert.batch.marker import MARKER
from convert.cli.app import app
from convert.pattern_files import NAMES
from shared.beads import bead_sizes_toml, default_bead_sizes


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def statuses(folder):
    return [line["status"] for line in csv.DictReader(io.StringIO((folder / "report.csv").read_text("utf-8")))]


def files_of(folder):
    return {name: (folder / name).read_bytes() for name in (*NAMES, MARKER)}


def paint(path, seed):
    areas = np.random.default_rng(seed).integers(0, 256, (6, 4, 3), dtype=np.uint8)
    Image.fromarray(areas.repeat(10, axis=0).repeat(10, axis=1)).save(path)


def raise_dome(path, grey):
    heights = np.zeros((60, 40), dtype=np.uint8)
    heights[20:40, 10:30] = grey
    Image.fromarray(heights).save(path)


@pytest.fixture
def command(tmp_path):
    """A batch of one picture with a height map and bead sizes, made once."""
    pool = tmp_path / "pool"
    pool.mkdir()
    paint(pool / "limpet.png", 1)
    raise_dome(pool / "limpet-heights.png", 90)
    (tmp_path / "mine.toml").write_text(bead_sizes_toml(default_bead_sizes()), "utf-8")
    words = (
        "batch",
        pool,
        "--columns",
        7,
        "--jobs",
        1,
        "--measures",
        tmp_path / "mine.toml",
        "--out",
        tmp_path / "all",
    )
    told = hummock(*words)
    assert told.exit_code == 0, told.output
    return words


def cut(path):
    path.write_bytes(path.read_bytes()[:-1])


def test_files_that_are_not_as_they_were_made_are_made_anew_when_that_is_wanted(command, tmp_path):
    folder = tmp_path / "all" / "limpet"
    whole = files_of(folder)
    for name, damage in [*((name, cut) for name in NAMES), ("chart.svg", os.remove)]:
        damage(folder / name)
        told = hummock(*command)
        assert told.exit_code == 2
        assert name in told.stderr
        assert statuses(tmp_path / "all") == ["failed"]
        assert hummock(*command, "--force").exit_code == 0
        assert files_of(folder) == whole
        assert statuses(tmp_path / "all") == ["made"]


@pytest.mark.parametrize("moves", [1, 4])
def test_files_of_a_run_that_was_killed_while_it_replaced_them_are_put_back_and_kept(command, tmp_path, moves):
    folder = tmp_path / "all" / "limpet"
    whole = files_of(folder)
    killed_midway(folder, dict.fromkeys((MARKER, *NAMES), b"new"), moves)
    assert files_of(folder) != whole
    told = hummock(*command)
    assert told.exit_code == 0
    assert told.stderr.startswith(f"hummock: {folder}: a run was killed while it replaced {MARKER}")
    assert statuses(tmp_path / "all") == ["kept"]
    assert files_of(folder) == whole


def widen_a_bead(bead_sizes):
    text = bead_sizes.read_text("utf-8")
    assert text.count("diameter_mm = 4.0") == 1
    bead_sizes.write_text(text.replace("diameter_mm = 4.0", "diameter_mm = 4.1"), "utf-8")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        pytest.param(lambda _at: None, (), id="nothing"),
        pytest.param(lambda at: paint(at / "pool" / "limpet.png", 2), (), id="picture"),
        pytest.param(lambda at: raise_dome(at / "pool" / "limpet-heights.png", 200), (), id="heights"),
        pytest.param(lambda at: (at / "pool" / "limpet-heights.png").unlink(), (), id="no heights"),
        pytest.param(lambda at: widen_a_bead(at / "mine.toml"), (), id="bead sizes"),
        pytest.param(lambda _at: None, ("--ink", "black"), id="ink"),
        pytest.param(lambda _at: None, ("--no-surface",), id="surface"),
        pytest.param(lambda _at: None, ("--tidy", "0"), id="option"),
        pytest.param(lambda _at: None, ("--title", "Low tide"), id="title"),
    ],
)
def test_whatever_changes_the_work_is_made_anew(command, tmp_path, request, change, words):
    change(tmp_path)
    wanted = "kept" if request.node.callspec.id == "nothing" else "made"
    assert hummock(*command, *words, "--force").exit_code == 0
    assert statuses(tmp_path / "all") == [wanted]
