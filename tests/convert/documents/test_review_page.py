import base64
import json
import re

import numpy as np
import pytest
from page_reader import HOSTILE, Reader, check_policy
from picture_oracle import places
from review_inputs import domed_review

from convert.colouring.assemble_beads import assemble_beads, describe_tints
from convert.colouring.colour_count import Candidate
from convert.documents.colour_review.page import review_page
from convert.documents.colour_review.review import review
from convert.documents.colour_review.words import figure_words
from shared.beads import default_bead_sizes
from shared.design import Design
from shared.grid import Grid


@pytest.fixture(scope="module")
def domed():
    return domed_review()


@pytest.fixture(scope="module")
def page(domed):
    return review_page(domed, next_to=3, spare_percent=10)


def test_the_policy_allows_the_two_texts_of_the_page_and_nothing_else(page):
    check_policy(page)


def test_nothing_is_fetched_and_nothing_runs_from_an_attribute(page):
    for tag, attributes in Reader(page).tags:
        assert tag not in {"link", "img", "iframe", "object", "embed", "form", "base", "a", "use"}
        for name in attributes:
            assert not name.startswith("on"), (tag, name)
            assert name not in {"src", "href", "style", "action", "srcset", "poster"}, (tag, name)
    assert not re.search(r"https?:|url\(|@import|fetch\(|eval\(|innerHTML", page)


def test_hostile_words_are_shown_as_they_are():
    reviewed = domed_review(range(2, 4), title=HOSTILE)
    text = review_page(reviewed, next_to=3, spare_percent=10)
    reader = Reader(text)
    assert [attributes.get("type") for tag, attributes in reader.tags if tag == "script"] == ["application/json", None]
    assert not any(tag == "b" for tag, _ in reader.tags)
    assert "".join(reader.texts["title"]) == f"How many colours? {HOSTILE}"
    assert HOSTILE in "".join(reader.texts["strong"])


def test_the_data_cannot_end_its_element(page):
    (text,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    assert not set(text) & set("<>&'")
    data = json.loads(text)
    assert data["columns"] == 18


@pytest.mark.parametrize(("drop", "hand"), [(1, "right"), (2, "right"), (2, "left")])
def test_the_script_can_find_every_bead(drop, hand):
    """Beads from the top and from the left."""
    page = review_page(domed_review(range(2, 4), drop=drop, hand=hand), next_to=3, spare_percent=10)
    (text,) = re.findall(r'<script type="application/json" id="data">(.*?)</script>', page, re.DOTALL)
    data = json.loads(text)
    found = np.frombuffer(base64.b64decode(data["places"]), "<u2").reshape(-1, 2).tolist()
    assert [tuple(place) for place in found] == sorted(places(18, data["halfRows"] - 1, hand=hand, drop=drop))
    assert len(data["levels"]) == len(found)


def test_every_figure_stands_in_the_table(domed, page):
    rows = re.findall(r'<tr data-k="(\d+)"[^>]*>(.*?)</tr>', page, re.DOTALL)
    assert [int(k) for k, _ in rows] == list(range(2, 9))
    for (_, row), choice in zip(rows, domed.choices, strict=True):
        words = figure_words(choice.figures)
        found = dict(re.findall(r'data-figure="(\w+)">([^<]*)<', row))
        assert found == {name: word for name, word in words.items() if name not in {"packs", "cost"}}
        assert ("suggested" in row) == (choice.figures.k == domed.knee.k)


def test_twelve_thousand_beads_stay_small():
    grid, bead_sizes = Grid(60, 400), default_bead_sizes()
    rng = np.random.default_rng(4)
    levels = rng.integers(0, 4, grid.count)

    made = []
    for k in range(2, 17):
        tints = describe_tints(rng.integers(0, 256, (k, 3)).astype(np.uint8))
        beads, cells = assemble_beads(tints, rng.integers(0, k, grid.count), levels, bead_sizes)
        made.append(Candidate(k, Design("Large", grid, bead_sizes, beads, cells), rng.uniform(0, 9, grid.count)))
    assert grid.count == 12_000
    assert len(review_page(review(made, spare_percent=10), next_to=6, spare_percent=10).encode()) < 1_000_000
