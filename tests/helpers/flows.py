"""Values of single stages, as the main job makes them."""

from convert.layout.size import plan_work
from convert.pattern import stage_flow


def plan_of(width, height, options):
    """The plan of a work for a picture of some width and height."""
    return plan_work(width, height, options, options.bead_sizes.flat)


def cells_lab(picture, heights, options):
    """What is to be coloured, in CIELAB."""
    return stage_flow(picture, heights, options)["cells"].lab
