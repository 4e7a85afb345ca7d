"""One stage of the work at one size, in a process of its own: seconds, those of its floor, and peak memory as JSON.

``python tests/bench/stages.py STAGE COLUMNS ROWS``. The picture, the heights and the designs are made here and depend
on the size alone. A floor is what cannot be left out, done by a library that many use; each stage names its own.
"""

import io
import json
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

sys.path.insert(0, str(Path(__file__).parents[1]))

import numpy as np
from PIL import Image

from convert.decode import Source
from convert.options import Options
from convert.pipeline import convert, prepare
from shared.beads import default_ladder
from shared.design import Design
from shared.grid import Grid

COLOURS = 24


class Stage(NamedTuple):
    """What is measured: the work of a stage, and what is its floor."""

    work: Callable[[], Any]
    floor: Callable[[], Any]


def saved(pixels: Any) -> bytes:
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "PNG", compress_level=3)
    return file.getvalue()


def pool_and_heights(columns: int, rows: int) -> tuple[Source, Source]:
    """Paint a tide pool with limpets, two pixels to a column, and their heights."""
    width, height = 2 * columns, round(2 * columns * (rows + 1) * 0.8 / (columns * 1.3))
    random = np.random.default_rng(7)
    down, across = np.mgrid[0:height, 0:width] / width
    shades = [90 + 60 * np.sin(7 * across + 3 * down), 120 + 50 * np.sin(5 * down), 140 + 40 * np.cos(6 * across)]
    codes, heights = np.stack(shades, axis=2), np.zeros((height, width))
    for _ in range(24):
        x, y, radius = random.uniform(0, 1), random.uniform(0, height / width), random.uniform(0.04, 0.12)
        away = np.hypot(across - x, down - y) / radius
        codes[away < 1] = random.uniform(20, 250, 3) * (1.2 - 0.5 * away[away < 1, None])
        heights = np.maximum(heights, np.sqrt(np.maximum(1 - away**2, 0)))
    codes += random.normal(0, 6, codes.shape)
    painted = (saved(np.clip(each, 0, 255).astype(np.uint8)) for each in (codes, 255 * heights))
    return Source("pool.png", next(painted)), Source("pool-heights.png", next(painted))


def options(columns: int, rows: int) -> Options:
    return Options(columns=columns, rows=rows, colours=COLOURS, turn="0", kind="photo")


@cache
def design(columns: int, rows: int) -> Design:
    return convert(*pool_and_heights(columns, rows), options(columns, rows)).design


@cache
def flat_design(columns: int, rows: int) -> Design:
    """Return one without domes, in few colours, so that it is the document that is measured and not the surface."""
    picture, _ = pool_and_heights(columns, rows)
    return convert(picture, None, replace(options(columns, rows), colours=8)).design


def boxes(source: Source, columns: int, rows: int) -> Any:
    with Image.open(io.BytesIO(source.data)) as image:
        return np.asarray(image.resize((columns, rows + 1), Image.Resampling.BOX))


def grid_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow decodes the picture and reduces it to half-rows and columns."""
    picture, _ = pool_and_heights(columns, rows)
    chosen = options(columns, rows)
    return Stage(lambda: prepare(picture, None, chosen), lambda: boxes(picture, columns, rows))


def heights_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow decodes the height map and reduces it alike."""
    from convert.heights import bead_heights
    from convert.repeat import laid_out
    from convert.zones import cut_levels, equal_cuts, keep_ladder_rule

    picture, heights = pool_and_heights(columns, rows)
    with Image.open(io.BytesIO(picture.data)) as image:
        laid = laid_out(*image.size, options(columns, rows))

    def work() -> Any:
        means, _ = bead_heights(heights, picture, laid, options(columns, rows))
        return keep_ladder_rule(cut_levels(means, equal_cuts(4)), laid.grid, policy="ground")

    return Stage(work, lambda: boxes(heights, columns, rows))


def quantise_stage(columns: int, rows: int) -> Stage:
    """Floor: one KMeans fit on 3,000 of the cells, all cells given the nearest centre in Lab."""
    from sklearn.cluster import KMeans
    from threadpoolctl import threadpool_limits

    from convert.quantise import few_colours

    cells = prepare(pool_and_heights(columns, rows)[0], None, options(columns, rows)).work.cells_lab

    def floor() -> Any:
        some = cells[:: max(1, len(cells) // 3000)]
        with threadpool_limits(limits=1):
            return KMeans(COLOURS, n_init=1, random_state=0).fit(some).predict(cells)

    return Stage(lambda: few_colours(cells, COLOURS), floor)


def chart_stage(columns: int, rows: int) -> Stage:
    """Floor: Pillow saves the pixels of the picture."""
    from convert.draw.png import chart_png
    from convert.draw.scene import chart_scene
    from convert.draw.svg import chart_svg

    made = design(columns, rows)
    pixels = np.asarray(Image.open(io.BytesIO(chart_png(chart_scene(made)))))

    def work() -> Any:
        scene = chart_scene(made)
        return chart_svg(scene).encode(), chart_png(scene)

    return Stage(work, lambda: saved(pixels))


def rows_stage(columns: int, rows: int) -> Stage:
    """Floor: Python joins the key of every bead into one text."""
    from convert.words.write import rows_text

    made = design(columns, rows)
    keys = [bead.key for bead in made.beads]
    return Stage(lambda: rows_text(made), lambda: " ".join([keys[cell] for cell in made.cells.tolist()]))


def file_stage(columns: int, rows: int) -> Stage:
    """Floor: json writes and reads the keys of all beads."""
    from shared.design_file import design_text, parse_design

    made = design(columns, rows)
    keys = [made.beads[cell].key for cell in made.cells.tolist()]
    return Stage(lambda: parse_design(design_text(made)), lambda: json.loads(json.dumps(keys)))


def domed(columns: int, rows: int) -> tuple[Grid, Any]:
    from relief import rings

    grid = Grid(columns, rows)
    places = [(row, column) for row in range(25, rows - 10, 50) for column in range(9, columns - 7, 16)]
    return grid, rings(grid, *places, radii=(0.5, 2.5, 4.5))


def surface_stage(columns: int, rows: int) -> Stage:
    """Floor: one banded Cholesky and one solve of the matrix that the descent stands on."""
    from bench_surface import factor_and_solve, shape_matrix

    from convert.surface.solve import solve_surface

    grid, levels = domed(columns, rows)
    matrix = shape_matrix(grid, levels)
    return Stage(lambda: solve_surface(grid, default_ladder(), levels), lambda: factor_and_solve(matrix))


def booklet_stage(columns: int, rows: int) -> Stage:
    """Floor: Typst sets a page of text."""
    import typst

    from convert.documents.booklet.booklet import booklet_pdf
    from convert.documents.booklet.choices import Choices

    made = flat_design(columns, rows)
    return Stage(lambda: booklet_pdf(made, Choices()), lambda: typst.compile(b"= A page of text"))


def page_stage(columns: int, rows: int) -> Stage:
    """Floor: json writes the place of every bead in the list of beads."""
    from convert.documents.bench.plan import plan_of
    from convert.documents.bench.render import bench_page

    made = flat_design(columns, rows)
    return Stage(lambda: bench_page(made, plan_of(made), None), lambda: json.dumps(made.cells.tolist()))


STAGES: dict[str, Callable[[int, int], Stage]] = {
    "grid": grid_stage,
    "heights": heights_stage,
    "quantise": quantise_stage,
    "chart": chart_stage,
    "rows": rows_stage,
    "design file": file_stage,
    "surface": surface_stage,
    "booklet": booklet_stage,
    "page": page_stage,
}


def least_seconds(job: Callable[[], Any], times: int) -> float:
    found = []
    for _ in range(times):
        start = time.perf_counter()
        job()
        found.append(time.perf_counter() - start)
    return min(found)


def main() -> None:
    name, columns, rows = sys.argv[1], int(sys.argv[2]), int(sys.argv[3])
    stage = STAGES[name](columns, rows)
    stage.floor()  # loads what it needs
    times = 3 if columns * rows < 500_000 else 2
    floor, ours = least_seconds(stage.floor, times), least_seconds(stage.work, times)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(json.dumps({"beads": Grid(columns, rows).count, "floor": floor, "ours": ours, "megabytes": peak}))


if __name__ == "__main__":
    main()
