"""From a picture to a pattern: the stages, the writers, the command line and the window.

The public face, for other programs:

>>> from convert import Options, Source, make_pattern, sample
>>> drawing = Source("tide-pool.png", sample("tide-pool.png"))
>>> pattern = make_pattern(drawing, options=Options(columns=15, colours=4))
>>> pattern.design.grid.columns, len({bead.srgb for bead in pattern.design.beads})
(15, 4)

`STAGES` are the steps behind it in their order. What needs slow libraries is loaded when it is first asked for.
"""

from importlib import import_module
from typing import Any

_HOMES = {
    "STAGES": "convert.pipeline",
    "Flow": "convert.memo",
    "Memo": "convert.memo",
    "Options": "convert.options",
    "Pattern": "convert.pattern",
    "Source": "convert.image.decode",
    "make_pattern": "convert.pattern",
    "pattern_files": "convert.pattern_files",
    "sample": "convert.design_input",
    "stage_flow": "convert.pattern",
}

__all__ = (
    "STAGES",
    "Flow",
    "Memo",
    "Options",
    "Pattern",
    "Source",
    "make_pattern",
    "pattern_files",
    "sample",
    "stage_flow",
)


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module 'convert' has no attribute '{name}'")
    return getattr(import_module(_HOMES[name]), name)
