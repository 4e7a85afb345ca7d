"""Rows that Hummock wrote have no mistakes and give their design back, whatever the work."""

from collections import Counter

import numpy as np
import pytest
from hypothesis import given, settings
from repeat_oracle import any_work, as_rows_carry_it
from strategies import SIZES, designs

from convert.rows.abbreviate import abbreviate_rows
from convert.rows.find_repeat import find_repeat
from convert.rows.proofread import proofread
from convert.rows.sentences import rows_in_words
from convert.rows.writer import rows_csv, rows_text, write_rows

WORKS = 120


@pytest.fixture(scope="module")
def works():
    rng = np.random.default_rng(11)
    return [any_work(rng) for _ in range(WORKS)]


def test_the_works_are_of_every_kind(works):
    kinds = Counter()
    for work in works:
        grid = work.grid
        kinds.update([grid.hand, grid.start, f"drop {grid.drop}", "odd" if grid.odd_count else "even"])
        kinds.update(["repeat"] if find_repeat(work) else [])
    assert min(kinds.values()) >= 36, kinds
    assert len(kinds) == 9


@pytest.mark.parametrize("full", [False, True])
def test_rows_to_proof_to_design_is_the_identity(works, full):
    for work in works:
        text = rows_text(work, full=full)
        alone, against = proofread(text, work.bead_sizes), proofread(text, work.bead_sizes, against=work)
        assert (alone.mistakes, against.mistakes) == ((), ())
        assert alone.design == as_rows_carry_it(work)
        assert against.design == work


@settings(max_examples=50)
@given(designs())
def test_skipped_sizes_that_the_design_has_itself_are_none(design):
    assert proofread(rows_text(design), SIZES, against=design).design == design


def test_the_same_design_gives_the_same_texts(works):
    for work in works[:40]:
        again = as_rows_carry_it(work)
        for write in (write_rows, rows_csv, rows_in_words):
            assert write(work, abbreviate_rows(work)) == write(again, abbreviate_rows(again))
