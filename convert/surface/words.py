"""A predicted surface in words: one line that sums it up, the places to look at, and what was assumed."""

from convert.surface import solve
from convert.surface.measure import SurfaceFigures, sunk_mm
from convert.surface.prediction import Prediction, bending_of
from convert.surface.stitch_problems import BEYOND, TIGHT, StitchProblem
from shared.calibration import trust_in_words
from shared.plural import counted
from shared.units import length_text

DEEP = 0.5
"""Undersides that sink further into the ground, in mm, are told of."""

MOST_PLACES = 8
"""At most n places are named one by one; the file lists all."""


LOOSELY = (
    f"Works of over {solve.MOST_EXACT:,} beads come only nearly to rest: on six that were solved both ways length was "
    "right to 0.1 % and heights of graded domes to 2 %; raised areas too wide for their step were off by up to 8 %, "
    "and heights by up to 0.7 mm where sizes change from bead to bead."
)


def sum_up(found: SurfaceFigures, report: tuple[StitchProblem, ...]) -> str:
    """Sum up a prediction in a line.

    Examples
    --------
    >>> sum_up(SurfaceFigures((), 120.8, 32.5, 120.8, 32.5), ())
    'no domes; 121 mm long, as flat work would be; no places to look at'
    """
    return "; ".join([_domes(found), _length(found), _places(report)])


def tell_surface(title: str, prediction: Prediction) -> str:
    """Tell all that a person wants to know of a prediction, in a few lines."""
    found, wrist_mm = prediction.found, prediction.wrist_mm
    size = (
        f"{length_text(found.width_mm)} wide, {length_text(found.length_mm)} long"
        f"{'' if wrist_mm is None else f', round a wrist of {length_text(wrist_mm)}'}"
        f" ({trust_in_words(prediction.surface.bead_sizes.gauge)})"
    )
    return "\n".join([title, prediction.summary, size, *(f"look: {line}" for line in tell_places(prediction.report))])


def tell_places(report: tuple[StitchProblem, ...]) -> tuple[str, ...]:
    """Return a sentence for each place to look at, and one for those that are merely tight."""
    urgent = find_urgent(report)
    left = len(urgent) - MOST_PLACES
    tight = len(report) - len(urgent)
    told = [place.sentence for place in urgent[:MOST_PLACES]]
    if left > 0:
        told.append(f"{left} more such {'place is' if left == 1 else 'places are'} listed in surface.json.")
    if tight:
        places = "1 place is" if tight == 1 else f"{tight} places are"
        told.append(
            f"{places} tight, with neighbours {TIGHT:.0%} to {BEYOND:.0%} too near or too far: stitch with care there."
        )
    return tuple(told)


def find_urgent(report: tuple[StitchProblem, ...]) -> tuple[StitchProblem, ...]:
    """Return the places where beads skip a size, overlap, stand too wide, or are tight beyond the usual."""
    return tuple(place for place in report if place.kind != "strain" or abs(place.worst) > BEYOND)


def list_assumptions(prediction: Prediction) -> tuple[str, ...]:
    """Return what the figures of a surface rest on, a sentence each."""
    surface, wrist_mm = prediction.surface, prediction.wrist_mm
    gauge, bending = surface.bead_sizes.gauge, bending_of(surface.bead_sizes)
    lies = "on a level table" if wrist_mm is None else f"round a wrist of {wrist_mm:g} mm"
    measured = (
        "Every figure is an estimate: bead measures are those given, and no stitched sample was measured."
        if gauge is None
        else f"Bead measures and bending: {trust_in_words(gauge)} ({gauge.sample})."
    )
    sunk = sunk_mm(surface)
    return (
        measured,
        f"The work lies {lies} and is pulled by nothing else; domes stand upwards.",
        *(
            [f"The ground bears the middles of beads: undersides sink in by up to {sunk:.1f} mm."]
            if sunk > DEEP
            else []
        ),
        *([LOOSELY] if surface.grid.count > solve.MOST_EXACT else []),
        f"A bend weighs {bending:g} where stretch weighs 1; a fifth or ten times that moves heights by 5 %.",
        "Width is the mean of neighbouring rows, length the mean of neighbouring columns, as a ruler shows them.",
        "Length is the least certain figure; thread tension and the spread of bead sizes are not modelled.",
        "Heights are from the middle of the flat beads around a dome to the middle of its highest bead.",
    )


def _domes(found: SurfaceFigures) -> str:
    if not found.domes:
        return "no domes"
    heights = [round(dome.height_mm, 1) + 0.0 for dome in found.domes]  # this sum is never -0.0
    low, high = (f"{pick(heights):.1f}" for pick in (min, max))
    count = counted(len(heights), "dome")
    return f"{count}, {low if low == high else f'{low} to {high}'} mm high"


def _length(found: SurfaceFigures) -> str:
    length, flat = f"{found.length_mm:.0f}", f"{found.flat_length_mm:.0f}"
    if length == flat:
        return f"{length} mm long, as flat work would be"
    return f"{length} mm long where flat work would be {flat} mm"


def _places(report: tuple[StitchProblem, ...]) -> str:
    count = len(find_urgent(report))
    return f"{count or 'no'} {'place' if count == 1 else 'places'} to look at"
