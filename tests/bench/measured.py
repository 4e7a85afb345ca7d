"""Times and memory of whole processes; next to the benchmarks, which are run from their own folder."""

import os
import subprocess
import sys
import time
from pathlib import Path
from typing import NamedTuple


class Run(NamedTuple):
    seconds: float
    megabytes: float
    processor: float = 0.0
    """Seconds of all cores together."""


def measured(command: list[str]) -> Run:
    """Run a command; return its times and the peak of its resident memory."""
    start = time.perf_counter()
    with Path(os.devnull).open("w") as nowhere:
        process = subprocess.Popen(command, stdout=nowhere, stderr=nowhere)
        _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode:
        sys.exit(f"{command} ended with {process.returncode}")
    return Run(time.perf_counter() - start, usage.ru_maxrss / 1024, usage.ru_utime + usage.ru_stime)


def best(times: int, commands: dict[str, list[str]]) -> dict[str, Run]:
    """Measure the commands in turn, n times; keep the least times and the greatest memory of each."""
    runs = {name: [] for name in commands}
    for _ in range(times):
        for name, command in commands.items():
            runs[name].append(measured(command))
    return {
        name: Run(min(r.seconds for r in all_), max(r.megabytes for r in all_), min(r.processor for r in all_))
        for name, all_ in runs.items()
    }


def command(*words: str) -> list[str]:
    """Return the command line of ``hummock`` with some words, as this tree has it."""
    return [sys.executable, "-c", "from convert.cli.app import main; main()", *words]
