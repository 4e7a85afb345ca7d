import json
from dataclasses import replace
from itertools import islice

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from strategies import SIZES, bead_of, designs

from shared.design import Bead, Design
from shared.design_file import design_text, parse_design
from shared.errors import BadFileError
from shared.grid import Grid
from shared.letters import letter_of, letters_after, letters_at


@pytest.fixture
def design():
    cells = np.arange(10) % 3
    return Design(
        "Tide pool", Grid(5, 4), SIZES, (bead_of(0, 0), bead_of(0, 1), bead_of(1, 0)), cells, {"made": "by hand"}
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
    assert values["version"] == 2
    assert [(bead["kind"], bead["letter"]) for bead in values["beads"]] == [("A", "A"), ("A11", "A"), ("B", "B")]
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
        (changed(version=3), "newer Hummock"),
        (changed(version="2"), "version"),
        (changed(version=True), "2 was expected"),
        (changed(columns=1), "columns"),
        (changed(columns=2, drop=2), "2 is too few columns; give 4 or more"),
        (changed(columns=5.5), "5.5"),
        (changed(columns=7), "row 1: has 3 beads where 4 belong"),
        (changed(rows=5), "4 rows of cells where 5 belong"),
        (changed(hand="both"), "hand"),
        (changed(title=""), "title"),
        (changed(title="two\nlines"), "one line"),
        (changed(cells=[["A", "A", "A"], ["A", "A"], ["A", "Z", "A"], ["A", "A"]]), "row 3: the kind 'Z'"),
        (changed(cells=[["A", "A", "A"], ["A"], ["A", "A", "A"], ["A", "A"]]), "row 2: has 1 bead where 2 belong"),
        (changed(cells=[["A", "A", 3], ["A", "A"], ["A", "A", "A"], ["A", "A"]]), "cells 1 3"),
        (changed(extra=1), "extra"),
        (changed(sizes=[]), "sizes"),
        (changed(ladder=[]), "ladder"),
        (in_bead(srgb="blue"), "beads 1 srgb"),
        (in_bead(kind="A8"), "must be letters"),
        (in_bead(kind="B", letter="B"), "same kind"),
        (in_bead(letter="C"), "letter of A"),
        (in_bead(source="a\nb"), "source of A"),
        (changed(columns=10**9), "over 2,000,000 beads"),
        (changed(title="x" * 300), "at most 200"),
        (in_bead(size="round 15/0"), "not among the bead sizes"),
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


def old_form(design):
    """Return the values as version 1 had them, with letters I and O among its keys."""
    values = json.loads(design_text(design))
    new = {"C": "I", "D": "O", "E": "P"}
    beads = [{name: value for name, value in bead.items() if name != "letter"} for bead in values["beads"]]
    for bead in beads:
        kind = bead.pop("kind")
        bead["key"] = new.get(letter_of(kind), letter_of(kind)) + kind[len(letter_of(kind)) :]
    key_of = {bead["kind"]: old["key"] for bead, old in zip(values["beads"], beads, strict=True)}
    cells = [[key_of[kind] for kind in row] for row in values["cells"]]
    values |= {"version": 1, "ladder": values.pop("sizes"), "beads": beads, "cells": cells}
    if values["drop"] == 1:
        del values["drop"]
    return values


@pytest.mark.parametrize("drop", [1, 2])
def test_version_1_is_read_and_version_2_written(drop):
    beads = tuple(bead_of(colour, level) for colour, level in ((0, 0), (2, 0), (2, 2), (3, 1)))
    design = Design("Limpet", Grid(6, 4, drop=drop), SIZES, beads, np.arange(12) % 4)
    read = parse_design(json.dumps(old_form(design)))
    assert [bead.kind for bead in read.beads] == ["A", "I", "I8", "O11"]
    assert replace(read, beads=design.beads) == design
    assert parse_design(design_text(read)) == read


def test_letters_leave_out_i_and_o_and_go_on_after_z():
    """They read as 1 and 0."""
    firsts = [letters_at(place) for place in range(700)]
    assert "".join(firsts[:24]) == "ABCDEFGHJKLMNPQRSTUVWXYZ"
    assert [firsts[place] for place in (24, 47, 48, 599, 600)] == ["AA", "AZ", "BA", "ZZ", "AAA"]
    assert len(set(firsts)) == 700
    assert not {"I", "O"} & set("".join(firsts))


@given(st.sets(st.text(st.sampled_from("ABHIJNOPZ"), min_size=1, max_size=2)))
def test_new_letters_are_none_in_use_and_come_after_those_in_use(used):
    new = list(islice(letters_after(used), 100))
    every = [letters_at(place) for place in range(1000)]
    first = every.index(new[0])
    assert new == every[first : first + 100]
    assert not used & set(new)
    assert all(every.index(letters) < first for letters in used if not {"I", "O"} & set(letters))


def test_counts_and_levels(design):
    assert design.counts.tolist() == [4, 3, 3]
    assert design.levels.tolist() == [0, 1, 0] * 3 + [0]


def test_beads_outside_the_list_are_refused():
    with pytest.raises(BadFileError, match="not in the list"):
        Design("x", Grid(2, 2), SIZES, (bead_of(0, 0),), np.array([0, 1]))
    with pytest.raises(BadFileError, match="3 cells where 2 belong"):
        Design("x", Grid(2, 2), SIZES, (bead_of(0, 0),), np.array([0, 0, 0]))
    with pytest.raises(BadFileError, match="not among the bead sizes"):
        Design("x", Grid(2, 2), SIZES, (Bead("A", "round 9/0", "#000000", (0, 0, 0), "ink"),), np.array([0, 0]))
