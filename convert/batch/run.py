"""Many jobs, on one core, several, or a cluster; each is done once, and what is finished is on disk at once."""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import AbstractContextManager, contextmanager, nullcontext
from pathlib import Path
from typing import Literal, NamedTuple

from convert.batch.entries import Entry, key_of
from convert.batch.face import Face
from convert.batch.marker import MARKER, kept, marked, refuse_changed
from convert.batch.work import Done, Figures, do
from convert.files import check_targets, place
from convert.made import Job
from convert.output_names import NAMES
from convert.progress import Progress
from shared.errors import BadChoiceError, HummockError

Status = Literal["made", "kept", "failed", "left"]


class Outcome(NamedTuple):
    """What became of one picture."""

    status: Status
    """``made`` now, ``kept`` from before, ``failed``, or ``left`` when the batch was stopped before its turn."""
    seconds: float = 0.0
    """How long it took; nothing where it was not made."""
    figures: Figures | None = None
    """None where there is no pattern."""
    message: str = ""
    """Why it failed."""
    face: Face | None = None
    """How it shows on the contact sheet, where it was made now."""


class Batch(NamedTuple):
    """How a batch is done."""

    out: Path
    """The folder that takes the folders of the pictures."""
    force: bool
    """Replace files that other choices gave."""
    jobs: int
    """How many pictures at once on this machine."""
    cluster: str | None
    """Address of a Dask scheduler whose workers do it instead."""


def run(entries: Sequence[Entry], batch: Batch, outcomes: list[Outcome], *, progress: Progress) -> None:
    """Do all that is not done yet.

    Parameters
    ----------
    entries
        The pictures.
    batch
        Where and how.
    outcomes
        One for each entry, changed as the work goes on, so that a run that is stopped can tell what it did.
    progress
        Told of each picture.
    """
    tasks = {task.number: task for task in _tasks(entries, batch, outcomes)}
    for count, done in enumerate(_results(_jobs(tasks, entries, outcomes), batch), start=1):
        progress(f"{count} of {len(tasks)}: {entries[done.number].picture.name}")
        task = tasks[done.number]
        for number in (task.number, *task.equals):
            outcomes[number] = _settle(entries[number], done, task.key, batch)


class _Task(NamedTuple):
    """A job that is to be done."""

    number: int
    """The first entry that wants it."""
    key: str
    """What its files depend on."""
    equals: list[int]
    """Further entries that want the same."""


def _tasks(entries: Sequence[Entry], batch: Batch, outcomes: list[Outcome]) -> list[_Task]:
    """Return what is to be done; what is kept, and what cannot be done, is noted."""
    tasks: dict[str, _Task] = {}
    for number, entry in enumerate(entries):
        folder = batch.out / entry.name
        try:
            key = key_of(entry.job())
            figures = kept(folder, key)
            if figures is None:
                if not batch.force:
                    refuse_changed(folder, key)
                check_targets(folder, (*NAMES, MARKER), force=batch.force)
        except HummockError as error:
            outcomes[number] = Outcome("failed", message=str(error))
            continue
        if figures is not None:
            outcomes[number] = Outcome("kept", figures=figures)
        elif key in tasks:
            tasks[key].equals.append(number)
        else:
            tasks[key] = _Task(number, key, [])
    return list(tasks.values())


def _jobs(tasks: Mapping[int, _Task], entries: Sequence[Entry], outcomes: list[Outcome]) -> Iterator[tuple[int, Job]]:
    """Read each job shortly before its turn; one that has become unreadable is noted and passed over."""
    for number, task in tasks.items():
        try:
            job = entries[number].job()
        except HummockError as error:
            for each in (number, *task.equals):
                outcomes[each] = Outcome("failed", message=str(error))
            continue
        yield number, job


def _settle(entry: Entry, done: Done, key: str, batch: Batch) -> Outcome:
    """Put the files of a job into a folder."""
    if done.files is None or done.figures is None:
        return Outcome("failed", done.seconds, message=done.message)
    try:
        place(marked(done.files, key, done.figures), batch.out / entry.name, force=batch.force)
    except HummockError as error:
        return Outcome("failed", done.seconds, message=str(error))
    return Outcome("made", done.seconds, done.figures, face=done.face)


def _results(jobs: Iterator[tuple[int, Job]], batch: Batch) -> Iterator[Done]:
    """Yield results as they come."""
    from joblib import Parallel, delayed

    with _on_cluster(batch.cluster) if batch.cluster else nullcontext():
        workers = Parallel(n_jobs=-1 if batch.cluster else batch.jobs, return_as="generator_unordered")
        yield from workers(delayed(do)(number, job) for number, job in jobs)


@contextmanager
def _on_cluster(address: str) -> Iterator[None]:
    """Let joblib hand its work to a Dask cluster.

    Raises
    ------
    BadChoiceError
        When the extra is not installed, or nobody answers at the address.
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
    except (OSError, ValueError) as error:
        raise BadChoiceError(f"no Dask scheduler answers at '{address}'; start one, or leave --cluster out") from error
    with client, parallel_config(backend="dask"):
        yield
