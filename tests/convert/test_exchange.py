"""Which folders are exchanged for a copy with new files in it, and that nobody's files are harmed by it."""

import os
import stat
import sys

import pytest
from folders import OUTPUTS, contents, snapshot

from convert.disk import exchange
from convert.files import place

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="only Linux exchanges folders")
OLD = dict.fromkeys(OUTPUTS, b"old")
PART = {name: content for name, content in OUTPUTS.items() if name != "design.json"}


@pytest.fixture
def out(tmp_path):
    """A folder of older outputs."""
    place(OLD, tmp_path / "home" / "out", force=False)
    return tmp_path / "home" / "out"


def which(path):
    return path.lstat().st_ino


def was_exchanged(folder, outputs=OUTPUTS, *, by=None):
    """Place outputs; tell whether the folder is another one now. Wherever they went, nothing else is left behind."""
    before, others = which(folder.resolve()), contents(folder, but=outputs)
    place(outputs, by or folder, force=True)
    assert contents(folder) == others | outputs
    assert not list(folder.resolve().parent.glob(".hummock*"))
    return which(folder.resolve()) != before


def test_a_pattern_is_exchanged_whole(out):
    assert was_exchanged(out)
    assert list(out.parent.iterdir()) == [out]


def test_what_lies_beside_the_outputs_stays_the_same_file(out):
    (out / "notes.txt").write_bytes(b"mine")
    (out / "notes.txt").chmod(0o604)
    (out / "link.txt").symlink_to("notes.txt")
    (out / "chart.svg").chmod(0o640)
    out.chmod(0o750)
    files = {name: which(out / name) for name in ("notes.txt", "link.txt")}
    with (out / "notes.txt").open("ab") as still_open:
        assert was_exchanged(out)
        still_open.write(b" too")
    assert {name: which(out / name) for name in files} == files
    assert (out / "notes.txt").read_bytes() == b"mine too"
    assert (out / "notes.txt").stat().st_nlink == 1
    modes = [stat.S_IMODE(path.stat().st_mode) for path in (out, out / "notes.txt", out / "chart.svg")]
    assert modes == [0o750, 0o604, 0o640]


def test_a_link_to_the_folder_stays_and_leads_to_the_new_one(out, tmp_path):
    (tmp_path / "link").symlink_to(out)
    assert was_exchanged(out, by=tmp_path / "link")
    assert (tmp_path / "link").readlink() == out


def test_attributes_of_the_folder_stay(out, monkeypatch):
    """If need be by leaving it where it is."""
    try:
        os.setxattr(out, "user.colour", b"sea")
    except OSError:
        pytest.skip("this file system keeps no attributes")
    assert was_exchanged(out)
    assert os.getxattr(out, "user.colour") == b"sea"
    monkeypatch.setattr(os, "setxattr", lambda *_, **__: None)
    assert not was_exchanged(out)
    assert os.getxattr(out, "user.colour") == b"sea"


def test_further_files_of_a_design_are_added_in_one_step(out):
    assert was_exchanged(out, {"rows.csv": b"1", "prose.txt": b"2"})
    assert contents(out) == OLD | {"rows.csv": b"1", "prose.txt": b"2"}


@pytest.mark.parametrize(
    "prepare",
    [
        pytest.param(lambda out, _: (out / "photographs").mkdir(), id="another folder in it"),
        pytest.param(
            lambda out, _: (out / "rows.txt").rename(out / "r") and (out / "rows.txt").symlink_to("r"), id="link"
        ),
        pytest.param(lambda out, patch: patch.chdir(out), id="working folder"),
        pytest.param(lambda _, patch: patch.setattr(exchange, "_call", lambda: None), id="system"),
        pytest.param(lambda _, patch: patch.setattr(exchange, "_call", lambda: lambda *_: -1), id="file system"),
        pytest.param(lambda _, patch: patch.setattr(os, "access", lambda path, _: path.name == "out"), id="permission"),
        pytest.param(lambda _, patch: patch.setattr(os.path, "ismount", lambda _: True), id="disk of its own"),
    ],
)
def test_a_folder_stays_itself_where_it_has_to(out, monkeypatch, prepare):
    prepare(out, monkeypatch)
    before = which(out)
    place(OUTPUTS, out, force=True)
    assert which(out) == before
    assert {name: (out / name).read_bytes() for name in OUTPUTS} == OUTPUTS
    assert not [name for name in snapshot(out.parent) if ".hummock" in name]


def test_a_folder_of_photographs_stays_itself(out):
    """Only one that holds nothing but the outputs, or a design, is Hummock's to exchange."""
    (out / "design.json").unlink()
    assert was_exchanged(out, PART)
    (out / "shore.jpg").write_bytes(b"mine")
    assert not was_exchanged(out, PART)
    assert was_exchanged(out, OUTPUTS)


def test_one_file_alone_needs_no_exchange(out):
    assert not was_exchanged(out, {"design.json": b"{}"})


@pytest.mark.parametrize("when", ["linked", "exchanged"])
def test_what_somebody_saves_meanwhile_is_kept(out, monkeypatch, when):
    """As an editor saves: a new file in the place of the old one, and another new one."""
    (out / "notes.txt").write_bytes(b"mine")

    def save():
        (out / "draft").write_bytes(b"newer")
        (out / "draft").replace(out / "notes.txt")
        (out / "more.txt").write_bytes(b"more")

    real_link, real_swap = os.link, exchange.swapped

    def link(source, target, **how):
        real_link(source, target, **how)
        if when == "linked" and str(source).endswith("notes.txt"):
            save()

    def swap(one, other):
        if when == "exchanged" and not (out / "more.txt").exists() and not (one / "more.txt").exists():
            save()
        return real_swap(one, other)

    monkeypatch.setattr(os, "link", link)
    monkeypatch.setattr(exchange, "swapped", swap)
    place(OUTPUTS, out, force=True)
    assert contents(out) == OUTPUTS | {"notes.txt": b"newer", "more.txt": b"more"}
