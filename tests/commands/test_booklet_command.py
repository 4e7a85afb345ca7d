"""``hummock booklet`` as a person calls it: what it writes, and what it refuses in one sentence."""

import json
from dataclasses import fields

import pytest
from booklets import KINDS, random_design
from typer.testing import CliRunner

from convert.cli.app import app
from convert.documents.booklet.choices import BookletChoices
from convert.documents.booklet.layout import layout_for
from convert.documents.booklet.materials import TIMES
from shared.choice import asked_of
from shared.design_file import design_text

STUDIO = 'name = "Ása Møller-Καρρά"\ncontact = ["asa@example.org"]\nterms = "Stitch it for yourself."\n'


def run(*words):
    return CliRunner().invoke(app, ["booklet", *map(str, words)])


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "design.json").write_text(design_text(KINDS["odd"]()), encoding="utf-8")
    return tmp_path


def write_design(path, design):
    path.write_text(design_text(design), encoding="utf-8")
    return path


def test_it_writes_one_pdf_beside_the_design(folder):
    assert run(folder).exit_code == 0
    assert (folder / "booklet.pdf").read_bytes().startswith(b"%PDF-1.7")
    assert sorted(path.name for path in folder.iterdir()) == ["booklet.pdf", "design.json"]


def test_a_booklet_that_is_there_is_replaced_only_by_force(folder):
    (folder / "booklet.pdf").write_bytes(b"mine")
    refused = run(folder)
    assert refused.exit_code == 2
    assert "--force" in refused.output
    assert (folder / "booklet.pdf").read_bytes() == b"mine"
    assert run(folder, "--force").exit_code == 0
    assert (folder / "booklet.pdf").read_bytes() != b"mine"


def test_the_command_has_the_defaults_of_the_choices():
    assert BookletChoices().least_bead_mm is None
    leasts = [layout_for("a4", large_print=large).least_bead_mm for large in (False, True)]
    (least,) = (one for one in fields(BookletChoices) if one.name == "least_bead_mm")
    assert asked_of(least).shown == "{:g}mm, in large print {:g}mm".format(*leasts)


@pytest.mark.outside
def test_every_option_is_heard(folder, tmp_path):
    from booklets import text_of

    studio = tmp_path / "studio.toml"
    studio.write_text(STUDIO, encoding="utf-8")
    other = write_design(tmp_path / "other.json", random_design(9, 40, name="mist"))
    words = ["--studio", studio, "--colorway", other, "--pack", "7.5g", "--spare", "25", "--clasp", "33mm"]
    out = tmp_path / "made"
    assert run(folder, *words, "--least-bead", "4mm", "--out", out, "--quiet").output == ""
    text = " ".join("\n".join(text_of((out / "booklet.pdf").read_bytes(), tmp_path)).split())
    for said in ("by Ása Møller-Καρρά", "asa@example.org", "Stitch it for yourself.", "mist 1", "With 25 % spare"):
        assert said in text
    assert "counts 33 mm of length" in text
    assert f"{TIMES} 7.5 g" in text


@pytest.mark.parametrize("character", ["☃", "中", "א"])
def test_a_character_that_the_typeface_lacks_is_named(tmp_path, character):
    path = write_design(tmp_path / "design.json", random_design(5, 6, kinds=1, name=f"frost {character}"))
    done = run(path)
    assert done.exit_code == 2
    assert f"'{character}' (U+{ord(character):04X})" in done.output
    assert f"frost {character}" in done.output
    assert len(done.output.strip().splitlines()) == 1


def test_a_character_that_the_typeface_lacks_in_the_studio_file_is_named(folder, tmp_path):
    studio = tmp_path / "studio.toml"
    studio.write_text('name = "Snow \\u2603"', encoding="utf-8")
    done = run(folder, "--studio", studio)
    assert done.exit_code == 2
    assert "Snow ☃" in done.output


@pytest.mark.parametrize(
    "other",
    [lambda: random_design(9, 42), lambda: random_design(9, 40, seed=2), lambda: random_design(9, 40, hand="left")],
    ids=["more rows", "other rows", "other hand"],
)
def test_a_colourway_must_differ_in_colours_only(folder, tmp_path, other):
    path = write_design(tmp_path / "other.json", other())
    done = run(folder, "--colourway", path)
    assert done.exit_code == 2
    assert "is no colourway of" in done.output


def test_too_many_kinds_for_black_ink_are_refused(tmp_path):
    path = write_design(tmp_path / "design.json", random_design(60, 40, kinds=900))
    done = run(path, "--ink", "black")
    assert done.exit_code == 2
    assert "black ink" in done.output


@pytest.mark.parametrize(("columns", "rows"), [(2, 10_001), (1001, 200)])
def test_a_work_too_large_for_a_book_is_refused_before_anything_is_drawn(tmp_path, columns, rows):
    path = write_design(tmp_path / "design.json", random_design(columns, rows, kinds=2))
    done = run(path)
    assert done.exit_code == 2
    assert f"in {rows:,} rows are too many for a booklet" in " ".join(done.output.split())
    assert "hummock page" in done.output
    assert [one.name for one in tmp_path.iterdir()] == ["design.json"]


def test_design_values_are_all_that_is_needed(folder, tmp_path):
    """The design file alone makes the booklet: its provenance plays no part."""
    values = json.loads((folder / "design.json").read_text("utf-8"))
    values["provenance"] = {"picture": "elsewhere"}
    other = tmp_path / "other"
    other.mkdir()
    (other / "design.json").write_text(json.dumps(values), encoding="utf-8")
    assert run(folder).exit_code == run(other).exit_code == 0
    assert (folder / "booklet.pdf").read_bytes() == (other / "booklet.pdf").read_bytes()
