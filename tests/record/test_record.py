"""Recorded commands give what they gave, but for the changes in ``changes.toml``."""

import json
import re
import warnings

import numpy as np
import pytest
from record.commands import COMMANDS, FAST, REFUSED
from record.compare import compare
from record.content import read_rows
from record.run import baseline, changes, contents, options_not_tried

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour as science


@pytest.fixture(scope="module")
def recorded():
    return baseline()


def test_content_is_as_recorded(recorded, tmp_path):
    found = {
        difference[:4]
        for name, content in contents(tmp_path, recorded["kept"], FAST)
        for difference in compare(name, recorded["commands"][name], content)
        if not difference.loose
    }
    assert found == {change for change in changes() if change[0] in FAST}


def test_every_option_is_recorded(recorded):
    assert not options_not_tried()
    assert recorded["commands"].keys() == COMMANDS.keys()
    refused = {name for name, content in recorded["commands"].items() if content["(told)"]["status"]}
    assert refused == set(REFUSED)


def test_both_forms_of_word_rows_are_read():
    first = """# Cuff
bead A = cylinder 11/0 #2f4a5a deep slate
bead A11 = round 11/0 #2f4a5a deep slate
1+2 > 5: 5 A
3 < 3: 1 A11, 2 A; odd-count turn
4 > 2: 2 A
# check: here
5 < 3: 3 A; odd-count turn
6-9 = 4-5
"""
    second = """# Cuff
A: cylinder 11/0, deep slate (#2f4a5a)
A11: round 11/0, deep slate (#2f4a5a)
Rows 1+2 → 5: 5 A
Row 3 ← 3: 1 A11, 2 A; odd-count turn
Row 4 → 2: 2 A
Row 5 ← 3: 3 A; odd-count turn
Rows 6\u20139: as rows 4\u20135
"""
    told = read_rows(first)
    assert told == read_rows(second)
    assert told[1] == "3 <3 turn: 1*2f4a5a/1 2*2f4a5a/0"
    assert [line.partition(" ")[2] for line in told[2:]] == 3 * [">2 : 2*2f4a5a/0", "<3 turn: 3*2f4a5a/0"]


def test_one_bead_of_another_colour_is_told(recorded):
    old = recorded["commands"]["bracelet"]
    new = json.loads(json.dumps(old))
    design = new["bracelet/design.json"]
    assert not list(compare("bracelet", old, new))
    design["kinds"].append("ff0000/0")
    row = design["cells"][7]
    design["cells"][7] = chr(48 + len(design["kinds"]) - 1) + row[1:]
    was = design["kinds"][ord(row[0]) - 48][:6]
    (told,) = compare("bracelet", old, new)
    lab = [science.XYZ_to_Lab(science.sRGB_to_XYZ(np.array([*bytes.fromhex(code)]) / 255)) for code in (was, "ff0000")]
    found = re.fullmatch(r"1 of (\d+) beads, 0 in size, by (.*) on average and at most (.*); now \w+, .*", told.figures)
    assert int(found[1]) == sum(map(len, design["cells"]))
    assert [float(found[2]), float(found[3])] == pytest.approx([science.delta_E(*lab, method="CIE 2000")] * 2, abs=0.02)
    assert told.part == "cells"
    assert not told.loose
