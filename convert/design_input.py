"""Reading the design that a command is given: a design.json, or the folder that holds one."""

from pathlib import Path

from convert.drafts import mend
from convert.files import is_folder, read_text
from shared.design import Design
from shared.design_file import parse_design

NAME = "design.json"


def design_path(given: Path) -> Path:
    """Return where the design file is: in a folder, it is called `NAME`."""
    return given / NAME if is_folder(given) else given


def read_design(given: Path) -> Design:
    """Read a design; what a killed run left half written in its folder is put back first, with a `MendedWarning`.

    Raises
    ------
    BadFileError
        When there is none, or it cannot be read as one.
    """
    path = design_path(given)
    mend(path.parent)
    return parse_design(read_text(path), source=str(path))


def folder_beside(given: Path, ending: str) -> Path:
    """Return the folder for outputs beside that of a design: its name, a dash and an ending."""
    home = design_path(given).resolve().parent
    return home.with_name(f"{home.name}-{ending}")
