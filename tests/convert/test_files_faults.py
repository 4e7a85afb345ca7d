"""Whatever fails while outputs are placed, and whenever: everything is as it was before."""

import errno
import os
from contextlib import contextmanager
from itertools import count
from pathlib import Path

import pytest
from folders import OUTPUTS, contents, fill, placed, snapshot

from convert.drafts import ROOM
from convert.files import place
from shared.errors import BadFileError, OutputExistsError


@pytest.fixture
def filled(tmp_path):
    return fill(tmp_path)


@contextmanager
def failing_at(turn, *calls, error, late=False):
    """Let given functions of the operating system fail, or be done and then fail, at their n-th call in all.

    Yields the names of those that did: one, or none if there were fewer calls.
    """
    numbers, failed = count(1), []

    def wrapped(name, real):
        def call(*args, **how):
            if next(numbers) != turn:
                return real(*args, **how)
            failed.append(name)
            if late:
                real(*args, **how)
            raise error

        return call

    with pytest.MonkeyPatch.context() as patch:
        for name in calls:
            patch.setattr(os, name, wrapped(name, getattr(os, name)))
        yield failed


MOVES = ("rename", "replace", "link", "fsync", "mkdir", "chmod")
FULL = OSError(errno.ENOSPC, "No space left on device")


@pytest.mark.parametrize("error", [FULL, KeyboardInterrupt()])
@pytest.mark.parametrize("where", ["out", "new", "new/deep/out"])
@pytest.mark.parametrize("force", [True, False])
def test_a_failure_at_any_moment_leaves_all_as_it_was(tmp_path, error, where, force):
    """The first, second, third … call that moves or writes fails, until none is left to fail."""
    stopped = set()
    for turn in count(1):
        base = tmp_path / str(turn)
        fill(base, force=force)
        before = snapshot(base)
        with failing_at(turn, *MOVES, error=error) as failed:
            told = placed(base / where, force=force)
        if told:
            stopped |= set(failed)
            assert told.startswith(f"{base / where}: ")
            assert snapshot(base) == before
        else:
            assert {name: (base / where / name).read_bytes() for name in OUTPUTS} == OUTPUTS
            assert not [name for name in snapshot(base) if ROOM in name]
        if not failed:
            break
    assert len(stopped) >= 2


@pytest.mark.parametrize("where", ["out", "new"])
@pytest.mark.parametrize("force", [True, False])
def test_an_interruption_after_a_move_leaves_all_outputs_or_none(tmp_path, where, force):
    """The user's Ctrl-C arrives when a file, or the whole new folder, has just been moved."""
    for turn in count(1):
        base = tmp_path / str(turn)
        fill(base, force=force)
        before = snapshot(base)
        with failing_at(turn, "rename", "replace", "link", error=KeyboardInterrupt(), late=True) as failed:
            told = placed(base / where, force=force)
        if not failed:
            break
        assert told
        whole = where == "new" and contents(base / where) == OUTPUTS
        assert whole or snapshot(base) == before
    assert turn > (len(OUTPUTS) if where == "out" else 1)


@pytest.mark.parametrize("force", [True, False])
def test_a_failure_leaves_all_as_it_was_where_hard_links_do_not_exist(tmp_path, monkeypatch, force):
    def no_link(*_, **__):
        raise OSError(errno.EPERM, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_link)
    out = fill(tmp_path, force=force)
    before = snapshot(tmp_path)
    for turn in range(1, len(OUTPUTS) + 1):
        with failing_at(turn, "replace", error=FULL), pytest.raises(BadFileError):
            place(OUTPUTS, out, force=force)
        assert snapshot(tmp_path) == before
    place(OUTPUTS, out, force=force)
    assert contents(out) == OUTPUTS | {"notes.txt": b"mine"}


@pytest.fixture
def two_disks(tmp_path, monkeypatch):
    """Make ``elsewhere`` another file system: nothing moves or is linked across its border."""
    other = tmp_path / "elsewhere"

    def bordered(real):
        def call(source, target, **how):
            if len({Path(path).resolve().parent.is_relative_to(other) for path in (source, target)}) > 1:
                raise OSError(errno.EXDEV, "Invalid cross-device link")
            return real(source, target, **how)

        return call

    for name in ("rename", "replace", "link"):
        monkeypatch.setattr(os, name, bordered(getattr(os, name)))


@pytest.mark.usefixtures("two_disks")
def test_a_link_may_lead_to_another_file_system(tmp_path, filled):
    place(OUTPUTS, filled, force=True)
    assert (filled / "chart.svg").is_symlink()
    assert contents(tmp_path / "elsewhere") == {"chart.svg": OUTPUTS["chart.svg"]}
    assert contents(filled) == OUTPUTS | {"notes.txt": b"mine"}


@pytest.mark.usefixtures("two_disks")
@pytest.mark.parametrize("turn", range(1, len(OUTPUTS) + 1))
def test_a_failure_across_file_systems_leaves_all_as_it_was(tmp_path, filled, turn):
    before = snapshot(tmp_path)
    with failing_at(turn, "replace", error=FULL), pytest.raises(BadFileError):
        place(OUTPUTS, filled, force=True)
    assert snapshot(tmp_path) == before


def test_a_file_that_somebody_makes_meanwhile_is_not_replaced(tmp_path, monkeypatch):
    (tmp_path / "notes.txt").write_bytes(b"mine")
    real = os.link

    def late(source, target, **how):
        if str(target).endswith("rows.txt"):
            (tmp_path / "rows.txt").write_bytes(b"theirs")
        return real(source, target, **how)

    monkeypatch.setattr(os, "link", late)
    with pytest.raises(OutputExistsError) as refused:
        place(OUTPUTS, tmp_path, force=False)
    assert refused.value.where == (str(tmp_path / "rows.txt"),)
    assert contents(tmp_path) == {"notes.txt": b"mine", "rows.txt": b"theirs"}
