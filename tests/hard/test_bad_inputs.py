"""Bad input of every kind, to every command: one sentence, status 2, and nothing that was there is touched."""

import errno
import os
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from bad_input_files import DESIGN, fill, noise
from bad_inputs import BAD
from picture_oracle import encoded
from typer.main import get_command

from convert import files
from convert.cli.app import EXAMPLES, app
from shared.design_file import design_text, parse_design
from shared.errors import BadFileError

GOOD = {
    "convert": "convert cuff.png --columns 5 --no-surface",
    "batch": "batch shelf --columns 5 --jobs 1 --no-surface",
    "colours": "colours cuff.png --columns 5 --to 2",
    "recolour": "recolour work --swap A=#2f4a5a",
    "beads": "beads heaps.png --at 80,100",
    "heights": 'heights cuff.png --raise "disc 5,5 r2" --columns 9',
    "surface": "surface work",
    "rows": "rows work",
    "proof": "proof typed.txt",
    "sheet": "sheet work",
    "lengths": "lengths work --sizes --wrist 165mm",
    "shopping": "shopping work",
    "booklet": "booklet work",
    "page": "page work --no-surface",
}
COMMANDS = get_command(app)
SCRIPT = Path(sys.executable).with_name("hummock")


def stamps(folder):
    """What is below a folder: kind, mode, size, time of the last change, and which file it is."""
    found = {}
    for path in folder.rglob("*"):
        state = path.lstat()
        found[str(path.relative_to(folder))] = (state.st_mode, state.st_size, state.st_mtime_ns, state.st_ino)
        if path.is_dir():
            found[str(path.relative_to(folder))] = state.st_mode
    return found


@pytest.fixture
def refused(capsys):
    """Give a command line that must be refused, and return the sentence."""

    def call(folder, words, *, status=2):
        before = stamps(folder)
        with pytest.raises(SystemExit) as ended:
            COMMANDS.main(shlex.split(words), "hummock")
        assert ended.value.code == status
        assert stamps(folder) == before
        said = capsys.readouterr()
        assert said.out == ""
        assert_one_sentence(said.err)
        return said.err

    return call


def assert_one_sentence(told):
    assert told.startswith("hummock: ")
    assert told.endswith("\n")
    assert len(told) < 1000
    assert all(letter.isprintable() for letter in told.replace("\n", ""))
    assert told.count("\n") == 1 or "mistake" in told.splitlines()[0]


@pytest.fixture(scope="module")
def shared_studio(tmp_path_factory):
    folder = tmp_path_factory.mktemp("tide") / "studio"
    fill(folder)
    return folder


@pytest.fixture
def studio(shared_studio, monkeypatch):
    monkeypatch.chdir(shared_studio)
    return shared_studio.parent


def test_the_table_is_long_and_knows_every_command():
    assert len(BAD) >= 80
    assert {bad.words.split()[0] for bad in BAD} == set(GOOD) == set(EXAMPLES)


@pytest.mark.parametrize("bad", BAD, ids=[bad.words[:50] for bad in BAD])
def test_bad_input_is_told_in_one_sentence_and_changes_nothing(bad, studio, refused):
    assert bad.told in refused(studio, bad.words)


def test_a_design_that_is_cut_anywhere_is_refused(studio, tmp_path, refused):
    whole = design_text(DESIGN)
    for percent in range(1, 100):
        cut = whole[: len(whole) * percent // 100]
        with pytest.raises(BadFileError, match=r"^tide\.json: is not a whole JSON file"):
            parse_design(cut, source="tide.json")
        if percent % 10 == 0:
            (tmp_path / "cut.json").write_text(cut, "utf-8")
            assert "cut.json: is not a whole JSON file" in refused(studio, f"sheet {tmp_path / 'cut.json'}")


FULL = OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
LOCKED = PermissionError(errno.EACCES, os.strerror(errno.EACCES))
FAULTS = {
    "no memory": (files, "_up_to", MemoryError(), "this takes more memory than there is; give a smaller", 2),
    "Ctrl-C while reading": (
        files,
        "_up_to",
        KeyboardInterrupt(),
        "stopped; what was not finished is as it was",
        130,
    ),
    "Ctrl-C while writing": (os, "fsync", KeyboardInterrupt(), "stopped; what was not finished is as it was", 130),
    "a locked folder": (os, "mkdir", LOCKED, "may not be opened; check its permissions", 2),
    "a full disk": (os, "fsync", FULL, "No space left on device; make room on the disk", 2),
}


@pytest.mark.parametrize("command", GOOD)
def test_what_fails_on_the_way_leaves_all_as_it_was(command, own_studio, monkeypatch, refused):
    """Writing is one module's, so one fault there, which comes when all work is done, is enough for most."""
    words = GOOD[command]
    for name in FAULTS if command in {"rows", "sheet", "proof"} else ["Ctrl-C while reading", "a full disk"]:
        where, call, error, told, status = FAULTS[name]
        with monkeypatch.context() as patch:
            patch.setattr(where, call, failing(error))
            assert told in refused(own_studio.parent, words, status=status)


def failing(error):
    def call(*_, **__):
        raise error

    return call


def test_who_no_longer_listens_is_not_complained_to(tmp_path, monkeypatch):
    """The status is that of a program that a closed pipe ends: 128 and SIGPIPE's 13 (POSIX). Its work is done."""
    monkeypatch.chdir(tmp_path)
    Path("pool.png").write_bytes(encoded(noise(9, 12)))
    reads, writes = os.pipe()
    os.close(reads)
    command = [SCRIPT, "convert", "pool.png", "--columns", "5"]
    run = subprocess.run(command, stdout=writes, stderr=subprocess.PIPE, text=True, check=False)
    os.close(writes)
    assert (run.returncode, run.stderr) == (141, "")
    assert Path("pool-pattern/rows.txt").is_file()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no file that is always full")
def test_words_that_cannot_be_told_are_no_fault_of_ours(own_studio):
    with Path("/dev/full").open("w") as full:
        run = subprocess.run([SCRIPT, "rows", "work"], stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert run.returncode == 2
    assert run.stderr == "hummock: standard output is full; make room where it goes, or say --quiet\n"
    assert (own_studio / "work" / "rows.txt").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="a shell of POSIX closes the streams")
def test_what_is_started_without_streams_works_alike(tmp_path, monkeypatch):
    """Also the processes of a batch."""
    monkeypatch.chdir(tmp_path)
    Path("shelf").mkdir()
    Path("shelf/pool.png").write_bytes(encoded(noise(9, 12)))
    words = [SCRIPT, "batch", "shelf", "--columns", "5", "--jobs", "2", "--out", "made"]
    run = subprocess.run(["/bin/sh", "-c", '"$@" <&- >&- 2>&-', "sh", *words], capture_output=True, check=False)
    assert (run.returncode, run.stderr) == (0, b"")
    assert Path("made/pool/rows.txt").is_file()


@pytest.mark.skipif(sys.platform != "linux", reason="names of files that are no text are Linux's own")
def test_names_that_are_no_text_may_be_used(own_studio):
    names = [b"caf\xe9.png", b"tide\x1b[2J.png"]
    for name in names:
        Path(os.fsdecode(b"shelf/" + name)).write_bytes(Path("cuff.png").read_bytes())
    Path(os.fsdecode(b"shelf/caf\xe9-heights.png")).write_bytes(b"")
    run = subprocess.run([SCRIPT, *shlex.split(GOOD["batch"])], capture_output=True, check=False)
    assert run.returncode == 2
    assert run.stderr.endswith(b"is empty; give a picture\n")
    assert b"\x1b" not in run.stdout + run.stderr
    assert b"Traceback" not in run.stderr
    assert b"caf\\udce9.png" in (own_studio / "shelf-patterns/report.csv").read_bytes()


@pytest.mark.usefixtures("studio")
def test_a_long_thin_picture_is_no_bad_input(tmp_path):
    """8 x 20,000 pixels make a ribbon."""
    words = shlex.split("convert bad/thread.png --columns 2 --rows 500 --no-surface --out")
    with pytest.raises(SystemExit) as ended:
        COMMANDS.main([*words, str(tmp_path / "thin")], "hummock")
    assert ended.value.code == 0
