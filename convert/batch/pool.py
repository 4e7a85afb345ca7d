"""Who does the pictures of a batch: this process, others of this machine, or a Dask cluster."""

import logging
import os
import signal
from collections.abc import Generator, Iterator
from concurrent.futures import (
    ALL_COMPLETED,
    FIRST_COMPLETED,
    CancelledError,
    Executor,
    Future,
    ProcessPoolExecutor,
    wait,
)
from concurrent.futures.process import BrokenProcessPool
from contextlib import ExitStack, contextmanager, suppress
from itertools import islice
from multiprocessing import get_context
from multiprocessing.connection import Connection
from threading import Thread
from typing import TYPE_CHECKING, Any, Self

import numpy as np

from convert.batch.work import Done, do
from convert.chart.choices import DEFAULT_INK
from convert.chart.png import png_bytes
from convert.image.decode import Source
from convert.options import Options
from convert.pattern import Job
from palettes.palette import Palette
from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from distributed import Client

_MOST_PROCESSES = 61
"""For more than these Windows cannot wait."""


class Workers:
    """Those who do the jobs: this process alone, processes of this machine, or a cluster.

    Parameters
    ----------
    count
        How many processes of this machine; 1 is this one.
    cluster
        Address of a Dask scheduler whose workers do it instead.
    """

    def __init__(self, count: int, cluster: str | None) -> None:
        self.count = min(count, _MOST_PROCESSES)
        self.cluster = cluster
        self.losses: tuple[type[Exception], ...] = (BrokenProcessPool,)
        """What is raised when the worker that was at a job is gone."""
        self._palette: Palette | None = None
        self._executor: Executor | None = None
        self._open = ExitStack()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.dismiss()

    def call(self, most: int, palette: Palette | None) -> None:
        """Start processes without waiting for them: each has a second of loading to do.

        Parameters
        ----------
        most
            How many jobs there can be.
        palette
            Of the first; what it needs is loaded.
        """
        if self._executor or self.cluster or self.count == 1:
            return
        # one picture is done in another process too, if several are allowed: it may be the one that kills its process
        self.count, self._palette = min(self.count, max(2, most)), palette
        for _ in range(self.count):
            self.submit(int)

    def submit(self, call: Any, *words: Any) -> "Future[Any]":
        """Hand out work, to new workers if there are none.

        Raises
        ------
        BadChoiceError
            When the cluster cannot be used.
        """
        try:
            return self._call_workers().submit(call, *words)
        except BrokenProcessPool as error:
            failed: Future[Any] = Future()
            failed.set_exception(error)
            return failed

    def capacity(self) -> int:
        """Return how many jobs are given out at once, so that no worker waits for the next."""
        if self.cluster:
            self._call_workers()
        return 2 * self.count

    def _call_workers(self) -> Executor:
        if self._executor is None and self.cluster:
            client = self._open.enter_context(_client_of(self.cluster))
            from distributed import KilledWorker

            self.losses = (KilledWorker,)
            self.count = sum(client.nthreads().values())  # type: ignore[no-untyped-call]
            executor: Executor = client.get_executor(pure=False)  # type: ignore[no-untyped-call]
            self._executor = self._open.enter_context(executor)
        elif self._executor is None:
            self._executor = self._open.enter_context(_processes(self.count, self._palette))
        return self._executor

    def dismiss(self) -> None:
        """Send all away, whatever they are at."""
        self._executor = None
        self._open.close()


class _Processes(ProcessPoolExecutor):
    """Starts its processes where they never hear of Ctrl-C: one process alone stops the batch."""

    def submit(self, *words: Any, **more: Any) -> "Future[Any]":
        if not hasattr(signal, "pthread_sigmask"):  # on Windows `_begin` makes them deaf, a little later
            return super().submit(*words, **more)
        before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})  # which processes inherit
        try:
            return super().submit(*words, **more)
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)


@contextmanager
def _processes(count: int, palette: Palette | None) -> Iterator[Executor]:
    """Give processes of this machine that end when the block does, or when this process is gone for whatever reason."""
    context = get_context("spawn")  # others copy a process whose threads may hold locks
    heard, held = context.Pipe(duplex=False)
    executor = _Processes(count, context, _begin, (heard, palette))
    try:
        yield executor
    finally:
        held.close()
        executor.shutdown(cancel_futures=True)
        heard.close()


def _begin(heard: Connection, palette: Palette | None) -> None:
    """Make a new process ready: load what jobs need by doing a small one."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    Thread(target=_end_with, args=(heard,), daemon=True).start()
    sand = png_bytes(np.arange(48, dtype=np.uint8).reshape(4, 4, 3), dots_per_inch=96)
    do(0, Job(Source("sand.png", sand), None, Options(columns=4, colours=2, palette=palette), DEFAULT_INK, False))


def _end_with(heard: Connection) -> None:
    """End this process as soon as nobody holds the other end of a pipe, through which nothing ever comes."""
    with suppress(EOFError, OSError):
        heard.recv_bytes()
    os._exit(1)


@contextmanager
def _client_of(address: str) -> "Iterator[Client]":
    """Reach a cluster; Dask writes no traceback when it goes away, which is told in our own words."""
    try:
        from distributed import Client
    except ImportError as error:
        raise BadChoiceError(
            "--cluster needs packages that are not installed; run pip install 'hummock[cluster]'"
        ) from error
    try:
        client = Client(address, timeout="5s")  # type: ignore[no-untyped-call]
    except OSError as error:
        raise BadChoiceError(f"no Dask scheduler answers at '{address}'; start one, or leave --cluster out") from error
    except (ValueError, TypeError, ImportError, RuntimeError) as error:  # it depends on the protocol that is named
        raise BadChoiceError(
            f"'{address}' cannot be used as the address of a Dask scheduler; give one like tcp://192.0.2.7:8786"
        ) from error
    log = logging.getLogger("distributed.client")
    level = log.level
    log.setLevel(logging.CRITICAL)
    try:
        with client:
            client.wait_for_workers(1, timeout=10)
            yield client
    except TimeoutError as error:
        raise BadChoiceError(f"the cluster at '{address}' has no worker; start one, or leave --cluster out") from error
    finally:
        log.setLevel(level)


def results(jobs: Iterator[tuple[int, Job]], workers: Workers) -> Generator[Done]:
    """Yield results as they come.

    When a process dies, nobody can say which job it was at: those that were given out and did not come back are done
    once more, one after another, so that one that kills its worker again is known; then the rest goes on.

    Parameters
    ----------
    jobs
        Each with its number; taken shortly before its turn.
    workers
        Who does them.

    Raises
    ------
    BadChoiceError
        When the cluster cannot be used, or goes away.
    """
    if workers.count == 1 and not workers.cluster:
        yield from (do(*job) for job in jobs)
        return
    out: dict[Future[Done], tuple[int, Job]] = {}
    lost: list[tuple[int, Job]] = []
    while True:
        for job in islice(jobs, 0 if lost else workers.capacity() - len(out)):
            out[workers.submit(do, *job)] = job
        if not out:
            return
        for future in wait(out, return_when=ALL_COMPLETED if lost else FIRST_COMPLETED).done:
            job = out.pop(future)
            done = _result(future, workers)
            if done is None:
                lost.append(job)
            else:
                yield done
        if lost and not out:
            workers.dismiss()
            while lost:
                yield _try_alone(*lost.pop(0), workers)


def _result(future: "Future[Done]", workers: Workers) -> Done | None:
    """Return what came of a job; None where its worker is gone."""
    try:
        return future.result()
    except workers.losses:
        return None
    except (CancelledError, OSError) as error:
        raise BadChoiceError(
            f"the cluster at '{workers.cluster}' went away; what it had made is kept, so start it and the batch again"
        ) from error


def _try_alone(number: int, job: Job, workers: Workers) -> Done:
    """Do a job once more while no other is done."""
    done = _result(workers.submit(do, number, job), workers)
    if done is None:
        workers.dismiss()
        message = (
            f"{job.picture.name}: the process that worked on it was ended by the system, even when it was done alone; "
            "that is mostly for want of memory, so make the work or the picture smaller"
        )
        return Done(number, 0.0, None, None, message)
    return done
