import json
import re

import pytest
from stitch_page_oracle import data_of, waves
from typer.testing import CliRunner

from convert.cli.app import app
from convert.cli.documents import STITCH_NAME
from shared.design_file import design_text


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "design.json").write_text(design_text(waves()), "utf-8")
    return tmp_path


def test_a_folder_or_its_design_gives_the_same_page(folder):
    one = hummock("page", folder)
    assert one.exit_code == 0, one.output
    two = hummock("page", folder / "design.json", "--out", folder / "again")
    assert two.exit_code == 0, two.output
    assert (folder / STITCH_NAME).read_bytes() == (folder / "again" / STITCH_NAME).read_bytes()
    assert f"wrote {STITCH_NAME}" in one.output
    data = data_of((folder / STITCH_NAME).read_text("utf-8"))
    assert data["shape"] is not None
    assert data["repeats"] == [4, 16, 160]


def test_no_surface_leaves_the_view_out(folder):
    assert hummock("page", folder, "--no-surface", "--quiet").output == ""
    assert data_of((folder / STITCH_NAME).read_text("utf-8"))["shape"] is None


def test_a_page_is_replaced_only_if_asked(folder):
    (folder / STITCH_NAME).write_text("mine")
    refused = hummock("page", folder)
    assert refused.exit_code == 2
    assert (folder / STITCH_NAME).read_text() == "mine"
    assert hummock("page", folder, "--force", "--no-surface").exit_code == 0
    assert (folder / STITCH_NAME).read_text("utf-8").startswith("<!DOCTYPE html>")


def test_it_says_why_there_is_no_view(tmp_path):
    (tmp_path / "design.json").write_text(design_text(waves(10, 24, drop=2)), "utf-8")
    run = hummock("page", tmp_path)
    assert run.exit_code == 0
    assert "note: no view in space" in run.output


def test_what_is_no_design_is_refused_in_one_sentence(tmp_path):
    (tmp_path / "design.json").write_text(json.dumps({"format": "other"}))
    run = hummock("page", tmp_path)
    assert run.exit_code == 2
    assert re.fullmatch(r"hummock: \S*design\.json: [^\n]+\n", run.output)
    assert not (tmp_path / STITCH_NAME).exists()
