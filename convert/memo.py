"""How stages are run: each when its value is asked for, and none twice with the same choices and the same input."""

from collections import OrderedDict
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from typing import Any, NamedTuple

from convert.progress import Progress, silent
from shared.choice import part_of

USUAL_BYTES = 512_000_000

_SMALL = 200
"""Bytes that any value takes, more or less."""


class Stage(NamedTuple):
    """One step: a pure function of its choices and of what it needs."""

    name: str
    choices: type
    """The frozen dataclass of exactly what it reads of the options."""
    needs: tuple[str, ...]
    """Names of stages before it, or of what is given; their values are its arguments, in this order."""
    run: Callable[..., Any]
    """Called with its choices, then the values of its needs."""
    says: str = ""
    """What a person is told while it runs."""
    needs_if: Callable[[Any], tuple[str, ...]] = lambda _: ()
    """Further needs, that depend on the choices."""
    long: bool = False
    """It takes ``progress``, which may raise to stop it."""


class Memo:
    """Values by key, the ones used longest ago given up first.

    A key is the stage's name, its choices and the keys of what it needs: all that a value depends on, and nothing of
    how one came there.

    Parameters
    ----------
    most_bytes
        What all values together may take, by the size of their arrays and files. One that is larger is kept alone,
        until the next such value comes, so that a flow does not decode a huge picture for each stage that needs it.
    """

    def __init__(self, most_bytes: int = USUAL_BYTES) -> None:
        self.most_bytes = most_bytes
        self.bytes = 0
        self._values: OrderedDict[tuple[Hashable, ...], tuple[Any, int]] = OrderedDict()
        self._huge: tuple[tuple[Hashable, ...] | None, Any] = (None, None)

    def get_or_make(self, key: tuple[Hashable, ...], make: Callable[[], Any]) -> Any:
        """Return the value of a key, made now if it is not there."""
        if key in self._values:
            self._values.move_to_end(key)
            return self._values[key][0]
        if self._huge[0] == key:
            return self._huge[1]
        value = make()
        size = size_of(value)
        if size > self.most_bytes:
            self._huge = key, value
        else:
            self._values[key] = value, size
            self.bytes += size
        while self.bytes > self.most_bytes:
            _, (_, freed) = self._values.popitem(last=False)
            self.bytes -= freed
        return value

    def forget(self, stage: str) -> None:
        """Give up all values of a stage."""
        for key in [key for key in self._values if key[0] == stage]:
            self.bytes -= self._values.pop(key)[1]
        if self._huge[0] is not None and self._huge[0][0] == stage:
            self._huge = None, None


def size_of(value: Any) -> int:
    """Return about how many bytes a value takes: its arrays and its files, whatever they are wrapped in.

    What a value works out and keeps later, such as the neighbours of a grid, is not counted.
    """
    if hasattr(value, "nbytes"):
        return int(value.nbytes)
    if isinstance(value, bytes | str):
        return len(value)
    if isinstance(value, dict):
        return _SMALL + sum(map(size_of, value.values()))
    if isinstance(value, tuple | list):
        return _SMALL + sum(map(size_of, value))
    if is_dataclass(value):
        return _SMALL + sum(size_of(getattr(value, one.name)) for one in fields(value))
    return _SMALL


class Flow:
    """The values of stages for some given files and options, each made when it is asked for and not before.

    Parameters
    ----------
    stages
        Each after those that it needs.
    given
        Values that no stage makes, by name. One with a ``digest`` is known by that.
    options
        Holds all fields of each stage's choices; a stage gets just its own.
    memo
        Where values are kept for other flows; None for one of this flow alone.
    progress
        Told what is being done.
    """

    def __init__(
        self,
        stages: Sequence[Stage],
        given: Mapping[str, Any],
        options: Any,
        *,
        memo: Memo | None = None,
        progress: Progress = silent,
    ) -> None:
        self._stages = {stage.name: stage for stage in stages}
        self._given, self._options, self._progress = given, options, progress
        self._memo = Memo() if memo is None else memo
        self._choices = {stage.name: part_of(options, stage.choices) for stage in stages}

    def __getitem__(self, name: str) -> Any:
        """Return the value of a stage, or of what is given."""
        if name in self._given:
            return self._given[name]
        return self._memo.get_or_make(self._key(name), lambda: self._run(self._stages[name]))

    def _needs(self, stage: Stage) -> tuple[str, ...]:
        return stage.needs + stage.needs_if(self._choices[stage.name])

    def _key(self, name: str) -> tuple[Hashable, ...]:
        if name in self._given:
            value = self._given[name]
            return name, getattr(value, "digest", value)
        return name, self._choices[name], *map(self._key, self._needs(self._stages[name]))

    def _run(self, stage: Stage) -> Any:
        if stage.says:
            self._progress(stage.says)
        values = [self[name] for name in self._needs(stage)]
        more = {"progress": self._progress} if stage.long else {}
        return stage.run(self._choices[stage.name], *values, **more)
