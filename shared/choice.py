"""A choice that a user has, stated once: its default, how it is asked for, and where it stands in the help.

Each stage keeps its choices in a frozen dataclass whose fields are made by `choice`. The command line and every other
face take names, defaults, words of help and groups from there, so that none of them says anything twice.
"""

from dataclasses import Field, dataclass, field, fields
from typing import Any, Literal

Group = Literal["Picture", "Size", "Colours", "Heights", "Stitching", "Output"]

GROUPS: tuple[Group, ...] = ("Picture", "Size", "Colours", "Heights", "Stitching", "Output")
"""In the order of work."""

_ASKED = "asked"


@dataclass(frozen=True, slots=True)
class Asked:
    """How a choice is asked for.

    Parameters
    ----------
    group
        Under which heading it stands.
    words
        What the help says of it.
    form
        How its words are read; see `convert.cli.options`. Empty where the type says it: yes or no, or a word.
    option
        Name on the command line, without dashes; empty for the field's own.
    metavar
        What stands for the value in the help; empty for what the form says.
    shown
        The default as people write it; empty for the value itself.
    many
        It may be given again and again, and is a tuple.
    """

    group: Group
    words: str
    form: str = ""
    option: str = ""
    metavar: str = ""
    shown: str = ""
    many: bool = False


def choice(default: Any, group: Group, words: str, **how: Any) -> Any:
    """Return the field of a choice; ``how`` are further parts of `Asked`. A default that is a function makes it."""
    metadata = {_ASKED: Asked(group, words, **how)}
    if callable(default):
        return field(default_factory=default, metadata=metadata)
    return field(default=default, metadata=metadata)


def asked_of(one: "Field[Any]") -> Asked | None:
    """Return how a field is asked for; None where nobody asks for it."""
    asked: Asked | None = one.metadata.get(_ASKED)
    return asked


def option_name(one: "Field[Any]") -> str:
    """Return the name of a choice on the command line, without dashes."""
    asked = asked_of(one)
    return asked.option if asked and asked.option else one.name.replace("_", "-")


def part_of(whole: Any, kind: type) -> Any:
    """Return just the choices that a dataclass holds, out of a larger one."""
    return kind(**{one.name: getattr(whole, one.name) for one in fields(kind)})
