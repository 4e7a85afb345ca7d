"""Outputs appear together or not at all; what cannot be read or written is named."""

import errno
import os
import socket
import stat
import threading
from contextlib import chdir, suppress
from pathlib import Path

import pytest
from folders import OUTPUTS, contents, fill, placed, snapshot

from convert.files import check_targets, place, read_bytes, read_text
from shared.errors import BadFileError, OutputExistsError


def test_a_new_folder_holds_exactly_the_outputs(tmp_path):
    place(OUTPUTS, tmp_path / "new" / "deep" / "out", force=False)
    assert contents(tmp_path / "new" / "deep" / "out") == OUTPUTS
    assert sorted(snapshot(tmp_path))[:3] == ["new", "new/deep", "new/deep/out"]
    assert len(snapshot(tmp_path)) == 3 + len(OUTPUTS)


def test_a_folder_that_is_there_keeps_its_other_files(tmp_path):
    (tmp_path / "notes.txt").write_bytes(b"mine")
    place(OUTPUTS, tmp_path, force=False)
    assert contents(tmp_path) == OUTPUTS | {"notes.txt": b"mine"}


@pytest.mark.parametrize("umask", [0o022, 0o077, 0o002])
@pytest.mark.parametrize("ready", [True, False])
@pytest.mark.parametrize("force", [True, False])
def test_new_files_and_folders_obey_the_umask(tmp_path, umask, ready, force):
    before = os.umask(umask)
    try:
        out = tmp_path / "out"
        if ready:
            out.mkdir()
        place(OUTPUTS, out, force=force)
    finally:
        os.umask(before)
    modes = {stat.S_IMODE(path.stat().st_mode) for path in out.iterdir()}
    assert modes == {0o666 & ~umask}
    assert stat.S_IMODE(out.stat().st_mode) == 0o777 & ~umask


@pytest.mark.parametrize("name", OUTPUTS)
def test_a_file_that_is_there_is_not_touched_without_force(tmp_path, name):
    (tmp_path / name).write_bytes(b"old")
    before = snapshot(tmp_path)
    with pytest.raises(OutputExistsError) as refused:
        place(OUTPUTS, tmp_path, force=False)
    assert refused.value.where == (str(tmp_path / name),)
    assert snapshot(tmp_path) == before


def test_even_a_link_that_leads_nowhere_is_not_touched_without_force(tmp_path):
    (tmp_path / "rows.txt").symlink_to(tmp_path / "nowhere")
    before = snapshot(tmp_path)
    with pytest.raises(OutputExistsError):
        place(OUTPUTS, tmp_path, force=False)
    assert snapshot(tmp_path) == before


def test_force_replaces_and_keeps_permissions_and_links(tmp_path):
    filled = fill(tmp_path)
    place(OUTPUTS, filled, force=True)
    assert contents(filled) == OUTPUTS | {"notes.txt": b"mine"}
    assert stat.S_IMODE((filled / "design.json").stat().st_mode) == 0o640
    assert (filled / "chart.svg").readlink() == tmp_path / "elsewhere" / "chart.svg"
    assert contents(tmp_path / "elsewhere") == {"chart.svg": OUTPUTS["chart.svg"]}


def test_force_writes_through_a_link_that_leads_nowhere_yet(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "rows.txt").symlink_to(tmp_path / "later.txt")
    place(OUTPUTS, tmp_path / "out", force=True)
    assert (tmp_path / "out" / "rows.txt").is_symlink()
    assert (tmp_path / "later.txt").read_bytes() == OUTPUTS["rows.txt"]


def test_the_folder_may_be_a_link(tmp_path):
    (tmp_path / "real").mkdir()
    (tmp_path / "out").symlink_to(tmp_path / "real")
    place(OUTPUTS, tmp_path / "out", force=False)
    assert (tmp_path / "out").is_symlink()
    assert contents(tmp_path / "real") == OUTPUTS


def a_pipe(path):
    os.mkfifo(path)


def a_socket(path):
    with chdir(path.parent), socket.socket(socket.AF_UNIX) as made:  # the names of sockets are short
        made.bind(path.name)


KINDS = {"folder": Path.mkdir, "pipe": a_pipe, "socket": a_socket, "device": lambda path: path.symlink_to(os.devnull)}


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
@pytest.mark.parametrize("force", [True, False])
@pytest.mark.parametrize("behind", [True, False], ids=["behind a link", "itself"])
@pytest.mark.parametrize("kind", KINDS)
def test_only_regular_files_are_replaced(tmp_path, kind, behind, force):
    out = tmp_path / "out"
    out.mkdir()
    (out / "design.json").write_bytes(b"old")
    if behind:
        (out / "rows.txt").symlink_to(tmp_path / "thing")
    KINDS[kind](tmp_path / "thing" if behind else out / "rows.txt")
    before = kinds_in(tmp_path)
    outputs = OUTPUTS if force else {"rows.txt": b""}
    for refuse in (lambda: check_targets(out, tuple(outputs), force=force), lambda: place(outputs, out, force=force)):
        with pytest.raises(BadFileError) as refused:
            refuse()
        assert refused.value.where == (str(out / "rows.txt"),)
        assert kinds_in(tmp_path) == before
    assert (out / "design.json").read_bytes() == b"old"


def kinds_in(folder):
    return {path: (stat.S_IFMT(path.lstat().st_mode), path.lstat().st_ino) for path in folder.rglob("*")}


@pytest.mark.parametrize("folder", ["taken", "taken/out", "taken/deep/out", "x" * 300, "y" * 300 + "/out", "loop/out"])
@pytest.mark.parametrize("force", [True, False])
def test_a_folder_that_cannot_be_made_is_refused(tmp_path, folder, force):
    """In the place of a file, below one, with too long a name, below a link that leads to itself."""
    (tmp_path / "taken").write_bytes(b"mine")
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    before = snapshot(tmp_path)
    told = placed(tmp_path / folder, force=force)
    assert told.startswith(f"{tmp_path / folder}: ")
    assert "\n" not in told
    assert snapshot(tmp_path) == before


def test_a_folder_without_permission_is_refused(tmp_path, monkeypatch):
    """Root may write anywhere, so the refusal of the operating system is played."""

    def denied(path, *_, **__):
        raise PermissionError(errno.EACCES, "Permission denied", os.fspath(path))

    (tmp_path / "out").mkdir()
    before = snapshot(tmp_path)
    with monkeypatch.context() as patch:
        patch.setattr(os, "mkdir", denied)
        for folder in ("out", "new"):
            with pytest.raises(BadFileError) as refused:
                place(OUTPUTS, tmp_path / folder, force=False)
            assert refused.value.where == (str(tmp_path / folder),)
    with monkeypatch.context() as patch:
        patch.setattr(os, "stat", denied)
        with pytest.raises(BadFileError):
            place(OUTPUTS, tmp_path / "out", force=False)
    assert snapshot(tmp_path) == before


def test_check_targets_refuses_what_place_would(tmp_path):
    check_targets(tmp_path / "new", tuple(OUTPUTS), force=False)
    check_targets(tmp_path, tuple(OUTPUTS), force=False)
    (tmp_path / "beads.csv").write_bytes(b"old")
    (tmp_path / "rows.txt").symlink_to(tmp_path / "nowhere")
    for name in ("beads.csv", "rows.txt"):
        with pytest.raises(OutputExistsError, match=name):
            check_targets(tmp_path, (name,), force=False)
    check_targets(tmp_path, tuple(OUTPUTS), force=True)
    with pytest.raises(BadFileError):
        check_targets(tmp_path / "beads.csv", tuple(OUTPUTS), force=True)


def test_reading(tmp_path):
    (tmp_path / "bead_sizes.toml").write_bytes(b"\xef\xbb\xbfgr\xc3\xbcn")
    assert read_bytes(tmp_path / "bead_sizes.toml") == b"\xef\xbb\xbfgr\xc3\xbcn"
    assert read_text(tmp_path / "bead_sizes.toml") == "grün"
    (tmp_path / "latin.toml").write_bytes(b"gr\xfcn")
    with pytest.raises(BadFileError, match=r"latin\.toml: is not UTF-8 text"):
        read_text(tmp_path / "latin.toml")


@pytest.mark.parametrize("size", [0, 1, 999_999, 1_000_000])
def test_files_and_pipes_are_read_up_to_a_limit(tmp_path, size):
    content = bytes(range(251)) * 4000
    (tmp_path / "whole").write_bytes(content[:size])
    assert read_bytes(tmp_path / "whole", megabytes=1) == content[:size]
    assert piped(tmp_path / "pipe", content[:size]) == content[:size]


def test_what_is_over_the_limit_is_refused_by_its_size_alone(tmp_path, monkeypatch):
    with (tmp_path / "big.json").open("wb") as file:
        file.truncate(10**8)
    with monkeypatch.context() as patch:
        patch.setattr(Path, "open", None)
        for megabytes, words in ((1, "1 MB"), (64, "64 MB")):
            with pytest.raises(BadFileError, match=rf"big\.json: is larger than {words}, the most that is read"):
                read_text(tmp_path / "big.json", megabytes=megabytes)
    with pytest.raises(BadFileError, match=r"pipe: is larger than 1 MB"):
        piped(tmp_path / "pipe", bytes(1_000_001))


def test_an_endless_pipe_and_a_file_that_grows_are_left_at_the_limit(tmp_path, monkeypatch):
    with pytest.raises(BadFileError, match=r"pipe: is larger than 1 MB"):
        piped(tmp_path / "pipe", bytes(1 << 16), times=10**6)
    (tmp_path / "grown").write_bytes(bytes(1_500_000))
    with monkeypatch.context() as patch:
        patch.setattr("convert.files._size_of", lambda _: 9)
        with pytest.raises(BadFileError, match=r"grown: is larger than 1 MB"):
            read_bytes(tmp_path / "grown", megabytes=1)
        assert read_bytes(tmp_path / "grown", megabytes=2) == bytes(1_500_000)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="this system has no file without end")
def test_devices_are_not_read():
    with pytest.raises(BadFileError, match="is a device; give a file"):
        read_bytes(Path("/dev/zero"))


def piped(path, content, *, times=1):
    """What is read of a named pipe into which somebody writes so often, or until nobody reads."""
    if not hasattr(os, "mkfifo"):
        pytest.skip("this system has no named pipes")
    path.unlink(missing_ok=True)
    os.mkfifo(path)

    def write():
        with suppress(BrokenPipeError), path.open("wb", buffering=0) as pipe:
            for _ in range(times):
                pipe.write(content)

    writer = threading.Thread(target=write, daemon=True)
    writer.start()
    try:
        return read_bytes(path, megabytes=1)
    finally:
        writer.join(10)
        assert not writer.is_alive()


@pytest.mark.parametrize("folder", ["locked", "locked/new", "locked/new/deep"])
def test_a_folder_that_cannot_be_written_is_told_beforehand(tmp_path, monkeypatch, folder):
    (tmp_path / "locked").mkdir()
    monkeypatch.setattr(os, "access", lambda path, _: path != tmp_path / "locked")
    with pytest.raises(BadFileError):
        check_targets(tmp_path / folder, ("rows.txt",), force=True)
    (tmp_path / "file").write_bytes(b"mine")
    with pytest.raises(BadFileError):
        check_targets(tmp_path / "file" / "new", ("rows.txt",), force=True)
    check_targets(tmp_path / "free" / "new", ("rows.txt",), force=True)


@pytest.mark.parametrize(("name", "told"), [("none.png", "is not there"), ("", "is a folder"), ("z" * 300, "too long")])
def test_what_cannot_be_read_is_named(tmp_path, name, told):
    with pytest.raises(BadFileError, match=told) as refused:
        read_bytes(tmp_path / name)
    assert str(refused.value).startswith(str(tmp_path / name))
