"""The only module that knows the typesetter: a template, values and pictures become a PDF."""

import json
import re
import tempfile
from collections.abc import Mapping
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shared.errors import BadChoiceError

if TYPE_CHECKING:
    from typst import PDFStandard

STANDARDS: "list[PDFStandard]" = ["ua-1", "a-2a"]
"""PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2) at once: the typesetter refuses what breaks either."""

FACES = ("SourceSansPro-Regular.ttf", "SourceSansPro-Bold.ttf")

_LACKING = re.compile(r'the text `"(?P<text>.*?)"` could not be displayed')
_ESCAPE = re.compile(r"\\u\{(?P<code>[0-9a-f]+)\}")
_LONGEST_SHOWN = 60


def typeset(template: str, values: Mapping[str, Any], pictures: Mapping[str, bytes]) -> bytes:
    """Set a document; the same values give the same bytes.

    Parameters
    ----------
    template
        Typst markup; it reads its values from ``values.json``, so no text is ever taken for markup.
    values
        What JSON can hold.
    pictures
        By file name.

    Raises
    ------
    BadChoiceError
        When the typeface lacks a character of some text, or there is no room for temporary files.
    """
    try:
        return _compile(template, values, pictures)
    except OSError as error:
        raise BadChoiceError(
            f"the folder for temporary files cannot be used: {error.strerror}; make room there, or set TMPDIR"
        ) from error


def _compile(template: str, values: Mapping[str, Any], pictures: Mapping[str, bytes]) -> bytes:
    import typst

    sources = {"main.typ": template.encode(), "values.json": json.dumps(values, ensure_ascii=False).encode()}
    with tempfile.TemporaryDirectory(prefix="hummock-") as folder:
        for name, content in (sources | dict(pictures) | _faces()).items():
            (Path(folder) / name).write_bytes(content)
        fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder])
        try:
            document = typst.compile(
                str(Path(folder) / "main.typ"),
                root=folder,
                font_paths=fonts,
                ignore_system_fonts=True,
                pdf_standards=STANDARDS,
                timestamp=0,
            )
        except typst.TypstError as error:
            lacking = _find_lacking(error)
            if lacking is None:
                raise
            raise BadChoiceError(_sentence(lacking, values)) from error
    if not isinstance(document, bytes):
        raise TypeError("the typesetter gave no single document")
    return document


def _faces() -> dict[str, bytes]:
    """Return just two faces: the typesetter takes whole folders, in the order that a disk gives."""
    source = files("font_source_sans_pro").joinpath("files")
    return {name: source.joinpath(name).read_bytes() for name in FACES}


def _find_lacking(error: Any) -> str | None:
    """Return the first character that the typeface lacks, if that is what the typesetter complains of."""
    found = _LACKING.search(error.message)
    if found is None:
        return None
    return _ESCAPE.sub(lambda escape: chr(int(escape["code"], 16)), found["text"])


def _sentence(lacking: str, values: Mapping[str, Any]) -> str:
    character = next((one for one in lacking if not one.isspace()), lacking)
    text = _first_with(character, values) or lacking
    shown = text if len(text) <= _LONGEST_SHOWN else text[:_LONGEST_SHOWN] + "…"
    return (
        f"the booklet's typeface has no '{character}' (U+{ord(character[0]):04X}), which stands in '{shown}'; "
        "it has Latin, Greek and Cyrillic letters: write that text without it"
    )


def _first_with(character: str, value: Any) -> str | None:
    """Return the first text that holds a character."""
    if isinstance(value, str):
        return value if character in value else None
    inner = value.values() if isinstance(value, Mapping) else value if isinstance(value, list | tuple) else ()
    return next((found for one in inner if (found := _first_with(character, one)) is not None), None)
