"""``hummock heights``: a height map from shapes, or a first one from the picture."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from convert.cells.choices import WHITE
from convert.cli.options import Where, with_choices
from convert.cli.outputs import Output, check_png
from convert.cli.parameters import one_of
from convert.files import read_bytes
from convert.options import Options
from convert.relief.choices import Guess
from shared.errors import BadChoiceError
from shared.plural import counted

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from convert.image.decode import Source
    from convert.layout.size import Plan

BARE = "domes"
SOFT_BEADS = 1.5
"""A guess is smoothed by so many columns: domes narrower than a few beads cannot be stitched."""


@with_choices
def heights(
    picture: Annotated[
        Path | None, typer.Argument(metavar="[PICTURE]", help="The drawing that the map is for; or give the size.")
    ] = None,
    *,
    from_picture: Annotated[
        Guess | None,
        typer.Option(
            **one_of(Guess), help="A first map from the drawing: what stands out, or what is light. Only a start."
        ),
    ] = None,
    options: Options,
    output: Annotated[Output, Where("PICTURE-heights.png", "FILE", "The PNG to write.")],
) -> None:
    """Make a height map from shapes, for convert with the same size options.

    A dome is a shape, the row and column of its middle, and its radius in beads or mm: "diamond 12,9 r5",
    "disc 30mm,middle r6mm", "ring 40,9 r6 w4", "ridge 10-60,middle r3", "half-diamond 12,left r5". Then, if
    wanted: h2 for two levels high, every 20 to come again after so many rows, and both edges to come again
    mirrored.
    """
    if bool(options.domes) == (from_picture is not None):
        raise BadChoiceError('say what to raise: --raise "diamond 12,9 r5", or else --from-picture saliency')
    if options.repeat is not None:
        raise BadChoiceError("a map is drawn for one motif; leave --repeat out here, and give it to hummock convert")
    path = output.out or Path(f"{picture.stem if picture else BARE}-heights.png")
    output.check(path.parent, (path.name,), picture)
    check_png(path, "a height map")
    content, notes = _make(picture, from_picture, options)
    output.place({path.name: content}, path.parent)
    output.say(*(f"note: {note}" for note in notes), f"wrote {path}")


def _make(picture: Path | None, guess: Guess | None, options: Options) -> tuple[bytes, tuple[str, ...]]:
    """Return the file, and what to note of it."""
    from convert.image.decode import Source, read_header
    from convert.layout.size import flat_plan, plan_work
    from convert.relief.draw_height_map import grey16_png

    source = None if picture is None else Source(str(picture), read_bytes(picture))
    if source is None:
        plan = flat_plan(options, options.bead_sizes.flat)
    else:
        header = read_header(source, max_pixels=options.max_pixels)
        plan = plan_work(header.width, header.height, options, options.bead_sizes.flat)
    if guess is None:
        heights = _drawn(plan, options)
        size = f"{counted(plan.columns, 'column')} x {counted(plan.rows, 'row')}"
        note = f"the map is for {size}: say the same size to convert, and --heights with this file"
    else:
        heights = _guessed(source, guess, plan, options)
        note = "this map is only a start: it knows light and colour, not what they show; edit it before use"
    return grey16_png(1 - heights if options.invert_heights else heights), (*plan.notices, note)


def _drawn(plan: "Plan", options: Options) -> "NDArray[np.float64]":
    from convert.relief.domes import dome_levels
    from convert.relief.draw_height_map import map_of_levels
    from convert.relief.levels import equal_thresholds
    from shared.grid import Grid

    grid = Grid(plan.columns, plan.rows, options.hand, options.start, options.drop)
    levels = dome_levels(options.domes, grid, options.bead_sizes)
    thresholds = options.thresholds or equal_thresholds(len(options.bead_sizes.sizes))
    return map_of_levels(
        levels, grid, plan, thresholds=thresholds, mirror=options.mirror, most_pixels=options.max_pixels
    )


def _guessed(source: "Source | None", guess: Guess, plan: "Plan", options: Options) -> "NDArray[np.float64]":
    from convert.image.decode import decode
    from convert.relief.draw_height_map import guess_map
    from shared.colour import codes_from_hex, linear_from_srgb

    if source is None:
        raise BadChoiceError("--from-picture needs the picture; name it after hummock heights")
    ground = linear_from_srgb(codes_from_hex(options.ground or WHITE) / 255)
    decoded = decode(source, max_pixels=options.max_pixels)
    return guess_map(decoded, guess, ground=ground, softness=SOFT_BEADS / plan.columns)
