"""A batch goes on when a process of it dies, when files change under it, and next to another batch."""

import csv
import io
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager

import numpy as np
import pytest
from deadly_job import DIES, Deadly
from PIL import Image
from typer.testing import CliRunner

import convert.batch.run
from convert.batch.entries import Entry
from convert.cli.app import app


def hummock(*words):
    return CliRunner().invoke(app, list(map(str, words)))


def lines_of(folder):
    return {line["folder"]: line for line in csv.DictReader(io.StringIO((folder / "report.csv").read_text("utf-8")))}


def paint(path, seed):
    areas = np.random.default_rng(seed).integers(0, 256, (6, 4, 3), dtype=np.uint8)
    Image.fromarray(areas.repeat(10, axis=0).repeat(10, axis=1)).save(path)


@pytest.fixture
def pool(tmp_path):
    """Seven pictures, more than two processes are given at once."""
    folder = tmp_path / "pool"
    folder.mkdir()
    for seed in range(7):
        paint(folder / f"shell-{seed}.png", seed)
    return folder


def test_a_dead_process_costs_no_more_than_the_picture_that_kills_it(pool, tmp_path, monkeypatch):
    """One picture kills its process whenever it is tried, another only the first time: it is tried once more."""
    flag = str(tmp_path / "flag")
    once = f"True if __import__('os').path.exists({flag!r}) else (open({flag!r}, 'w').close(), {DIES})"
    deadly = {"shell-1": DIES, "shell-5": once}
    original = Entry.job

    def job(entry):
        read = original(entry)
        return read._replace(surface=Deadly(deadly[entry.name])) if entry.name in deadly else read

    monkeypatch.setattr(Entry, "job", job)
    told = hummock("batch", pool, "--columns", 5, "--jobs", 2, "--out", tmp_path / "all")
    assert told.exit_code == 2, told.output
    report = lines_of(tmp_path / "all")
    assert [name for name, line in report.items() if line["status"] != "made"] == ["shell-1"]
    assert "shell-1.png: the process that worked on it was ended by the system" in report["shell-1"]["note"]
    assert told.stderr.count("\n") == 1
    assert not (tmp_path / "all" / "shell-1").exists()
    assert (tmp_path / "flag").exists()


def test_a_picture_that_changes_while_the_batch_runs_is_noted_as_what_was_made(tmp_path, monkeypatch):
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    for folder in "ab":
        paint(tmp_path / folder / "shell.png", 1)
    (tmp_path / "list.csv").write_text("picture,name\na/shell.png,first\nb/shell.png,second\n")
    original = convert.batch.run.results

    def changing(*words):
        paint(tmp_path / "a" / "shell.png", 2)
        yield from original(*words)

    monkeypatch.setattr("convert.batch.run.results", changing)
    command = ("batch", tmp_path / "list.csv", "--columns", 5, "--jobs", 1, "--out", tmp_path / "all")
    assert hummock(*command).exit_code == 0
    monkeypatch.undo()
    assert "2 kept from before" in hummock(*command).output
    for folder, name in (("a", "first"), ("b", "second")):
        out = tmp_path / folder / "single"
        hummock("convert", tmp_path / folder / "shell.png", "--columns", 5, "--out", out)
        for path in out.iterdir():
            assert path.read_bytes() == (tmp_path / "all" / name / path.name).read_bytes()


@pytest.mark.parametrize("ready", [True, False])
def test_what_another_batch_has_made_meanwhile_is_kept(pool, tmp_path, monkeypatch, ready):
    for path in sorted(pool.iterdir())[3:]:
        path.unlink()
    command = ("batch", pool, "--columns", 5, "--jobs", 1, "--out", tmp_path / "all")
    if ready:
        (tmp_path / "all").mkdir()
    original = convert.batch.run.results

    def with_another(*words):
        for done in original(*words):
            if not (tmp_path / "all" / "shell-0").exists():
                monkeypatch.setattr("convert.batch.run.results", original)
                assert hummock(*command).exit_code == 0
            yield done

    monkeypatch.setattr("convert.batch.run.results", with_another)
    told = hummock(*command)
    assert told.exit_code == 0, told.output
    assert "3 pictures: 3 kept from before" in told.output


def test_no_more_processes_than_pictures(pool, tmp_path, monkeypatch):
    asked = []

    @contextmanager
    def noted(count, _palette):
        asked.append(count)
        with ThreadPoolExecutor(1) as executor:
            yield executor

    monkeypatch.setattr("convert.batch.pool._processes", noted)
    assert hummock("batch", pool, "--columns", 5, "--jobs", 99999999, "--out", tmp_path / "all").exit_code == 0
    assert asked == [7]


@pytest.mark.parametrize("address", ["", " "])
def test_an_empty_address_is_refused(pool, tmp_path, address):
    told = hummock("batch", pool, "--cluster", address, "--out", tmp_path / "all")
    assert told.exit_code == 2
    assert "an empty word is no address" in told.output
    assert not (tmp_path / "all").exists()
