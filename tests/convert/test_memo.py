"""Stages over a memo: the same bytes as without, and only what must run again runs."""

import doctest
import io
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from picture_oracle import encoded

import convert
from convert.colouring.choices import Given
from convert.image.decode import Source
from convert.layout.choices import Crop
from convert.memo import Flow, Memo, size_of
from convert.options import Options
from convert.pattern import make_pattern
from convert.pattern_files import pattern_files
from convert.pipeline import STAGES
from convert.relief.dome_syntax import parse_dome
from convert.shopping.shopping_list import shopping_list
from palettes.bundled import load

RNG = np.random.default_rng(4)
PICTURE = Source(
    "a.png", encoded(RNG.integers(0, 256, (12, 8, 3)).astype(np.uint8).repeat(8, axis=0).repeat(8, axis=1))
)
HILLS = Source("hills.png", encoded((np.hypot(*np.mgrid[-48:48, -32:32]) * 4).clip(0, 255).astype(np.uint8)))
FIRST = Options(columns=8, colours=3)

CHANGES = st.sampled_from(
    [
        {"columns": 9}, {"columns": 8}, {"colours": 2}, {"colours": 4}, {"colours": "auto"}, {"title": "Other"},
        {"style": "flat"}, {"style": "photo"}, {"tidy": 0.0}, {"tidy": 2.0}, {"fewest": 5}, {"ground": "#ddeeff"},
        {"slopes": "widen"}, {"domes": (parse_dome("disc 8,4 r3"),)}, {"domes": ()}, {"invert_heights": True},
        {"palette": load("coast")}, {"palette": None}, {"keep": (Given("ink", "#20242a"),)}, {"hand": "left"},
        {"repeat": 2}, {"repeat": None}, {"crop": Crop(0, 0, 60, 90)}, {"mirror": True}, {"spare_percent": 20.0},
    ]
)  # fmt: skip


def files_of(pattern, options):
    return pattern_files(pattern.design, shopping_list(pattern.design, spare_percent=options.spare_percent))


@settings(max_examples=3, deadline=None)
@given(st.lists(CHANGES, min_size=2, max_size=3), st.sampled_from([10**9, 30_000, 0]))
def test_with_the_memo_the_same_bytes_as_without(changes, most_bytes):
    """Whatever was made before, and however little there is room for."""
    memo, options = Memo(most_bytes), FIRST
    for change in changes:
        options = replace(options, **change)
        kept = make_pattern(PICTURE, HILLS, options, memo=memo)
        fresh = make_pattern(PICTURE, HILLS, options)
        assert files_of(kept, options) == files_of(fresh, options)
        assert kept.notices == fresh.notices
        assert (kept.prediction is None) == (fresh.prediction is None)
        if kept.prediction is not None:
            assert np.array_equal(kept.prediction.surface.centres_mm, fresh.prediction.surface.centres_mm)
        assert memo.bytes <= most_bytes


def counted_stages(ran):
    """The stages, noting in ``ran`` which of them run."""

    def noted(stage):
        def run(*values, **more):
            ran.append(stage.name)
            return stage.run(*values, **more)

        return stage._replace(run=run)

    return tuple(map(noted, STAGES))


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({"colours": 4}, "palette smooth design"),
        ({"tidy": 2.0}, "smooth design"),
        ({"title": "Other"}, "design"),
        ({"spare_percent": 20.0}, ""),
        ({"domes": (parse_dome("disc 8,4 r3"),)}, "relief smooth design shape"),
        ({"slopes": "widen"}, "relief smooth design shape"),
        ({"style": "flat"}, "cells palette smooth design"),
        ({"columns": 9}, "layout cells relief palette smooth design shape"),
        ({"max_pixels": 10**6}, "size picture heights layout cells relief palette smooth design shape"),
        ({}, ""),
    ],
    ids=str,
)
def test_only_stages_that_must_run_again_run(change, expected):
    ran, memo = [], Memo()
    for options in (FIRST, replace(FIRST, **change)):
        given_values = {
            "picture_file": PICTURE, "heights_file": HILLS, "bead_sizes": options.bead_sizes, "made_from": "{}",
        }  # fmt: skip
        ran.clear()
        flow = Flow(counted_stages(ran), given_values, options, memo=memo)
        for wanted in ("design", "shape"):
            assert flow[wanted] is not None
    assert sorted(ran) == sorted(expected.split())


def test_sizes_touch_colours_only_where_beads_that_exist_are_chosen():
    ran, memo, coast = [], Memo(), replace(FIRST, palette=load("coast"))
    for options in (coast, replace(coast, domes=(parse_dome("disc 8,4 r3"),))):
        ran.clear()
        values = {"picture_file": PICTURE, "heights_file": None, "bead_sizes": options.bead_sizes, "made_from": "{}"}
        Flow(counted_stages(ran), values, options, memo=memo)["design"]
    assert sorted(ran) == ["design", "palette", "relief", "smooth"]


def test_a_progress_that_raises_stops_the_work_and_leaves_the_memo_sound():
    memo, told = Memo(), []

    def stop(words):
        told.append(words)
        if len(told) > 1:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        make_pattern(PICTURE, HILLS, FIRST, memo=memo, progress=stop)
    assert make_pattern(PICTURE, HILLS, FIRST, memo=memo).design == make_pattern(PICTURE, HILLS, FIRST).design


def test_the_size_of_values_is_that_of_their_arrays():
    values = (np.zeros(1000), {"a": b"x" * 500}, [np.zeros((10, 10), dtype=np.uint8)])
    assert 8600 <= size_of(values) <= 8600 + 2000


def test_the_public_face_does_as_its_example_says():
    told = io.StringIO()
    assert doctest.testmod(convert).failed == 0, told.getvalue()
    assert all(getattr(convert, name) for name in convert.__all__)
