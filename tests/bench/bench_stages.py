"""What is changed in a pattern that is there already: seconds in one process, over a memo.

``python tests/bench/bench_stages.py``. The picture is a photograph of 12 megapixels at 31 columns, made larger from a
sample; the floor is decoding it once with Pillow. Medians of five.
"""

import io
import statistics
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from convert import Memo, Options, Source, make_pattern

PICTURE = Path(__file__).parents[2] / "samples" / "lighthouse-dusk.png"
FIRST = Options(columns=31, colours=6, style="photo")
CHANGES = {
    "another number of colours": lambda turn: replace(FIRST, colours=7 + turn),
    "another title": lambda turn: replace(FIRST, title=f"Title {turn}"),
    "another width": lambda turn: replace(FIRST, columns=32 + turn),
    "another raised area": lambda turn: replace(FIRST, domes=domes(f"disc 30,{10 + turn} r5")),
}


def domes(words):
    """Return one shape."""
    from convert.relief.dome_syntax import parse_dome

    return (parse_dome(words),)


def photograph():
    """Return a photograph of 12 megapixels as the bytes of a JPEG."""
    with Image.open(PICTURE) as image:
        large = image.convert("RGB").resize((3000, 4000), Image.Resampling.BICUBIC)
    noise = np.random.default_rng(1).normal(0, 6, (4000, 3000, 1))
    file = io.BytesIO()
    Image.fromarray(np.clip(np.asarray(large) + noise, 0, 255).astype(np.uint8)).save(file, "JPEG", quality=90)
    return file.getvalue()


def seconds(make):
    """Return how long a call takes."""
    start = time.perf_counter()
    make()
    return time.perf_counter() - start


def main():
    """Print the table."""
    data = photograph()
    floor = statistics.median(seconds(lambda: Image.open(io.BytesIO(data)).load()) for _ in range(5))
    picture, memo = Source("photograph.jpg", data), Memo()
    first = seconds(lambda: make_pattern(picture, None, FIRST, memo=memo))
    print(f"floor (Pillow decodes it): {floor:.3f} s; first pattern {first:.3f} s")
    for name, change in CHANGES.items():
        changed = [change(turn) for turn in range(5)]
        took = statistics.median(
            seconds(lambda options=options: make_pattern(picture, None, options, memo=memo)) for options in changed
        )
        print(f"{name}: {took:.3f} s, {took / floor:.2f} x the floor")
    print(f"kept: {memo.bytes / 1e6:.0f} MB")


if __name__ == "__main__":
    main()
