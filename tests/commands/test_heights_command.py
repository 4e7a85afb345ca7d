from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.cli.app import app
from shared.design_file import parse_design

SAMPLES = Path(__file__).parents[2] / "samples"
DOMES = ["--raise", "diamond 20,middle r5 every 30", "--raise", "half-diamond 35,left r3 h2 every 30 both edges"]


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def levels(folder):
    return parse_design((folder / "design.json").read_text("utf-8")).levels


@pytest.mark.parametrize(
    ("name", "size"),
    [
        ("tide-pool.png", ["--columns", 17]),
        ("shoreline.png", ["--columns", 16, "--mirror", "--hand", "left"]),
        ("shoreline.png", ["--columns", 13, "--rows", 90, "--start", "bottom", "--invert-heights"]),
        ("tide-pool.png", ["--columns", 15, "--rows", 90, "--fit", "contain", "--thresholds", "0.2,0.4,0.6"]),
    ],
)
def test_a_map_made_of_mounds_gives_the_levels_of_the_mounds_themselves(name, size, tmp_path):
    told = hummock("heights", SAMPLES / name, *size, *DOMES, "--out", tmp_path / "map.png")
    assert told.exit_code == 0, told.output
    with Image.open(tmp_path / "map.png") as drawn:
        assert drawn.mode.startswith("I")
    by_map = ["convert", SAMPLES / name, *size, "--heights", tmp_path / "map.png", "--no-surface"]
    by_words = ["convert", SAMPLES / name, *size, *DOMES, "--no-surface"]
    for words, out in ((by_map, "by-map"), (by_words, "by-words")):
        made = hummock(*words, "--out", tmp_path / out)
        assert made.exit_code == 0, made.output
    np.testing.assert_array_equal(levels(tmp_path / "by-map"), levels(tmp_path / "by-words"))
    assert levels(tmp_path / "by-words").max() == 3


@pytest.mark.parametrize("most", [100_000_000, 30_000])
def test_without_a_picture_the_map_has_the_proportions_of_the_work_and_at_most_the_pixels(most, tmp_path):
    words = ["heights", "--columns", 17, "--rows", 99, *DOMES, "--max-pixels", most, "--out", tmp_path / "map.png"]
    told = hummock(*words)
    assert told.exit_code == 0, told.output
    with Image.open(tmp_path / "map.png") as drawn:
        assert drawn.height / drawn.width == pytest.approx(100 * 0.8 / (17 * 1.3), rel=0.01)
        assert most > 30_000 or most / 2 < drawn.width * drawn.height <= most


def test_a_guessed_map_says_that_it_is_only_a_start(tmp_path):
    words = ["heights", SAMPLES / "tide-pool.png", "--columns", 25, "--from-picture", "saliency", "--out"]
    told = hummock(*words, tmp_path / "map.png")
    assert told.exit_code == 0, told.output
    assert "only a start" in told.output
    size = ["--columns", 25, "--heights", tmp_path / "map.png", "--no-surface", "--out", tmp_path / "made"]
    made = hummock("convert", SAMPLES / "tide-pool.png", *size)
    assert made.exit_code == 0, made.output
    assert levels(tmp_path / "made").any()
    refused = hummock(*words, tmp_path / "map.png")
    assert (refused.exit_code, "--force" in refused.output) == (2, True)
