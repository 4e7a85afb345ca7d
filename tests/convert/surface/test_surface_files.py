"""surface.json and the words: every figure recomputed from the centres in the file."""

import json
from dataclasses import replace

import numpy as np
import pytest
from size_levels import middle, random_levels, rings
from strategies import SIZES

from convert.surface.continuation import BENDING
from convert.surface.measure import SolvedDome, SurfaceFigures
from convert.surface.prediction import bending_of, predict
from convert.surface.stitch_problems import StitchProblem
from convert.surface.surface_files import surface_json
from convert.surface.words import list_assumptions, sum_up, tell_places, tell_surface
from shared.calibration import Gauge
from shared.errors import BadChoiceError
from shared.grid import Grid

GRID = Grid(11, 30)
LEVELS = rings(GRID, middle(GRID), radii=(0.5, 1.5, 2.5))


def text_of(prediction):
    return surface_json(prediction, title="Limpet")


@pytest.fixture(scope="module")
def made():
    prediction = predict(GRID, SIZES, LEVELS)
    return prediction, json.loads(text_of(prediction))


def test_the_file_gives_size_and_strain_as_its_own_centres_have_them(made):
    _, values = made
    centre = {}
    for row, places in enumerate(values["centres_mm"], start=1):
        held = [column for column in range(1, 12) if (11 - column + row) % 2]
        assert len(places) == len(held)
        centre |= {(row, column): np.array(place) for column, place in zip(held, places, strict=True)}
    size = {place: SIZES.sizes[level] for place, level in zip(centre, LEVELS, strict=True)}
    for axis, measure, key, line, summed in (
        (0, "length_mm", "width_mm", 0, np.mean),
        (1, "diameter_mm", "length_mm", 1, np.mean),
    ):
        spans = []
        for first in range(1, max(place[line] for place in centre)):
            ends = [
                at[axis] + side * getattr(size[place], measure) / 2
                for place, at in centre.items()
                if place[line] in (first, first + 1)
                for side in (-1, 1)
            ]
            spans.append(max(ends) - min(ends))
        assert summed(spans) == pytest.approx(values[key], abs=3e-3)
    assert (values["flat_length_mm"], values["flat_width_mm"]) == (pytest.approx(31 * 0.8), pytest.approx(11 * 1.3))
    touching = {
        (p, q) for p in centre for q in ((p[0] + 2, p[1]), (p[0] + 1, p[1] - 1), (p[0] + 1, p[1] + 1)) if q in centre
    }
    assert {tuple(map(tuple, contact["beads"])) for contact in values["contacts"]} == touching
    for contact in values["contacts"]:
        one, other = map(tuple, contact["beads"])
        a, b = size[one], size[other]
        rest = (a.diameter_mm + b.diameter_mm) / 2
        if one[1] != other[1]:
            rest = np.hypot((a.length_mm + b.length_mm) / 2, rest / 2)
        assert np.linalg.norm(centre[other] - centre[one]) / rest - 1 == pytest.approx(contact["strain"], abs=2e-3)


def test_the_dome_is_where_the_larger_beads_are(made):
    _, values = made
    (dome,) = values["domes"]
    raised = LEVELS > 0
    assert dome["rows"] == [GRID.row_of[raised].min(), GRID.row_of[raised].max()]
    assert dome["columns"] == [GRID.column_of[raised].min(), GRID.column_of[raised].max()]
    assert dome["beads"] == raised.sum()
    assert (dome["peak"]["row"], dome["peak"]["column"]) == middle(GRID)
    top = max(place[2] for row in values["centres_mm"] for place in row)
    assert dome["height_mm"] == pytest.approx(top, rel=0.15)


def test_same_prediction_same_text(made):
    assert text_of(predict(GRID, SIZES, LEVELS)) == text_of(made[0])


def test_figures_are_called_an_estimate_until_a_sample_is_measured(made):
    prediction, values = made
    assert values["estimate"] is True
    assert "estimate" in values["assumptions"][0]
    assert "estimate" in tell_surface("Limpet", prediction)
    fitted = replace(SIZES, gauge=Gauge("first cuff", 0.02))
    assert (bending_of(SIZES), bending_of(fitted)) == (BENDING, 0.02)
    told = list_assumptions(predict(GRID, fitted, np.zeros(GRID.count, dtype=int), wrist_mm=165.0))
    assert "first cuff" in told[0]
    assert "estimate" not in told[0]
    assert "wrist of 165 mm" in told[1]


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (("length", "width", "dome"), "set after a stitched sample"),
        (("dome",), "domes set after a stitched sample, the rest an estimate"),
        (("length", "width"), "length and width set after a stitched sample, the rest an estimate"),
    ],
)
def test_what_was_not_measured_stays_an_estimate(measured, words):
    fitted = replace(SIZES, gauge=Gauge("first cuff", 0.01, measured))
    prediction = predict(GRID, fitted, LEVELS)
    assert f"({words})" in tell_surface("Limpet", prediction)
    assert words in list_assumptions(prediction)[0]
    values = json.loads(text_of(prediction))
    assert values["measured"] == list(measured)
    assert values["estimate"] == (len(measured) < 3)
    assert fitted.is_measured("length", "width") == ("length" in measured)


def dome(height):
    return SolvedDome(height, (1, 5), (2, 6), 3, 4, 9)


def place(kind, worst):
    return StitchProblem(kind, (1, 2), (3, 4), 5, worst, f"{kind} {worst}")


@pytest.mark.parametrize(
    ("figures", "report", "line"),
    [
        (
            SurfaceFigures((dome(6.12), dome(6.31), dome(6.2), dome(6.3)), 162.1, 30, 176.0, 30),
            (place("skip", 0.6), place("width", 1.4), place("strain", -0.13), place("strain", 0.08)),
            "4 domes, 6.1 to 6.3 mm high; 162 mm long where flat work would be 176 mm; 3 places to look at",
        ),
        (
            SurfaceFigures((dome(5.01),), 99.6, 30, 100.2, 30),
            (place("overlap", 0.3),),
            "1 dome, 5.0 mm high; 100 mm long, as flat work would be; 1 place to look at",
        ),
        (
            SurfaceFigures((), 50.0, 30, 50.0, 30),
            (),
            "no domes; 50 mm long, as flat work would be; no places to look at",
        ),
    ],
)
def test_the_summary_in_words(figures, report, line):
    assert sum_up(figures, report) == line


def test_tight_places_are_summed_up_and_the_worst_named():
    told = tell_places((*[place("width", 1.2)] * 10, *[place("strain", 0.07)] * 30))
    assert told[:8] == ("width 1.2",) * 8
    assert told[8:] == (
        "2 more such places are listed in surface.json.",
        "30 places are tight, with neighbours 5% to 12% too near or too far: stitch with care there.",
    )


def test_no_figures_of_a_shape_that_did_not_come_to_rest(monkeypatch):
    monkeypatch.setattr("convert.surface.continuation.MOST_STEPS", 3)
    with pytest.raises(BadChoiceError, match="did not come to rest"):
        predict(GRID, SIZES, LEVELS)


def test_beads_that_sink_into_the_ground_are_told_of():
    # A crowded strip whose beads push each other down, and one whose domes stand clear.
    grid = Grid(17, 60)
    sizes = np.array([size.diameter_mm for size in SIZES.sizes])
    for levels, sinks in ((random_levels(grid, 2), True), (rings(grid, middle(grid), radii=(0.5, 1.5, 2.5)), False)):
        prediction = predict(grid, SIZES, levels)
        undersides = prediction.surface.centres_mm[:, 2] - sizes[levels] / 2
        deep = -sizes[np.bincount(levels).argmax()] / 2 - undersides.min()
        told = [line for line in list_assumptions(prediction) if "sink" in line]
        assert (deep > 0.5) == sinks
        assert [f"up to {deep:.1f} mm" in line for line in told] == [True] * sinks
