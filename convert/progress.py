"""How a step tells what it is at, and how it is stopped."""

from collections.abc import Callable

Progress = Callable[[str], None]
"""Told in a few words what begins; within a long step it is called every now and then with no words, ``""``.

It may raise at any call, and so stops the step, which has changed nothing that it was given."""


def silent(_step: str) -> None:
    """Say nothing."""
