"""Hidden rooms: those of dead processes are found and their folder mended; all else that is hidden is left alone."""

import json
import os

import pytest
from folders import OUTPUTS, contents, killed_midway, snapshot

from convert.drafts import ROOM, MendedWarning, drafting_room, mend
from convert.files import place

OLD = dict.fromkeys(OUTPUTS, b"old")
NAME = f"{ROOM}0123456789abcdef"


@pytest.fixture
def out(tmp_path):
    """A folder of older outputs and a file of somebody else's."""
    place(OLD | {"notes.txt": b"mine"}, tmp_path / "out", force=False)
    (tmp_path / "out" / "chart.svg").unlink()
    return tmp_path / "out"


def test_a_folder_is_mended_in_one_sentence_and_once(out):
    before = snapshot(out)
    killed_midway(out, OUTPUTS, 3)
    assert contents(out, hidden=False) == OUTPUTS | {"beads.csv": b"old", "notes.txt": b"mine"}
    with pytest.warns(MendedWarning) as told:
        mend(out)
    names = "design.json, chart.svg, rows.txt"
    sentence = f"{out}: a run was killed while it replaced {names}; all files are again what they were before it"
    assert [str(one.message) for one in told] == [sentence]
    assert snapshot(out) == before
    mend(out)


def test_what_somebody_did_since_the_kill_is_kept(out):
    killed_midway(out, OUTPUTS, 3)
    (out / "design.json").write_bytes(OUTPUTS["design.json"] + b"mine")
    (out / "chart.svg").unlink()
    with pytest.warns(MendedWarning):
        mend(out)
    assert contents(out) == {
        "design.json": OUTPUTS["design.json"] + b"mine",
        "rows.txt": b"old",
        "beads.csv": b"old",
        "notes.txt": b"mine",
    }


def test_a_run_that_lives_is_left_alone(out):
    run = killed_midway(out, OUTPUTS, 2, wait=True)
    before = snapshot(out)
    mend(out)
    assert snapshot(out) == before
    run.communicate(b"")
    assert contents(out) == OUTPUTS | {"notes.txt": b"mine"}


def test_what_cannot_be_put_back_is_said_and_kept(out):
    killed_midway(out, OUTPUTS, 2)
    room = next(out.glob(f"{ROOM}*"))
    (room / "old" / "design.json").rename(out / "aside")
    with pytest.warns(MendedWarning):
        mend(out)
    (out / "aside").rename(room / "old" / "design.json")
    with pytest.warns(MendedWarning):
        mend(out)
    assert contents(out) == {name: data for name, data in OLD.items() if name != "chart.svg"} | {"notes.txt": b"mine"}


@pytest.mark.parametrize(
    "make",
    [
        pytest.param(lambda home: (home / NAME).mkdir(), id="no journal"),
        pytest.param(lambda home: room(home, f"{NAME}0"), id="longer name"),
        pytest.param(lambda home: room(home, f"{ROOM}photographs"), id="other name"),
        pytest.param(lambda home: (room(home, "mine"), (home / NAME).symlink_to("mine")), id="link to a folder"),
        pytest.param(
            lambda home: ((home / NAME).mkdir(), (home / NAME / "hummock-journal").symlink_to(home / "notes.txt")),
            id="journal a link",
        ),
        pytest.param(lambda home: (home / NAME).write_bytes(b"mine"), id="file"),
    ],
)
def test_what_is_hidden_but_not_surely_ours_is_left_alone(tmp_path, make):
    """However old it is."""
    (tmp_path / "notes.txt").write_bytes(b"")
    make(tmp_path)
    for path in tmp_path.rglob("*"):
        os.utime(path, (0, 0), follow_symlinks=False)
    before = snapshot(tmp_path)
    mend(tmp_path)
    place(OUTPUTS, tmp_path / "new", force=False)
    place({"one.txt": b"1"}, tmp_path, force=False)
    assert before.items() <= snapshot(tmp_path).items()


def room(home, name):
    """A folder like those that a killed run leaves; it is removed where the name is right."""
    (home / name / "draft").mkdir(parents=True)
    (home / name / "hummock-journal").write_text(json.dumps(["notes.txt", False, [1, 1, 1]]) + "\n")


def test_the_room_of_a_killed_run_goes_without_a_word_where_nothing_was_moved(tmp_path):
    room(tmp_path, NAME)
    mend(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_a_room_goes_whatever_ends_its_work(tmp_path):
    def fail(error):
        with drafting_room(tmp_path) as (made, _):
            (made / "draft").write_bytes(b"")
            raise error

    for error in (FileNotFoundError, KeyboardInterrupt):
        with pytest.raises(error):
            fail(error)
    assert list(tmp_path.iterdir()) == []
