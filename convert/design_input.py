"""Reading the design that a command is given: a design.json, or the folder that holds one."""

from pathlib import Path

from convert.drafts import mend
from convert.files import is_folder, read_text
from shared.design import Design
from shared.design_file import parse_design
from shared.errors import BadFileError

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
    """Return the folder for outputs next to that of a design: its name, a dash and an ending."""
    home = design_path(given).resolve().parent
    return home.with_name(f"{home.name}-{ending}")


def sample(name: str) -> bytes:
    """Return a sample drawing or height map that comes with Hummock, such as ``tide-pool.png``.

    Raises
    ------
    BadFileError
        When there is none of that name.
    """
    for home in (Path(__file__).with_name("samples"), Path(__file__).parents[1] / "samples"):
        if name in {path.name for path in home.glob("*.png")}:  # in the wheel, or in a checkout
            return (home / name).read_bytes()
    raise BadFileError(f"there is no sample called '{name}'; take one of those in samples/")
