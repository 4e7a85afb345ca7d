"""Many jobs, on one core, several, or a cluster; each is done once, and what is finished is on disk at once."""

from collections import deque
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Literal, NamedTuple

from convert.batch.entries import Entry
from convert.batch.marker import MARKER, add_marker, find_kept, key_of, refuse_changed
from convert.batch.pool import Workers, results
from convert.batch.work import Done, Face, ReportFigures
from convert.drafts import mend
from convert.files import check_targets, place
from convert.pattern import Job
from convert.pattern_files import NAMES
from convert.progress import Progress
from shared.errors import HummockError

Status = Literal["made", "kept", "failed", "left"]


class Outcome(NamedTuple):
    """What became of one picture."""

    status: Status
    """``made`` now, ``kept`` from before, ``failed``, or ``left`` when the batch was stopped before its turn."""
    seconds: float = 0.0
    """How long it took; nothing where it was not made."""
    figures: ReportFigures | None = None
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
    given_out: dict[int, _Task] = {}
    with Workers(batch.jobs, batch.cluster) as workers:
        tasks = _tasks(entries, batch, outcomes, workers)
        with closing(results(_jobs(tasks, entries, outcomes, given_out), workers)) as found:
            for count, done in enumerate(found, start=1):
                progress(f"{count} of {len(tasks)}: {entries[done.number].picture.name}")
                task = given_out.pop(done.number)
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


def _tasks(entries: Sequence[Entry], batch: Batch, outcomes: list[Outcome], workers: Workers) -> list[_Task]:
    """Return what is to be done; what is kept, and what cannot be done, is noted. Workers are called at the first."""
    tasks: dict[str, _Task] = {}
    for number, entry in enumerate(entries):
        folder = batch.out / entry.name
        try:
            key = key_of(entry.job())
            mend(folder)
            figures = find_kept(folder, key)
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
            workers.call(len(entries) - number, entry.options.palette)
    return list(tasks.values())


def _jobs(
    tasks: Sequence[_Task], entries: Sequence[Entry], outcomes: list[Outcome], given_out: dict[int, _Task]
) -> Iterator[tuple[int, Job]]:
    """Read each job shortly before its turn; one that has become unreadable is noted and passed over.

    A file may have been changed since it was looked at: the task that is noted as given out has the key of what was
    read now, and entries that wanted the same then get what they want now.
    """
    waiting = deque(tasks)
    while waiting:
        task, key = waiting.popleft(), None
        try:
            job = entries[task.number].job()
        except HummockError as error:
            outcomes[task.number] = Outcome("failed", message=str(error))
        else:
            key = key_of(job)
            given_out[task.number] = _Task(task.number, key, task.equals if key == task.key else [])
            yield task.number, job
        if key != task.key and task.equals:
            first, *others = task.equals
            waiting.appendleft(_Task(first, task.key, others))


def _settle(entry: Entry, done: Done, key: str, batch: Batch) -> Outcome:
    """Put the files of a job into a folder."""
    if done.files is None or done.figures is None:
        return Outcome("failed", done.seconds, message=done.message)
    files, folder = add_marker(done.files, key, done.figures), batch.out / entry.name
    for last in (False, True):
        try:
            place(files, folder, force=batch.force)
        except HummockError as error:
            figures = find_kept(folder, key)  # another batch into the same folder may have been quicker
            if figures is not None:
                return Outcome("kept", done.seconds, figures)
            if last:  # it may also have made a folder above, which does not stand in the way of a second try
                return Outcome("failed", done.seconds, message=str(error))
        else:
            break
    return Outcome("made", done.seconds, done.figures, face=done.face)
