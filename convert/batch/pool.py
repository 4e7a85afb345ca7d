"""Who does the jobs of a batch: this process, others of this machine, or a Dask cluster."""

from collections.abc import Iterator
from concurrent.futures.process import BrokenProcessPool
from contextlib import AbstractContextManager, contextmanager, nullcontext
from threading import Lock
from typing import Any

from convert.batch.work import Done, do
from convert.made import Job
from shared.errors import BadChoiceError


def results(jobs: Iterator[tuple[int, Job]], workers: int, cluster: str | None) -> Iterator[Done]:
    """Yield results as they come.

    When a worker dies, nobody can say which job it was at: those that were given out and did not come back are done
    once more, each in a pool of its own, so that one that kills its worker again is known; then the rest goes on.

    Parameters
    ----------
    jobs
        Each with its number; taken shortly before its turn.
    workers
        How many processes of this machine.
    cluster
        Address of a Dask scheduler whose workers do it instead.

    Raises
    ------
    BadChoiceError
        When the cluster cannot be used.
    """
    from joblib import Parallel

    queue = _Queue(jobs)
    with _on_cluster(cluster) if cluster else nullcontext():
        died = True
        while died:
            died = False
            pool = Parallel(n_jobs=-1 if cluster else workers, return_as="generator_unordered")
            try:
                for done in pool(queue):
                    queue.given_out.pop(done.number)
                    yield done
            except BrokenProcessPool:
                died = True
            for number in list(queue.given_out):
                yield _alone(number, queue.given_out.pop(number))


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


def _alone(number: int, job: Job) -> Done:
    """Do a job in a process that does nothing else."""
    from joblib import Parallel, delayed

    try:
        # joblib does the work itself, in this process, when it is allowed one worker
        done: list[Done] = Parallel(n_jobs=2)([delayed(do)(number, job)])
        return done[0]
    except BrokenProcessPool:
        message = (
            f"{job.picture.name}: the process that worked on it was ended by the system, even with nothing beside it; "
            "that is mostly for want of memory, so make the work or the picture smaller"
        )
        return Done(number, 0.0, None, None, message)


@contextmanager
def _on_cluster(address: str) -> Iterator[None]:
    """Let joblib hand its work to a Dask cluster.

    Raises
    ------
    BadChoiceError
        When the extra is not installed, the address is none, or nobody answers there.
    """
    try:
        from distributed import Client
    except ImportError as error:
        raise BadChoiceError(
            "--cluster needs packages that are not installed; run pip install 'hummock[cluster]'"
        ) from error
    from joblib import parallel_config

    try:
        client: AbstractContextManager[object] = Client(address, timeout="5s")  # type: ignore[no-untyped-call]
    except OSError as error:
        raise BadChoiceError(f"no Dask scheduler answers at '{address}'; start one, or leave --cluster out") from error
    except (ValueError, TypeError, ImportError, RuntimeError) as error:  # it depends on the protocol that is named
        raise BadChoiceError(
            f"'{address}' cannot be used as the address of a Dask scheduler; give one like tcp://192.0.2.7:8786"
        ) from error
    with client, parallel_config(backend="dask"):
        yield
