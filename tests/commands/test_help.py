"""What the help shows: every choice once, under its heading, and examples that can be typed."""

import shlex
from dataclasses import fields

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from convert.cli.app import EXAMPLES, app
from convert.options import Options
from shared.choice import GROUPS, asked_of, option_name

COMMANDS = {name: get_command(app).get_command(None, name) for name in EXAMPLES}


def shown(*words):
    made = CliRunner().invoke(app, [*words])
    assert made.exit_code == 0, made.output
    return made.output


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_every_command_has_examples_that_its_options_allow(name):
    told, known = shown(name, "--help"), {flag for one in COMMANDS[name].params for flag in one.opts}
    assert EXAMPLES[name]
    for example in EXAMPLES[name]:
        assert f"  {example}\n" in told
        program, command, *words = shlex.split(example)
        assert (program, command) == ("hummock", name)
        assert {word for word in words if word.startswith("--")} <= known


def test_convert_shows_every_choice_once_under_the_heading_of_its_group():
    lines = shown("convert", "--help").splitlines()
    headings = [line.removesuffix(":") for line in lines if line.endswith(":") and not line.startswith(" ")]
    assert headings == ["Arguments", *GROUPS, "Examples"]
    under, heading = {}, ""
    for line in lines:
        heading = line.removesuffix(":") if line and not line.startswith(" ") else heading
        if line.startswith("  --"):
            under.setdefault(line.split()[0].rstrip(","), []).append(heading)
    assert {f"--{option_name(one)}": [asked_of(one).group] for one in fields(Options)}.items() <= under.items()
    assert len(EXAMPLES["convert"]) >= 2


def test_without_a_command_it_shows_three_first_lines_to_type():
    lines = [line for line in shown().splitlines() if line.startswith("  hummock ")]
    assert len(lines) == 3
