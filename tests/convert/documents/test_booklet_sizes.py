"""The table of sizes in a booklet: does each bracelet close, and can it be stitched from what the page says?"""

import re

import pytest
from booklets import random_design, repeated_design

from convert.buying.growth import growth_of
from convert.buying.lengths import Wanted, fits_for
from convert.buying.wrists import SURVEY_SIZES
from convert.documents.booklet.choices import Choices
from convert.documents.booklet.cover import shape_of
from convert.documents.booklet.figures import size_table
from convert.words.repeats import find_repeat

ROW_MM = 0.8
"""Half the diameter of a cylinder 11/0 (1.6 mm)."""

CLASP_MM, EASE_MM = 20, 20


def table_of(design):
    return size_table(design, shape_of(design), Choices())


def fits_of(design):
    repeat = find_repeat(design, strand=True)
    wanted = Wanted(EASE_MM, CLASP_MM)
    return fits_for(design, repeat, growth_of(design, repeat), SURVEY_SIZES, wanted)[0]


@pytest.mark.parametrize("period", [16, 60])
def test_what_whole_rounds_leave_over_is_told_and_named_where_the_bracelet_would_not_close(period):
    """Flat work of R rows is (R + 1) / 2 beads of 1.6 mm long; the lengths are worked out anew here."""
    table = table_of(repeated_design(foundation=3, period=period, rows=3 + 3 * period))
    place = {head: place for place, head in enumerate(table.heads)}
    needed = 0
    for row in table.rows:
        wrist = int(row[place["Wrist"]].split()[0])
        made_mm = (int(row[place["Rows"]]) + 1) * ROW_MM
        left = re.fullmatch(r"(\d+) mm(?:, (\d+) rows)?(, needed)?", row[place["Left over"]])
        most_mm = wrist + EASE_MM - CLASP_MM
        assert float(left[1]) == pytest.approx(most_mm - made_mm, abs=0.51)
        filled_mm = made_mm + int(left[2] or 0) * ROW_MM
        assert most_mm - 2 * ROW_MM < filled_mm <= most_mm + 1e-6
        assert bool(left[3]) == (made_mm + CLASP_MM < wrist)
        assert filled_mm + CLASP_MM >= wrist
        needed += bool(left[3])
    assert bool(needed) == (period == 60)
    assert any("does not close" in note for note in table.notes) == (period == 60)


def test_work_without_a_repeat_leaves_nothing_over():
    table = table_of(random_design(9, 40))
    assert "Left over" not in table.heads
    assert not any("eft over" in note for note in table.notes)
