"""Mean CIEDE2000 of few colours against other libraries, on the cells of the bundled pictures and our samples.

Run by hand: ``.venv/bin/pip install -e ".[dev,bench]"``, then ``.venv/bin/python tests/bench/bench_quantise.py``
(columns may follow). Plain k-means is scikit-learn's in Lab, each cell with the nearest centre in Lab. Figures of the
other libraries are of their 8-bit colours, each cell with the nearest by CIEDE2000.
"""

import sys
from pathlib import Path

import numpy as np
from PIL import Image

from convert.colouring.quantise import quantise
from shared.ciede2000 import ciede2000
from shared.colour import codes_from_linear, lab_from_codes, lab_from_linear

COLOURS = (4, 8, 16)
COLUMNS = 31
PILLOW = {
    "median cut": Image.Quantize.MEDIANCUT,
    "max coverage": Image.Quantize.MAXCOVERAGE,
    "octree": Image.Quantize.FASTOCTREE,
}


def k_means_error(cells_lab, colours):
    """Mean difference to the centres of plain k-means: at most as many as there are different cells."""
    from sklearn.cluster import KMeans

    different = len(np.unique(cells_lab.round(6), axis=0))
    fitted = KMeans(min(colours, different), n_init=4, random_state=0).fit(cells_lab)
    return ciede2000(cells_lab, fitted.cluster_centers_[fitted.labels_]).mean()


def palette_error(cells_lab, codes):
    palette = lab_from_codes(np.unique(codes.astype(np.uint8), axis=0))
    return ciede2000(cells_lab[:, None], palette).min(axis=1).mean()


def pillow_codes(cells, colours, method):
    image = Image.fromarray(cells[None]).quantize(colours, method, dither=Image.Dither.NONE)
    return np.asarray(image.convert("RGB")).reshape(-1, 3)


def libimagequant_codes(cells, colours):
    import imagequant

    pixels = np.pad(cells, ((0, 0), (0, 1)), constant_values=255)
    _, palette = imagequant.quantize_raw_rgba_bytes(
        pixels.tobytes(), len(cells), 1, dithering_level=0.0, max_colors=colours
    )
    return np.array(palette).reshape(-1, 4)[:colours, :3]


def errors(name, columns, colours):
    """Mean CIEDE2000 by method, ours first, plain k-means second."""
    from bundled_pictures import bundled
    from picture_oracle import cells_of

    linear = cells_of(bundled(name).data, columns=columns, max_pixels=10**9)[2]
    cells_lab, cells = lab_from_linear(linear), codes_from_linear(linear)
    return {
        "ours": quantise(cells_lab, colours).errors.mean(),
        "k-means": k_means_error(cells_lab, colours),
        **{
            label: palette_error(cells_lab, pillow_codes(cells, colours, direction))
            for label, direction in PILLOW.items()
        },
        "libimagequant": palette_error(cells_lab, libimagequant_codes(cells, colours)),
    }


def main(columns):
    from bundled_pictures import OURS, PICTURES

    ratios = {}
    for name in (*PICTURES, *OURS):
        for colours in COLOURS:
            found = errors(name, columns, colours)
            if not ratios:
                print(f"{'picture':22}{'k':>3}", *(f"{label:>13}" for label in found), f"{'to k-means':>11}")
            ratios[name, colours] = found["ours"] / found["k-means"]
            best_of_others = min(error for label, error in found.items() if label not in {"ours", "k-means"})
            mark = "" if found["ours"] < best_of_others else "  not the best"
            figures = (f"{error:13.3f}" for error in found.values())
            print(f"{name:22}{colours:3}", *figures, f"{ratios[name, colours]:11.3f}{mark}")
    for group in (PICTURES, OURS, (*PICTURES, *OURS)):
        mean = np.exp(np.mean([np.log(ratio) for (name, _), ratio in ratios.items() if name in group]))
        print(f"geometric mean over {len(group)} pictures: {mean:.3f} x plain k-means in Lab")


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))
    main(int(sys.argv[1]) if len(sys.argv) > 1 else COLUMNS)
