"""The design file: a design as JSON text, and back."""

import json
from importlib.resources import files
from itertools import pairwise
from math import isfinite
from typing import Any, NoReturn

import numpy as np

from shared.arrays import Ints
from shared.beads import bead_sizes_from_values, bead_sizes_to_values
from shared.calibration import gauge_to_values
from shared.design import Bead, Design, check_beads
from shared.errors import BadFileError, HummockError
from shared.grid import Grid
from shared.letters import letter_of
from shared.plural import counted

FORMAT = "hummock-design"
VERSION = 2

_LONGEST_MESSAGE = 160
_DEEPEST = 40


def design_text(design: Design) -> str:
    """Write a design as JSON, one row of cells on a line; the same design gives the same text."""
    values = {
        "format": FORMAT,
        "version": VERSION,
        "title": design.title,
        "columns": design.grid.columns,
        "rows": design.grid.rows,
        "hand": design.grid.hand,
        "start": design.grid.start,
        "drop": design.grid.drop,
    }
    parts = [f'"{name}": {_json(value)}' for name, value in values.items()]
    parts.append(f'"sizes": {_json_lines([_json(size) for size in bead_sizes_to_values(design.bead_sizes)])}')
    if design.bead_sizes.gauge is not None:
        parts.append(f'"gauge": {_json(gauge_to_values(design.bead_sizes.gauge))}')
    parts.append(f'"beads": {_json_lines([_json(_bead_to_values(bead)) for bead in design.beads])}')
    parts.append(f'"cells": {_json_lines(_cell_lines(design))}')
    parts.append(f'"provenance": {json.dumps(dict(design.provenance), ensure_ascii=False, indent=2)}')
    return "{\n" + ",\n".join(parts) + "\n}\n"


def parse_design(text: str, *, source: str = "the design") -> Design:
    """Read a design from JSON text.

    Parameters
    ----------
    text
        What `design_text` wrote, or another wrote to the same schema.
    source
        What the text is called in errors.

    Raises
    ------
    BadFileError
        When it is not JSON, not a design, from a newer version, or damaged; the message says where.
    """
    try:
        return _design_from_values(_check_values(text.removeprefix("\ufeff")))
    except HummockError as error:
        raise BadFileError(error.message, where=[source, *error.where]) from error


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False)


def _json_lines(items: list[str]) -> str:
    return "[\n  " + ",\n  ".join(items) + "\n]"


def _bead_to_values(bead: Bead) -> dict[str, Any]:
    return {
        "kind": bead.kind,
        "letter": bead.letter,
        "size": bead.size,
        "srgb": bead.srgb,
        "lab": list(bead.lab),
        "name": bead.name,
        "source": bead.source,
    }


def _cell_lines(design: Design) -> list[str]:
    quoted = np.array([_json(bead.kind) for bead in design.beads], dtype=object)[design.cells]
    rows = pairwise(design.grid.row_edges)
    return ["[" + ", ".join(quoted[start:end]) + "]" for start, end in rows]


def _check_values(text: str) -> dict[str, Any]:
    try:
        values: Any = json.loads(text, parse_constant=_refuse_constant, parse_float=_read_finite)
    except json.JSONDecodeError as error:
        raise BadFileError(f"is not a whole JSON file ({error}); make the design anew") from error
    except (ValueError, RecursionError) as error:
        raise BadFileError(f"is no design file ({_name_refusal(error)}); make the design anew") from error
    if not isinstance(values, dict) or values.get("format") != FORMAT:
        raise BadFileError("is no Hummock design; give a design.json or the folder that holds one")
    version: Any = values.get("version")
    if isinstance(version, int) and version > VERSION:
        raise BadFileError(f"was made by a newer Hummock (design version {version}); update Hummock to read it")
    known = _renew(values) if version == 1 and version is not True else values
    _check_schema(known)
    _check_provenance(known["provenance"])
    return known


def _renew(values: dict[str, Any]) -> dict[str, Any]:
    """Return the values of version 1 as version 2 has them; what is wrong in them stays wrong."""
    names = {"ladder": "sizes"}
    renewed = {"drop": 1} | {names.get(name, name): value for name, value in values.items()} | {"version": VERSION}
    if isinstance(beads := values.get("beads"), list):
        renewed["beads"] = [_renew_bead(bead) if isinstance(bead, dict) else bead for bead in beads]
    return renewed


def _renew_bead(bead: dict[str, Any]) -> dict[str, Any]:
    renewed = {"kind" if name == "key" else name: value for name, value in bead.items()}
    kind = renewed.get("kind")
    return renewed | ({"letter": letter_of(kind)} if isinstance(kind, str) else {})


def _name_refusal(error: ValueError | RecursionError) -> str:
    """Say what in a JSON file is beyond any design."""
    if isinstance(error, RecursionError):
        return "it holds lists within lists without end"
    if isinstance(error, _BadNumberError):
        return str(error)
    return "it holds a number of thousands of digits"


class _BadNumberError(ValueError):
    """A number that JSON does not know, or no float can hold."""


def _check_provenance(value: Any, depth: int = 0) -> None:
    """Refuse what could be read but not written again."""
    if depth > _DEEPEST:
        raise BadFileError("holds lists within lists without end; make the design anew", where=["provenance"])
    if isinstance(value, str) and any("\ud800" <= letter <= "\udfff" for letter in value):
        raise BadFileError("holds half of a character; make the design anew", where=["provenance"])
    inner = [*value, *value.values()] if isinstance(value, dict) else value if isinstance(value, list) else []
    for one in inner:
        _check_provenance(one, depth + 1)


def _read_finite(text: str) -> float:
    number = float(text)
    if not isfinite(number):
        raise _BadNumberError(f"{text[:20]} is too large")
    return number


def _refuse_constant(name: str) -> NoReturn:
    raise _BadNumberError(f"{name} is no number")


def _check_schema(values: dict[str, Any]) -> None:
    from jsonschema import Draft202012Validator
    from jsonschema.exceptions import best_match

    schema = json.loads(files("shared").joinpath("design.schema.json").read_text("utf-8"))
    if _are_rows_of_kinds(values.get("cells")):
        values = values | {"cells": [[], []]}  # bead by bead it takes seconds for a large work
    error = best_match(Draft202012Validator(schema).iter_errors(values))
    if error is not None:
        message = error.message if len(error.message) <= _LONGEST_MESSAGE else f"breaks the rule '{error.validator}'"
        raise BadFileError(f"{message}; mend it or make the design anew", where=[_say_place(list(error.absolute_path))])


def _are_rows_of_kinds(cells: Any) -> bool:
    """Return at once whether cells are what the schema asks of them."""
    return (
        isinstance(cells, list)
        and len(cells) >= 2
        and all(isinstance(row, list) and set(map(type, row)) <= {str} for row in cells)
    )


def _say_place(path: list[Any]) -> str:
    """Say where in the file a value is, counting from 1 as people do."""
    steps = [str(step + 1) if isinstance(step, int) else step for step in path]
    return " ".join(steps) or "at the top"


def _design_from_values(values: dict[str, Any]) -> Design:
    grid = Grid(int(values["columns"]), int(values["rows"]), values["hand"], values["start"], int(values["drop"]))
    beads = tuple(_bead_from_values(entry) for entry in values["beads"])
    bead_sizes = bead_sizes_from_values(values["sizes"], values.get("gauge"))
    check_beads(beads, bead_sizes)
    return Design(
        title=values["title"],
        grid=grid,
        bead_sizes=bead_sizes,
        beads=beads,
        cells=_cells_from_rows(values["cells"], grid, beads),
        provenance=values["provenance"],
    )


def _bead_from_values(entry: dict[str, Any]) -> Bead:
    own = {name: value for name, value in entry.items() if name != "letter"}
    bead = Bead(**(own | {"lab": tuple(entry["lab"])}))
    if bead.letter != entry["letter"]:
        raise BadFileError(
            f"the letter of {bead.kind} is {entry['letter'][:20]!r}; write {bead.letter}, or mend the kind"
        )
    return bead


def _cells_from_rows(rows: list[list[str]], grid: Grid, beads: tuple[Bead, ...]) -> Ints:
    if len(rows) != grid.rows:
        raise BadFileError(f"there are {len(rows)} rows of cells where {grid.rows} belong; mend cells or rows")
    for row, cells in enumerate(rows, start=1):
        if len(cells) != grid.rule_of(row).beads:
            raise BadFileError(
                f"has {counted(len(cells), 'bead')} where {grid.rule_of(row).beads} belong; mend that row",
                where=[f"row {row}"],
            )
    place_of = {bead.kind: place for place, bead in enumerate(beads)}
    for row, cells in enumerate(rows, start=1):
        for kind in cells:
            if kind not in place_of:
                raise BadFileError(
                    f"the kind {kind[:20]!r} is not among the beads; add it or mend it", where=[f"row {row}"]
                )
    return np.array([place_of[kind] for cells in rows for kind in cells], dtype=np.int64)
