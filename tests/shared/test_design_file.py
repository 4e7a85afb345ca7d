import json

import numpy as np
import pytest
from hypothesis import given
from jsonschema import Draft202012Validator
from strategies import LADDER, bead_of, designs

from shared.design import Bead, Design, letters
from shared.design_file import design_text, parse_design
from shared.errors import BadFileError
from shared.grid import Grid


@pytest.fixture
def design():
    cells = np.arange(10) % 3
    return Design(
        "Tide pool", Grid(5, 4), LADDER, (bead_of(0, 0), bead_of(0, 1), bead_of(1, 0)), cells, {"made": "by hand"}
    )


@given(designs())
def test_a_design_comes_back_from_its_file(design):
    text = design_text(design)
    assert parse_design(text) == design
    assert design_text(parse_design(text)) == text


def test_rows_stand_in_column_order_one_to_a_line(design):
    values = json.loads(design_text(design))
    assert [len(row) for row in values["cells"]] == [3, 2, 3, 2]
    assert values["cells"][0] == ["A", "A11", "B"]
    assert values["format"] == "hummock-design"
    assert values["version"] == 1
    assert sum(line.startswith('  ["') for line in design_text(design).splitlines()) == 4


def test_the_schema_is_itself_valid():
    """JSON Schema draft 2020-12, by the ``jsonschema`` library."""
    from importlib.resources import files

    Draft202012Validator.check_schema(json.loads(files("shared").joinpath("design.schema.json").read_text("utf-8")))


def changed(**changes):
    def change(values):
        return values | changes

    return change


def in_bead(**changes):
    def change(values):
        return values | {"beads": [values["beads"][0] | changes, *values["beads"][1:]]}

    return change


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (changed(format="another"), "no Hummock design"),
        (changed(version=2), "newer Hummock"),
        (changed(version="1"), "version"),
        (changed(columns=0), "columns"),
        (changed(columns=5.5), "5.5"),
        (changed(columns=7), "row 1: has 3 beads where 4 belong"),
        (changed(rows=5), "4 rows of cells where 5 belong"),
        (changed(hand="both"), "hand"),
        (changed(title=""), "title"),
        (changed(title="two\nlines"), "one line"),
        (changed(cells=[["A", "A", "A"], ["A", "A"], ["A", "Z", "A"], ["A", "A"]]), "row 3: the key 'Z'"),
        (changed(cells=[["A", "A", "A"], ["A"], ["A", "A", "A"], ["A", "A"]]), "row 2: has 1 bead where 2 belong"),
        (changed(cells=[["A", "A", 3], ["A", "A"], ["A", "A", "A"], ["A", "A"]]), "cells 1 3"),
        (changed(extra=1), "extra"),
        (changed(bead_sizes=[]), "ladder"),
        (in_bead(srgb="blue"), "beads 1 srgb"),
        (in_bead(key="A8"), "must be letters"),
        (in_bead(key="B"), "same key"),
        (in_bead(source="a\nb"), "source of A"),
        (changed(columns=10**9), "over 2,000,000 beads"),
        (changed(title="x" * 300), "at most 200"),
        (in_bead(size="round 15/0"), "ladder lacks"),
        (in_bead(lab=[1, 2]), "beads 1 lab"),
        (in_bead(name=" sand"), "name of A"),
    ],
)
def test_a_damaged_design_says_what_and_where(design, change, words):
    values = change(json.loads(design_text(design)))
    with pytest.raises(BadFileError) as caught:
        parse_design(json.dumps(values), source="cuff.json")
    assert words in str(caught.value)
    assert str(caught.value).startswith("cuff.json: ")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize(
    "text", ["", "{", "[]", "3", "null", '{"format": "hummock-design", "version": NaN}', "[" * 100_000]
)
def test_what_is_no_design_is_refused(text):
    with pytest.raises(BadFileError):
        parse_design(text)


def test_a_design_cut_short_is_refused_at_every_length(design):
    text = design_text(design)
    for end in range(0, len(text) - 2, 7):
        with pytest.raises(BadFileError):
            parse_design(text[:end])


def test_cells_cannot_be_changed(design):
    with pytest.raises(ValueError, match="read-only"):
        design.cells[0] = 1


def test_letters_go_on_after_z():
    assert [letters(place) for place in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]


def test_counts_and_levels(design):
    assert design.counts.tolist() == [4, 3, 3]
    assert design.levels.tolist() == [0, 1, 0] * 3 + [0]


def test_beads_outside_the_list_are_refused():
    with pytest.raises(BadFileError, match="not in the list"):
        Design("x", Grid(1, 2), LADDER, (bead_of(0, 0),), np.array([1]))
    with pytest.raises(BadFileError, match="2 cells where 1 belong"):
        Design("x", Grid(1, 2), LADDER, (bead_of(0, 0),), np.array([0, 0]))
    with pytest.raises(BadFileError, match="ladder lacks"):
        Design("x", Grid(1, 2), LADDER, (Bead("A", "round 9/0", "#000000", (0, 0, 0), "ink"),), np.array([0]))
