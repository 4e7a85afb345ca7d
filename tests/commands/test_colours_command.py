import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from convert.cli.app import app
from convert.cli.colours import NAME
from shared.design_file import parse_design

SAMPLES = Path(__file__).parents[2] / "samples"
LINES = SAMPLES / "urchin-lines.png"


def hummock(*words):
    return CliRunner().invoke(app, [*map(str, words)])


@pytest.fixture(scope="module")
def reviewed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("reviewed") / "lines"
    told = hummock("colours", LINES, "--style", "photo", "--columns", 20, "--to", 6, "--out", folder)
    assert told.exit_code == 0, told.output
    return folder, told.output


def test_a_page_is_written_and_a_table_is_told(reviewed):
    folder, told = reviewed
    assert [path.name for path in folder.iterdir()] == [NAME]
    assert (folder / NAME).read_text("utf-8").startswith("<!DOCTYPE html>")
    assert re.findall(r"^ +(\d) +\d+\.\d\d", told, re.MULTILINE) == list("23456")
    assert told.count("<- suggested") == 1
    assert "colours suggested: " in told


def test_same_input_same_bytes(reviewed, tmp_path):
    again = hummock(
        "colours", LINES, "--style", "photo", "--columns", 20, "--to", 6, "--out", tmp_path / "again", "--quiet"
    )
    assert (again.exit_code, again.output) == (0, "")
    assert (tmp_path / "again" / NAME).read_bytes() == (reviewed[0] / NAME).read_bytes()


def test_outputs_are_replaced_only_if_asked(tmp_path):
    (tmp_path / "colours.html").write_text("mine")
    refused = hummock("colours", LINES, "--columns", 9, "--to", 3, "--out", tmp_path)
    assert refused.exit_code == 2
    assert "--force" in refused.output
    assert (tmp_path / "colours.html").read_text() == "mine"
    assert hummock("colours", LINES, "--columns", 9, "--to", 3, "--out", tmp_path, "--force").exit_code == 0


def test_the_summary_of_auto_says_why(tmp_path):
    told = hummock("colours", LINES, "--columns", 20, "--out", tmp_path / "reviewed")
    (suggestion,) = re.findall(r"^(\d+) colours suggested: (.*)\.$", told.output, re.MULTILINE)
    made = hummock("convert", LINES, "--columns", 20, "--colours", "auto", "--out", tmp_path / "made")
    assert made.exit_code == 0, made.output
    assert f"note: {suggestion[0]} colours by --colours auto: {suggestion[1]}" in made.output
    design = parse_design((tmp_path / "made" / "design.json").read_text("utf-8"))
    assert len({bead.srgb for bead in design.beads}) == int(suggestion[0])
    assert design.provenance["options"]["colours"] == "auto"


def test_beads_to_buy_are_called_so_everywhere(tmp_path):
    choices = ("--palette", "coast", "--count", "kinds", "--to", 9, "--columns", 15, "--out", tmp_path)
    told = hummock("colours", SAMPLES / "tide-pool.png", "--heights", SAMPLES / "tide-pool-heights.png", *choices)
    assert told.exit_code == 0, told.output
    assert re.search(r"^note: fewer than 4 .* cannot be had, so the review begins there$", told.output, re.MULTILINE)
    page = (tmp_path / "colours.html").read_text("utf-8")
    number, colours = re.search(r"(\d+) beads to buy, in (\d+) colours? suggested", told.output).groups()
    assert f"--colours {number}</code>" in page
    assert f"<h3>{number} beads to buy, in {colours} colour" in page
    assert "The picture has only" not in page
