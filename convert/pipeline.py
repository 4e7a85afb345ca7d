"""The stages of the main job in their order: what each needs, what one may choose of it, and what it gives."""

from convert.cells.cell_colours import see_cells
from convert.cells.choices import CellChoices
from convert.colouring.assemble_beads import make_design
from convert.colouring.choices import DesignChoices, PaletteChoices, SmoothChoices
from convert.colouring.choose_colours import choose_palettes, smooth_colours
from convert.image.choices import PictureChoices
from convert.image.decode import decode_heights, decode_picture, read_size
from convert.layout.choices import LayoutChoices
from convert.layout.repeat import lay_out
from convert.memo import Stage
from convert.relief.choices import ReliefChoices
from convert.relief.height_map import raise_beads
from convert.surface.prediction import ShapeChoices, predict_shape


def _sizes_of_beads(choices: PaletteChoices) -> tuple[str, ...]:
    """Return what choosing colours needs besides: sizes only where beads that exist are chosen."""
    return ("relief",) if choices.palette is not None else ()


STAGES = (
    # Files become pixels.
    Stage("size", PictureChoices, ("picture_file",), read_size),
    Stage("picture", PictureChoices, ("picture_file",), decode_picture, "reading the picture"),
    Stage("heights", PictureChoices, ("heights_file",), decode_heights),
    # The size is found, and the picture and its heights are laid on the beads.
    Stage("layout", LayoutChoices, ("size", "bead_sizes"), lay_out),
    Stage("cells", CellChoices, ("picture", "layout"), see_cells),
    Stage("relief", ReliefChoices, ("heights_file", "heights", "layout", "bead_sizes"), raise_beads, "raising domes"),
    # Cells become beads.
    Stage(
        "palette",
        PaletteChoices,
        ("cells", "layout", "bead_sizes"),
        choose_palettes,
        "choosing colours",
        needs_if=_sizes_of_beads,
    ),
    Stage("smooth", SmoothChoices, ("palette", "cells", "layout", "bead_sizes", "relief"), smooth_colours),
    Stage(
        "design", DesignChoices, ("picture_file", "made_from", "smooth", "layout", "bead_sizes", "relief"), make_design
    ),
    # Beads push the cloth out of its plane, by their sizes alone.
    Stage("shape", ShapeChoices, ("layout", "bead_sizes", "relief"), predict_shape, long=True),
)
