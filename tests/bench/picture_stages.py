"""The stages that have to do with pictures and colours; each names its floor."""

import io
from dataclasses import replace
from typing import Any

import numpy as np
from flows import cells_lab
from PIL import Image
from works import COLOURS, Stage, options, pool_and_heights

from convert.image.decode import Source
from convert.pattern import stage_flow
from shared.grid import Grid


def decode_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow decodes the picture."""
    from convert.image.decode import decode

    picture, _ = pool_and_heights(columns, rows)
    return Stage(
        lambda: decode(picture, max_pixels=10**8).pixels(), lambda: np.asarray(Image.open(io.BytesIO(picture.data)))
    )


def boxes(source: Source, columns: int, rows: int) -> Any:
    with Image.open(io.BytesIO(source.data)) as image:
        return np.asarray(image.resize((columns, rows + 1), Image.Resampling.BOX))


def grid_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow decodes the picture and reduces it to half-rows and columns."""
    picture, _ = pool_and_heights(columns, rows)
    chosen = options(columns, rows)
    return Stage(lambda: stage_flow(picture, None, chosen)["cells"], lambda: boxes(picture, columns, rows))


def heights_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow decodes the height map and reduces it alike."""
    picture, heights = pool_and_heights(columns, rows)
    chosen = options(columns, rows)
    return Stage(lambda: stage_flow(picture, heights, chosen)["relief"], lambda: boxes(heights, columns, rows))


def quantise_stage(columns: int, rows: int) -> Stage:
    """Floor: one KMeans fit on 3,000 of the cells, all cells given the nearest centre in Lab."""
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    from convert.colouring.quantise import quantise

    cells = cells_lab(pool_and_heights(columns, rows)[0], None, options(columns, rows))

    def floor() -> Any:
        some = cells[:: max(1, len(cells) // 3000)]
        with threadpool_limits(limits=1):
            return KMeans(COLOURS, n_init=1, random_state=0).fit(some).predict(cells)

    return Stage(lambda: quantise(cells, COLOURS), floor)


def choose_stage(columns: int, rows: int) -> Stage:
    """Choose the best 24 of 200 beads. Floor: SciPy finds the nearest bead of each cell in Lab."""
    from bench_choose import palette
    from scipy.spatial import KDTree

    from palettes.match import match_each
    from palettes.match_request import CellsToMatch
    from shared.beads import default_bead_sizes

    beads = palette(np.random.default_rng(1))
    lab = cells_lab(pool_and_heights(columns, rows)[0], None, options(columns, rows))
    cells = CellsToMatch(lab, np.zeros(len(lab), dtype=np.int64))
    points = np.array([colour.lab for colour in beads.entries])
    return Stage(lambda: match_each(cells, beads, default_bead_sizes(), [COLOURS]), lambda: KDTree(points).query(lab))


def domes_stage(columns: int, rows: int) -> Stage:
    """Draw one large dome into a height map. Floor: Pillow saves so many pixels of 16 bits."""
    from convert.layout.size import flat_plan
    from convert.relief.dome_syntax import parse_dome
    from convert.relief.domes import dome_levels
    from convert.relief.draw_height_map import grey16_png, map_of_levels
    from convert.relief.levels import equal_thresholds

    chosen = replace(options(columns, rows), domes=(parse_dome(f"disc {rows // 2},{columns // 2} r{columns // 3}"),))
    plan, grid = flat_plan(chosen, chosen.bead_sizes.flat), Grid(columns, rows)

    def work() -> bytes:
        levels = dome_levels(chosen.domes, grid, chosen.bead_sizes)
        return grey16_png(
            map_of_levels(
                levels, grid, plan, thresholds=equal_thresholds(4), mirror=False, most_pixels=chosen.max_pixels
            )
        )

    image = Image.open(io.BytesIO(work()))
    image.load()
    return Stage(work, lambda: image.save(io.BytesIO(), "PNG"))


def review_stage(columns: int, rows: int) -> Stage:
    """Review 2 to 16 colours. Floor: one KMeans fit of each number on 3,000 of the cells."""
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    from convert.documents.colour_review.page import review_page
    from convert.pattern import review_colours

    picture, _ = pool_and_heights(columns, rows)
    chosen, numbers = options(columns, rows), range(2, 17)
    cells = cells_lab(picture, None, chosen)

    def work() -> Any:
        review = review_colours(picture, None, chosen, numbers)
        return review_page(review, next_to=COLOURS, spare_percent=10)

    def floor() -> Any:
        some = cells[:: max(1, len(cells) // 3000)]
        with threadpool_limits(limits=1):
            return [KMeans(number, n_init=1, random_state=0).fit(some) for number in numbers]

    return Stage(work, floor)


PICTURE_STAGES = {
    "decode": decode_stage,
    "grid": grid_stage,
    "heights": heights_stage,
    "domes": domes_stage,
    "quantise": quantise_stage,
    "choose": choose_stage,
    "review": review_stage,
}
