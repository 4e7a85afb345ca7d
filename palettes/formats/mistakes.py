"""Mistakes of a file, collected line by line so that all are told at once."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from shared.errors import HummockError, MistakesError

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Mistakes:
    """A growing list of mistakes, each with its line counted from 1."""

    found: list[tuple[int, str]] = field(default_factory=list)

    def add(self, line: int, message: str) -> None:
        """Note a mistake."""
        self.found.append((line, message))

    def taken(self, line: int, make: Callable[[], Value]) -> Value | None:
        """Return what ``make`` gives; when it cannot, note why and return None."""
        try:
            return make()
        except HummockError as error:
            self.add(line, str(error))
            return None

    def raise_if_any(self, source: str) -> None:
        """Tell all of them, in the order of their lines.

        Raises
        ------
        MistakesError
            When there is one.
        """
        if self.found:
            ordered = sorted(self.found, key=lambda mistake: mistake[0])
            raise MistakesError([f"line {line}: {message}" for line, message in ordered], where=[source])
