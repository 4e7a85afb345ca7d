"""A predicted surface in words: one line that sums it up, the places to look at, and what was assumed."""

from convert.surface.measure import SurfaceFigures, sunk_mm
from convert.surface.prediction import Prediction, bending_of
from convert.surface.stitch_problems import BEYOND, TIGHT, StitchProblem
from convert.surface.surface import Coarsening, Surface
from shared.calibration import trust_in_words
from shared.plural import counted
from shared.units import length_text

DEEP = 0.5
"""Undersides that sink further into the ground, in mm, are told of."""

MOST_PLACES = 8
"""At most so many places are named one by one; the file lists all."""


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


def tell_coarsening(surface: Surface) -> str:
    """Tell of a shape found on a coarsened net; nothing of one found bead by bead."""
    if surface.coarsening is None:
        return ""
    coarsening = surface.coarsening
    domes = (
        f", {coarsening.alone} of {counted(coarsening.domes, 'group')} of domes bead by bead"
        if coarsening.domes
        else ""
    )
    return f"found on a coarsened net of {coarsening.beads:,} beads{domes}, then smoothed"


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
    """Return the places where beads skip a size, overlap, stand too wide, or are strained beyond the usual."""
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
        *(_coarsened(surface.coarsening) if surface.coarsening else []),
        f"A bend weighs {bending:g} where stretch weighs 1; a fifth or ten times that moves heights by 5 %.",
        "Width is the mean of neighbouring rows, length the mean of neighbouring columns, as a ruler shows them.",
        "Length is the least certain figure; thread tension and the spread of bead sizes are not modelled.",
        "Heights are from the middle of the flat beads around a dome to the middle of its highest bead.",
    )


def _coarsened(coarsening: Coarsening) -> list[str]:
    """Tell how a large work was solved, with the errors that `tests/bench/bench_coarse.py` measures."""
    patch = coarsening.patch
    whole = (
        "The work is so large that how it lies as a whole was found on a coarsened net, each bead of which stands for "
        f"about {patch:.1f} by {patch:.1f} beads."
    )
    alone, others = coarsening.alone, coarsening.domes - coarsening.alone
    return [
        whole,
        *([_alone(alone)] if alone else []),
        *([_smoothed(patch, alone, others)] if others or not alone else []),
    ]


def _alone(groups: int) -> str:
    return (
        f"Domes in {counted(groups, 'group')}, those close together, were solved bead by bead with flat work around: "
        "on works that were solved both ways heights of domes differed by up to 1 %, of rings and ridges by up to 6 %, "
        "by up to a third where a dome is cut by the edge, and by up to 60 % where a raised area is too wide for its "
        "step, for several shapes are nearly as good; length differed by up to 0.1 %, in such work by up to 0.6 %."
    )


def _smoothed(patch: float, alone: int, others: int) -> str:
    which = f"Domes in {counted(others, 'larger group')}" if alone else "All domes"
    return (
        f"{which} are shown by the coarsened net and then smoothed: with patches of 2 to 10 beads heights differed by "
        "up to 50 %, in the mean by up to 23 %, and length by up to 4 %; by half or more where a dome is cut by the "
        "edge or a raised area is too wide for its step; and where sizes change from bead to bead heights say nothing, "
        f"and the work comes out up to 10 % shorter. What is narrower than about {round(2 * patch)} beads is finer "
        "than this net. Beads of these domes that pass through one another were not pushed apart."
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
