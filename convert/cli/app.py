"""The command line as a whole: it joins the commands and turns errors into exit statuses."""

import errno
import gc
import io
import os
import signal
import sys
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import Annotated, Any, NamedTuple, TextIO, cast

import typer
import typer.main
from typer.core import TyperCommand, TyperGroup

from convert.cli.outputs import complain
from convert.drafts import MendedWarning
from shared.choice import GROUPS
from shared.errors import HummockError

_OBJECTS_BETWEEN = 200_000
"""Python looks for rings of forgotten objects after so many new ones: after 700, as usual, that takes a tenth of the
time of a large work, whose shapes are many and all in use."""

_FAILED, _STOPPED, _UNHEARD = 2, 130, 141
"""The last two as shells say that Ctrl-C or a closed pipe ended a program."""
_STOPPED_WORDS = "stopped; what was not finished is as it was before"
_MISUSE = cast("type[typer.BadParameter]", typer.BadParameter.__mro__[1])
"""Any misuse of an option; typer does not export the class."""


class _Command(TyperCommand):
    """Shows its options under the headings of the work, and lines to type at the end."""

    def format_options(self, ctx: Any, formatter: Any) -> None:
        groups: dict[str, list[tuple[str, str]]] = {}
        for parameter in self.get_params(ctx):
            record = parameter.get_help_record(ctx)
            if record is None:
                continue
            is_option = parameter.param_type_name == "option"
            group = getattr(parameter, "rich_help_panel", None) or "Options"
            groups.setdefault(group if is_option else "Arguments", []).append(record)
        # Next to the choices of the main job, those of the command itself say where files are and go.
        own = "Output" if len(groups.keys() & set(GROUPS)) > 1 else "Options"
        groups[own] = groups.pop("Output", []) + groups.pop("Options", [])
        for name in ("Arguments", *GROUPS, "Options"):
            if groups.get(name):
                with formatter.section(name):
                    formatter.write_dl(groups[name])

    def format_epilog(self, _: Any, formatter: Any) -> None:
        examples = EXAMPLES[str(self.name)]
        with formatter.section("Examples" if len(examples) > 1 else "Example"):
            for example in examples:
                formatter.write(f"{' ' * formatter.current_indent}{example}\n")


class _Commands(TyperGroup):
    """Lists the commands by task, and says what a user can mend in one sentence, without a traceback or usage lines."""

    def format_commands(self, _: Any, formatter: Any) -> None:
        width = max(map(len, _COMMANDS))
        for task, commands in _TASKS.items():
            with formatter.section(task):
                formatter.write_dl([(name.ljust(width), told.words) for name, told in commands.items()])

    def list_commands(self, _: Any) -> list[str]:
        return list(_COMMANDS)

    def get_command(self, _: Any, cmd_name: str) -> Any:
        """Load a command; None where there is none of that name."""
        if cmd_name not in _COMMANDS:
            return None
        module = import_module(f"convert.cli.{_COMMANDS[cmd_name].module or cmd_name}")
        alone = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False, add_completion=False)
        alone.command(cmd_name, cls=_Command)(getattr(module, cmd_name))
        command = typer.main.get_command(alone)
        command.name = cmd_name
        return command

    def main(self, *args: Any, **extra: Any) -> Any:
        try:
            with _notices_said():
                status = super().main(*args, **(extra | {"standalone_mode": False}))
        except HummockError as error:
            status = _say(str(error), error.exit_status)
        except _MISUSE as error:
            status = _say(error.format_message().rstrip("."), error.exit_code)
        except MemoryError:
            status = _say("this takes more memory than there is; give a smaller picture, or fewer beads", _FAILED)
        except OSError as error:
            if error.errno != errno.ENOSPC:
                raise
            sys.stdout = _nowhere()  # what was not written is given up, or Python tries once more when it ends
            status = _say("standard output is full; make room where it goes, or say --quiet", _FAILED)
        except SystemExit as end:
            status = _UNHEARD if isinstance(end.__context__, BrokenPipeError) else end.code
        if status == _STOPPED:
            _say(_STOPPED_WORDS, _STOPPED)
        sys.exit(status or 0)


@contextmanager
def _notices_said() -> Iterator[None]:
    """Say in our own words, and every time, that a folder was mended; other warnings are as they are."""
    with warnings.catch_warnings():
        warnings.simplefilter("always", MendedWarning)
        as_it_is = warnings.showwarning

        def show(message: Warning | str, category: type[Warning], *rest: Any) -> None:
            if issubclass(category, MendedWarning):
                complain(str(message))
            else:
                as_it_is(message, category, *rest)

        warnings.showwarning = show  # type: ignore[assignment]
        yield


def _say(sentence: str, status: int) -> int:
    complain(sentence)
    return status


def _nowhere() -> TextIO:
    return Path(os.devnull).open("w", encoding="utf-8")


def _have_streams() -> None:
    """Let words go nowhere if whoever started the program closed what they go to; a batch's processes need both too."""
    for number, name in ((1, "stdout"), (2, "stderr")):
        if getattr(sys, name) is None:
            nowhere = _nowhere()
            setattr(sys, name, nowhere)
            os.dup2(nowhere.fileno(), number)
            os.set_inheritable(number, True)


app = typer.Typer(
    cls=_Commands,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    help="Turn a drawing and a greyscale height map into a dimensional flat peyote pattern.",
)


class _Told(NamedTuple):
    """What is known of a command before its module is loaded."""

    words: str
    """What it does."""
    examples: tuple[str, ...]
    """What may be typed after its name."""
    module: str = ""
    """Where it is, in `convert.cli`; empty for a module of its own name."""


_TASKS: dict[str, dict[str, _Told]] = {
    "Make": {
        "convert": _Told(
            "Make a pattern from a drawing.",
            (
                "drawing.png --columns 25 --colours 6",
                "drawing.png --heights heights.png --width 32mm --palette coast --colours 8",
            ),
        ),
        "batch": _Told("Make patterns of many pictures.", ("drawings --columns 25 --jobs 2",)),
        "heights": _Told("Make a height map from shapes.", ('drawing.png --columns 25 --raise "disc 40,middle r6"',)),
    },
    "Look": {
        "colours": _Told("Review the number of colours.", ("drawing.png --columns 25 --to 12",)),
        "surface": _Told("Predict the shape.", ("drawing-pattern --wrist 165mm",)),
    },
    "Stitch": {
        "page": _Told("Write the stitch page.", ("drawing-pattern --out page",), "documents"),
        "rows": _Told("Write the word rows.", ("drawing-pattern --out rows",)),
        "proof": _Told("Proofread word rows.", ("typed.txt --against drawing-pattern",)),
    },
    "Buy": {
        "shopping": _Told("List what to buy.", ("drawing-pattern --kits 12 --out kits",)),
        "beads": _Told(
            "Show sizes and palettes, or read a stash from a photograph.",
            ("--palette coast", "heaps.jpg --paper 60,40 --at '120,340 deep teal' --at 400,310"),
        ),
    },
    "Sell and edit": {
        "booklet": _Told("Make a booklet.", ("drawing-pattern --studio studio.toml",), "documents"),
        "lengths": _Told("Make a design for a wrist.", ("drawing-pattern --wrist 165mm --clasp 15mm",)),
        "recolour": _Told(
            "Give a design other colours.",
            ("drawing-pattern --palette pebbles", "drawing-pattern --swap 'B=#d8c7a0'"),
        ),
        "sheet": _Told(
            "Edit a design in other programs.", ("drawing-pattern", "--read edited.png --into drawing-pattern")
        ),
    },
}
"""The commands by what one does with them. Their modules are loaded when one is called, so that help is instant."""

_COMMANDS = {name: told for commands in _TASKS.values() for name, told in commands.items()}

EXAMPLES = {name: [f"hummock {name} {words}" for words in told.examples] for name, told in _COMMANDS.items()}

_FIRST_LINES = """\
Hummock turns a drawing into a dimensional flat peyote pattern. To begin, type one of these:

  hummock colours drawing.png --columns 25             how many colours does it need?
  hummock convert drawing.png --columns 25 --colours 6 chart, word rows and shopping list
  hummock --help                                       all that it can do
"""


def _show_version(wanted: bool) -> None:  # noqa: FBT001 - the option reader calls it so
    from importlib.metadata import version

    if wanted:
        typer.echo(f"hummock {version('hummock')}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def _hummock(
    context: typer.Context,
    *,
    version: Annotated[  # noqa: ARG001 - its callback does the work
        bool, typer.Option("--version", callback=_show_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    """Take the options that come before a command; without one, show how to begin."""
    if context.invoked_subcommand is None:
        typer.echo(_FIRST_LINES, nl=False)


def _stop(_number: int, _frame: object) -> None:
    """Stop, once: what is tidied up then is not to be stopped in its turn."""
    _stop_no_more()
    raise KeyboardInterrupt


def _stop_no_more() -> None:
    for stop in (signal.SIGINT, signal.SIGTERM):
        signal.signal(stop, signal.SIG_IGN)


def main() -> None:
    """Run the command line."""
    _have_streams()
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")  # names of files need not be text
    gc.set_threshold(_OBJECTS_BETWEEN)
    try:
        for stop in (signal.SIGINT, signal.SIGTERM):
            if signal.getsignal(stop) is not signal.SIG_IGN:  # as for a command that a script runs in the background
                signal.signal(stop, _stop)
        app()
    except KeyboardInterrupt:
        sys.exit(_say(_STOPPED_WORDS, _STOPPED))
    finally:
        _stop_no_more()  # all is done, and Python only ends
