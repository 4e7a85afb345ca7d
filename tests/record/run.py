"""Run the recorded commands in this process, in an empty folder, and read what they write."""

import contextlib
import gzip
import json
import os
import re
import shlex
import tomllib
from pathlib import Path

from record.commands import COMMANDS, KEPT, REFUSED, lay_out, paint_over, words_of
from record.content import NAMES, content_of
from typer.main import get_command
from typer.testing import CliRunner

from convert.cli.app import app

HERE = Path(__file__).resolve().parent
SAMPLES = HERE.parents[1] / "samples"
BASELINE, CHANGES = HERE / "baseline.json.gz", HERE / "changes.toml"
ENVIRONMENT = {"COLUMNS": "100", "NO_COLOR": "1"}


def baseline():
    """Read the baseline: the works kept, and the content of each command."""
    return json.loads(gzip.decompress(BASELINE.read_bytes()))


def save(kept, commands):
    """Write the baseline."""
    text = json.dumps({"kept": kept, "commands": commands}, ensure_ascii=False, separators=(",", ":"))
    BASELINE.write_bytes(gzip.compress(text.encode(), 9, mtime=0))


def changes():
    """Read the changes that are known, as (command, file, part, figures)."""
    told = tomllib.loads(CHANGES.read_text("utf-8")).get("change", [])
    return {(change["command"], change["file"], change["part"], change["figures"]) for change in told}


def works(folder):
    """Make the works that others are made of."""
    with laid_out(folder, {}):
        for name in KEPT:
            run(name)
        return {
            name: {file: (folder / name / file).read_text("utf-8") for file in ("design.json", "rows.txt")}
            for name in KEPT
        }


def contents(folder, kept, names):
    """Run commands, by their ids, in an empty folder; yield the id and the content of each."""
    with laid_out(folder, kept):
        paint_over(folder)
        for name in names:
            yield name, run(name)


@contextlib.contextmanager
def laid_out(folder, kept):
    """Work in a folder that holds what the commands read."""
    lay_out(folder, SAMPLES, kept)
    with contextlib.chdir(folder):
        yield


def run(name):
    """Run a command; give the content of each file that it changed, its words and its exit status."""
    words = words_of(name, Path())
    before = _stamps()
    with contextlib.ExitStack() as stack:
        if "CLUSTER" in words:
            from distributed import LocalCluster

            cluster = stack.enter_context(LocalCluster(n_workers=1, threads_per_worker=1, dashboard_address=None))
            words[words.index("CLUSTER")] = cluster.scheduler_address
        told = CliRunner(env=ENVIRONMENT).invoke(app, words)
    if told.exception is not None and not isinstance(told.exception, SystemExit):
        raise told.exception
    found = {"(told)": {"status": told.exit_code, "text": _plain(told.output)}}
    for path, stamp in _stamps().items():
        if before.get(path) != stamp:
            place = path.with_name(NAMES.get(path.name, path.name)).as_posix()
            content = content_of(path, place)
            if content is not None or path.suffix == ".pdf":
                found[place] = content
    return json.loads(json.dumps(found))


def _plain(told):
    """Give what a command said on one line, without the name of the folder that all lie in."""
    return re.sub(r"\s+", " ", told.replace(str(Path.cwd()), "."))


def _stamps():
    stamps = {}
    for folder, _, names in os.walk("."):
        for name in names:
            path = Path(folder) / name
            status = path.stat()
            stamps[path] = (status.st_ino, status.st_mtime_ns, status.st_size)
    return stamps


def options():
    """Yield each command, and each of its options as all its spellings."""
    group = get_command(app)
    for name, command in ((name, group.get_command(None, name)) for name in group.list_commands(None)):
        for option in command.params:
            spellings = {*option.opts, *option.secondary_opts}
            if any(word.startswith("-") for word in spellings):
                yield name, spellings


def options_not_tried():
    """List the options that no recorded command says that is not refused, each with its command."""
    said = {}
    for words in (shlex.split(line) for name, line in COMMANDS.items() if name not in REFUSED[:-2]):
        said.setdefault(words[0], set()).update(words[1:])
    return [(name, sorted(spellings)) for name, spellings in options() if not spellings & said.get(name, set())]
