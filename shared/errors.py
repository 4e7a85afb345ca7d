"""The errors that a user can mend, each with the exit status it leads to."""

from collections.abc import Sequence


class HummockError(Exception):
    """Something a user can mend.

    The message is one sentence that says what is wrong, where, and how to mend it. ``where`` is the
    trail to the place, outermost first: a file, a line in it, a cell in the line.
    """

    exit_status = 2

    def __init__(self, message: str, *, where: Sequence[str] = ()) -> None:
        super().__init__(message)
        self.message = message
        self.where = tuple(where)

    def __str__(self) -> str:
        return ": ".join([*self.where, self.message])


class BadChoiceError(HummockError):
    """An option, or options together, that cannot be carried out."""


class BadFileError(HummockError):
    """A file that cannot be read as what it should be."""


class MistakesError(BadFileError):
    """A file with several mistakes, each named with its place.

    Parameters
    ----------
    mistakes
        One sentence each, with its line number.
    """

    def __init__(self, mistakes: Sequence[str], *, where: Sequence[str] = ()) -> None:
        count = len(mistakes)
        heading = "1 mistake" if count == 1 else f"{count} mistakes"
        super().__init__("\n  ".join([f"{heading}:", *mistakes]), where=where)
        self.mistakes = tuple(mistakes)


class OutputExistsError(HummockError):
    """A file that would be replaced without having been asked to."""
