"""Each word of the command line reaches the step that it is for."""

import json
from dataclasses import fields

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from convert.cli.app import app
from convert.options import Options

WORDS = {
    "columns": (["--columns", "7"], 7),
    "width_mm": (["--width", "1in"], 25.4),
    "rows": (["--rows", "12"], 12),
    "length_mm": (["--length", "2cm"], 20.0),
    "colours": (["--colours", "3"], 3),
    "fit": (["--fit", "contain"], "contain"),
    "crop": (["--crop", "5%,0%,90%,100%"], {"left": 5, "top": 0, "width": 90, "height": 100, "percent": True}),
    "turn": (["--turn", "180"], "180"),
    "mirror": (["--mirror"], True),
    "ground": (["--ground", "#112233"], "#112233"),
    "hand": (["--hand", "left"], "left"),
    "start": (["--start", "bottom"], "bottom"),
    "repeat": (["--repeat", "2"], 2),
    "first_rows": (["--first-rows", "3"], 3),
    "last_rows": (["--repeat", "auto", "--rows", "90", "--last-rows", "2"], 2),
    "mirror_half": (["--mirror-half"], True),
    "drop": (["--columns", "8", "--drop", "2"], 2),
    "thresholds": (["--thresholds", "20%,0.5"], [0.2, 0.5]),
    "slopes": (["--slopes", "widen"], "widen"),
    "blur_mm": (["--blur", "1.5mm"], 1.5),
    "invert_heights": (["--invert-heights"], True),
    "stretch_heights": (["--stretch-heights"], True),
    "spare_percent": (["--spare", "25%"], 25),
    "max_pixels": (["--max-pixels", "2M"], 2_000_000),
    "style": (["--style", "flat"], "flat"),
    "palette": (["--palette", "pebbles"], "pebbles"),
    "keep": (["--keep", "wet ink=#20242a"], [["wet ink", "#20242a"]]),
    "never": (["--never", "chalk"], ["chalk"]),
    "finish": (["--finish", "opaque, matte"], ["opaque", "matte"]),
    "count": (["--count", "kinds"], "kinds"),
    "fewest": (["--fewest", "9"], 9),
    "domes": (["--raise", "diamond 12,4 r2"], ["diamond 12,4 r2"]),
    "tidy": (["--tidy", "2.5"], 2.5),
    "title": (["--title", "My cuff"], "My cuff"),
}


@pytest.fixture(scope="module")
def picture(tmp_path_factory):
    path = tmp_path_factory.mktemp("drawn") / "picture.png"
    Image.fromarray(np.random.default_rng(1).integers(0, 256, (48, 24, 3)).astype(np.uint8)).save(path)
    return path


TOGETHER = (
    ("width_mm", "length_mm", "palette", "never", "finish", "count"),
    ("repeat", "first_rows", "mirror_half"),
    ("last_rows",),
    ("drop",),
)
"""What goes with one another but not with the others, which are all tried at once."""


def test_every_option_is_tried():
    assert {field.name for field in fields(Options)} == {*WORDS, "bead_sizes"}


@pytest.mark.parametrize("names", [*TOGETHER, tuple(WORDS.keys() - {name for names in TOGETHER for name in names})])
def test_options_are_taken_at_their_word(names, picture, tmp_path):
    words = [word for name in names for word in WORDS[name][0]]
    width = [] if {"--columns", "--width"} & {*words} else ["--columns", "7"]
    made = CliRunner().invoke(app, ["convert", str(picture), *words, *width, "--out", str(tmp_path / "made")])
    assert made.exit_code == 0, made.output
    design = json.loads((tmp_path / "made" / "design.json").read_text("utf-8"))
    for name in names:
        assert design["provenance"]["options"][name] == WORDS[name][1], name
        if name in {"columns", "rows", "hand", "start", "drop", "title"}:
            assert design[name] == WORDS[name][1]


def test_bead_sizes_are_taken_at_its_word(picture, tmp_path):
    bead_sizes = tmp_path / "mine.toml"
    bead_sizes.write_text(
        '[[size]]\nname = "cylinder 15/0"\nlength_mm = 1\ndiameter_mm = 1.3\nhole_mm = 0.6\nper_gram = 400\n'
    )
    words = ["convert", str(picture), "--columns", "9", "--measures", str(bead_sizes), "--out", str(tmp_path / "made")]
    assert CliRunner().invoke(app, words).exit_code == 0
    design = json.loads((tmp_path / "made" / "design.json").read_text("utf-8"))
    assert design["sizes"][0]["name"] == "cylinder 15/0"
