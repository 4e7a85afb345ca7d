"""Files that the first version wrote give their design still, and no other."""

from pathlib import Path

import pytest
from good_rows import as_first_form
from strategies import SIZES

from convert.rows.proofread import proofread
from convert.rows.writer import rows_text
from shared.grid import Grid

FILES = sorted((Path(__file__).parent / "first_form").glob("*.txt"))
GRIDS = [Grid(13, 87), Grid(6, 29, "left", "bottom"), Grid(10, 9, drop=2)]


def without_checks(text):
    """The lines but for the comments among the rows, of which the words are others now."""
    return [line for place, line in enumerate(text.splitlines()) if place < 2 or not line.startswith("# ")]


@pytest.mark.parametrize(
    ("file", "grid"), [*zip(FILES, GRIDS, strict=True)], ids=lambda value: getattr(value, "stem", "")
)
def test_a_file_of_the_first_version_is_read_bead_for_bead(file, grid):
    text = file.read_text("utf-8")
    proof = proofread(text, SIZES)
    assert proof.mistakes == ()
    assert proof.design.grid == grid
    second = rows_text(proof.design)
    assert without_checks(as_first_form(second)) == without_checks(text)
    assert proofread(second, SIZES, against=proof.design).design == proof.design
