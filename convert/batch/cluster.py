"""The workers of a Dask cluster, as joblib hands work to them."""

import logging
from collections.abc import Iterator
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from distributed import Client


class WorkerLostError(Exception):
    """Each of several workers that the cluster gave a job to died."""


@contextmanager
def on_cluster(address: str) -> Iterator[None]:
    """Let joblib hand its work to a Dask cluster.

    Raises
    ------
    BadChoiceError
        When the extra is not installed, the address is none, nobody answers there, or the cluster goes away.
    """
    client = _client_of(address)
    from joblib import parallel_config

    try:
        with _quiet(), client, parallel_config(backend=_backend(client)):
            yield
    except (CancelledError, OSError) as error:
        raise BadChoiceError(
            f"the cluster at '{address}' went away, or has no worker; what it had made is kept, so start it and "
            "the batch again"
        ) from error


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep Dask from writing a traceback when the scheduler goes away, which is told in our own words."""
    log = logging.getLogger("distributed.client")
    level = log.level
    log.setLevel(logging.CRITICAL)
    try:
        yield
    finally:
        log.setLevel(level)


def _client_of(address: str) -> "Client":
    try:
        from distributed import Client
    except ImportError as error:
        raise BadChoiceError(
            "--cluster needs packages that are not installed; run pip install 'hummock[cluster]'"
        ) from error
    try:
        return Client(address, timeout="5s")  # type: ignore[no-untyped-call]
    except OSError as error:
        raise BadChoiceError(f"no Dask scheduler answers at '{address}'; start one, or leave --cluster out") from error
    except (ValueError, TypeError, ImportError, RuntimeError) as error:  # it depends on the protocol that is named
        raise BadChoiceError(
            f"'{address}' cannot be used as the address of a Dask scheduler; give one like tcp://192.0.2.7:8786"
        ) from error


def _backend(client: "Client") -> Any:
    """Return joblib's own way to Dask, which also tells of jobs that the cluster gave up: as it is, it waits for them.

    Seen with joblib 1.6: there is a call back for what was done, none for what was not.
    """
    from distributed import KilledWorker
    from joblib._dask import DaskDistributedBackend

    class Backend(DaskDistributedBackend):  # type: ignore[misc]
        def effective_n_jobs(self, n_jobs: int) -> int:
            # Of a cluster that does one job at a time joblib thinks little, and would do the work in this process.
            return max(2, int(super().effective_n_jobs(n_jobs)))

        def submit(self, func: Any, callback: Any = None) -> Any:
            future = super().submit(func, callback)
            future.add_done_callback(lambda done: callback(done.exception()) if done.exception() else None)
            return future

        def retrieve_result_callback(self, out: Any) -> Any:
            if isinstance(out, KilledWorker):
                raise WorkerLostError from out
            if isinstance(out, Exception):
                raise out
            return super().retrieve_result_callback(out)

    return Backend(client=client)
