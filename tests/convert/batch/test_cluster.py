"""A batch on a Dask cluster of this machine, and one of its workers killed midway."""

import json
import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from threading import Thread

import dask
import numpy as np
import pytest
from deadly_job import DIES, Deadly
from distributed import LocalCluster
from PIL import Image
from typer.testing import CliRunner

import convert.batch.run
from convert.batch.entries import Entry
from convert.batch.marker import MARKER
from convert.cli.app import app

pytestmark = pytest.mark.outside

PICTURES = 8


def paint_pool(folder):
    folder.mkdir()
    for seed in range(PICTURES):
        codes = np.random.default_rng(seed).integers(0, 256, (8, 6, 3), dtype=np.uint8)
        Image.fromarray(codes.repeat(20, axis=0).repeat(20, axis=1)).save(folder / f"shell-{seed:02d}.png")


@pytest.mark.filterwarnings("ignore")
def test_every_picture_is_made_once_though_a_worker_dies(tmp_path, monkeypatch):
    folder, out = tmp_path / "pool", tmp_path / "all"
    paint_pool(folder)
    placed = []
    original = convert.batch.run.place

    def noted(outputs, where, *, force):
        placed.append(where.name)
        original(outputs, where, force=force)

    monkeypatch.setattr("convert.batch.run.place", noted)
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:

        def kill_one():
            while len(placed) < 2:
                time.sleep(0.01)
            os.kill(next(iter(cluster.workers.values())).pid, signal.SIGKILL)

        killer = Thread(target=kill_one)
        killer.start()
        words = ["batch", str(folder), "--columns", "9", "--cluster", cluster.scheduler_address, "--out", str(out)]
        told = CliRunner().invoke(app, words)
        killer.join()
    assert told.exit_code == 0, told.output
    assert f"{PICTURES} pictures: {PICTURES} made" in told.output
    assert sorted(placed) == [f"shell-{seed:02d}" for seed in range(PICTURES)]
    assert len(list(out.glob(f"*/{MARKER}"))) == PICTURES


@pytest.mark.filterwarnings("ignore")
def test_a_picture_that_ends_every_worker_is_told_and_the_others_are_made(tmp_path, monkeypatch):
    folder, out = tmp_path / "pool", tmp_path / "all"
    paint_pool(folder)
    original = Entry.job

    def job(entry):
        read = original(entry)
        return read._replace(surface=Deadly(DIES)) if entry.name == "shell-01" else read

    monkeypatch.setattr(Entry, "job", job)
    once = dask.config.set({"distributed.scheduler.allowed-failures": 0})
    with once, LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as cluster:
        words = ["batch", str(folder), "--columns", "9", "--cluster", cluster.scheduler_address, "--out", str(out)]
        told = CliRunner().invoke(app, words)
    assert told.exit_code == 2, told.output
    assert f"{PICTURES} pictures: {PICTURES - 1} made, 1 failed" in told.output
    assert "shell-01.png: the process that worked on it was ended by the system" in told.output


@pytest.mark.filterwarnings("ignore")
def test_a_cluster_that_goes_away_midway_is_told_in_one_sentence(tmp_path, monkeypatch):
    folder, out = tmp_path / "pool", tmp_path / "all"
    paint_pool(folder)
    original, cluster = convert.batch.run.place, LocalCluster(n_workers=1, dashboard_address=None)

    def then_close(outputs, where, *, force):
        original(outputs, where, force=force)
        monkeypatch.setattr("convert.batch.run.place", original)
        cluster.close()

    monkeypatch.setattr("convert.batch.run.place", then_close)
    words = ["batch", str(folder), "--columns", "9", "--cluster", cluster.scheduler_address, "--out", str(out)]
    told = CliRunner().invoke(app, words)
    assert told.exit_code == 2, told.output
    assert "went away; what it had made is kept" in told.output
    assert (out / "report.csv").is_file()


def test_a_scheduler_that_is_killed_is_told_without_a_traceback(tmp_path):
    """Dask would write one of its own to standard error: that of a process, so that it is seen.

    Its one worker does one job at a time, and does them itself: else the batch would go on without the cluster.
    """
    folder, out, file = tmp_path / "pool", tmp_path / "all", tmp_path / "scheduler.json"
    paint_pool(folder)
    dask_as, at_it = [sys.executable, "-m"], ["--scheduler-file", str(file), "--no-dashboard"]
    started = []

    def start(words):
        started.append(subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True))
        return started[-1]

    try:
        scheduler = start([*dask_as, "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", *at_it])
        start([*dask_as, "distributed.cli.dask_worker", "--nthreads", "1", "--no-nanny", *at_it])
        address = None
        while address is None:
            with suppress(OSError, ValueError):
                address = json.loads(file.read_text("utf-8"))["address"]
        words = ["batch", str(folder), "--columns", "101", "--cluster", address, "--out", str(out)]
        run = start([str(Path(sys.executable).with_name("hummock")), *words])
        while not list(out.glob(f"*/{MARKER}")) and run.poll() is None:
            time.sleep(0.01)
        scheduler.kill()
        _, told = run.communicate(timeout=60)
    finally:
        for process in started:
            process.kill()
            process.communicate()
    assert run.returncode == 2
    assert told.startswith(f"hummock: the cluster at '{address}' went away")
    assert len(told.splitlines()) == 1


def test_an_address_where_nobody_answers_is_told(tmp_path):
    Image.new("RGB", (30, 40), (90, 120, 130)).save(tmp_path / "shell.png")
    words = ["batch", str(tmp_path), "--cluster", "tcp://127.0.0.1:9", "--out", str(tmp_path / "all")]
    told = CliRunner().invoke(app, words)
    assert told.exit_code == 2
    assert "no Dask scheduler answers at 'tcp://127.0.0.1:9'" in told.output


@pytest.mark.parametrize("address", ["tls://127.0.0.1:1", "ucx://127.0.0.1:1", "tcp://127.0.0.1:x", "tide"])
def test_an_address_that_cannot_be_used_is_one_sentence(tmp_path, address):
    Image.new("RGB", (30, 40), (90, 120, 130)).save(tmp_path / "shell.png")
    told = CliRunner().invoke(app, ["batch", str(tmp_path), "--cluster", address, "--out", str(tmp_path / "all")])
    assert told.exit_code == 2
    assert f"'{address}' cannot be used as the address of a Dask scheduler" in told.output
    assert not (tmp_path / "all").exists()
