"""Draw all sample pictures anew, next to this script: `python samples/draw_samples.py`."""

from __future__ import annotations

from pathlib import Path

from canvas import save
from dusk import lighthouse_dusk
from line_drawing import urchin_lines
from shoreline import shoreline
from tide_pool import tide_pool


def main() -> None:
    """Write four pictures, two of them with a height map."""
    pool, pool_heights = tide_pool()
    shore, shore_heights = shoreline()
    drawings = {
        "tide-pool": pool,
        "tide-pool-heights": pool_heights,
        "lighthouse-dusk": lighthouse_dusk(),
        "urchin-lines": urchin_lines(),
        "shoreline": shore,
        "shoreline-heights": shore_heights,
    }
    for name, pixels in drawings.items():
        path = Path(__file__).with_name(f"{name}.png")
        save(pixels, path)
        print(f"{path.name}: {pixels.shape[1]} x {pixels.shape[0]} pixels, {path.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
