"""How a step tells what it is at."""

from collections.abc import Callable

Progress = Callable[[str], None]


def silent(_step: str) -> None:
    """Say nothing."""
