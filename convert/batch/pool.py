"""Who does the jobs of a batch: this process, others of this machine, or a Dask cluster."""

import signal
from collections.abc import Generator, Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager, nullcontext, suppress
from threading import Lock, current_thread, main_thread
from typing import Any, Self

import numpy as np

from convert.batch.cluster import WorkerLostError, on_cluster
from convert.batch.work import Done, do
from convert.chart.choices import DEFAULT_INK
from convert.chart.png import png_bytes
from convert.image.decode import Source
from convert.options import Options
from convert.pattern import Job
from palettes.palette import Palette


class Workers:
    """Those who do the jobs: processes of this machine, or a cluster.

    Parameters
    ----------
    count
        How many processes of this machine.
    cluster
        Address of a Dask scheduler whose workers do it instead.
    """

    def __init__(self, count: int, cluster: str | None) -> None:
        self.count = count
        self.cluster = cluster
        self._coming: Iterator[int] | None = None
        self._palette: Palette | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.come()  # who is sent away before he is there complains

    def call(self, most: int, palette: Palette | None) -> None:
        """Start processes without waiting for them: each has a second of loading to do.

        Parameters
        ----------
        most
            How many jobs there can be.
        palette
            Of the first; what it needs is loaded.
        """
        from joblib import delayed

        if self._coming or self.cluster or self.count == 1:
            return
        # one picture is done in another process too, if several are allowed: it may be the one that kills its process
        self.count, self._palette = min(self.count, max(2, most)), palette
        parallel = self.parallel()
        with _deaf():
            self._coming = parallel(delayed(int)() for _ in range(self.count))

    def come(self) -> None:
        """Wait until those that were called are there."""
        with suppress(BrokenProcessPool):  # they are called again when there is work for them
            list(self._coming or ())
        self._coming = None

    def parallel(self) -> Any:
        """Return what hands out work; joblib keeps the processes from one to the next."""
        from joblib import Parallel

        here = {"n_jobs": self.count, "initializer": _begin, "initargs": (self._palette,)}
        settings = {"n_jobs": -1} if self.cluster else here
        return Parallel(return_as="generator_unordered", **settings)


@contextmanager
def _deaf() -> Iterator[None]:
    """Let processes that are started now not hear who stops the batch: he is heard by one process alone."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _begin(palette: Palette | None) -> None:
    """Make a new process ready, also one that takes the place of another: load what jobs need by doing a small one."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    sand = png_bytes(np.arange(48, dtype=np.uint8).reshape(4, 4, 3), dots_per_inch=96)
    do(0, Job(Source("sand.png", sand), None, Options(columns=4, colours=2, palette=palette), DEFAULT_INK, False))


def results(jobs: Iterator[tuple[int, Job]], workers: Workers) -> Generator[Done]:
    """Yield results as they come.

    When a worker dies, nobody can say which job it was at: those that were given out and did not come back are done
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
    queue = _Queue(jobs)
    with on_cluster(workers.cluster) if workers.cluster else nullcontext():
        workers.come()
        died = True
        while died:
            died = False
            try:
                for done in workers.parallel()(queue):
                    queue.given_out.pop(done.number)
                    yield done
            except (BrokenProcessPool, WorkerLostError):
                died = True
            for number in list(queue.given_out):
                yield _alone(number, queue.given_out.pop(number), workers)


class _Queue:
    """Jobs as joblib takes them, from whichever of its threads; it remembers what is given out."""

    def __init__(self, jobs: Iterator[tuple[int, Job]]) -> None:
        self._jobs = jobs
        self._lock = Lock()
        self.given_out: dict[int, Job] = {}

    def __iter__(self) -> Iterator[Any]:
        return self

    def __next__(self) -> Any:
        from joblib import delayed

        with self._lock:
            number, job = next(self._jobs)
            self.given_out[number] = job
        return delayed(do)(number, job)


def _alone(number: int, job: Job, workers: Workers) -> Done:
    """Do a job while no other is done."""
    from joblib import delayed

    try:
        done: list[Done] = list(workers.parallel()([delayed(do)(number, job)]))
        return done[0]
    except (BrokenProcessPool, WorkerLostError):
        message = (
            f"{job.picture.name}: the process that worked on it was ended by the system, even with nothing beside it; "
            "that is mostly for want of memory, so make the work or the picture smaller"
        )
        return Done(number, 0.0, None, None, message)
