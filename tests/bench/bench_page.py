"""Time and size of the stitch page, next to a floor in the same run.

Run by hand: ``.venv/bin/python tests/bench/bench_page.py``; needs Chromium and its driver. The floor is a page of
the same size that holds nothing but a comment. Times of the browser are its own, in software rendering; "script"
is what its scripts took, "task" all work of its main thread.
"""

import sys
import tempfile
import time
from pathlib import Path
from statistics import median
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

import numpy as np
from browser import opened_browser, show
from size_levels import rings
from strategies import SIZES, bead_of

from convert.documents.stitch_page.page import plan_steps, stitch_page
from convert.documents.stitch_page.shape import predict_lying
from convert.rows.find_repeat import Repeat
from shared.design import Design
from shared.grid import Grid

RUNS = 5
TICKS = 40
LOADED = (
    "const entry = performance.getEntriesByType('navigation')[0];"
    "const paint = performance.getEntriesByName('first-contentful-paint')[0];"
    "return [entry.loadEventEnd, paint ? paint.startTime : NaN]"
)


def domed(columns: int, rows: int) -> Design:
    grid = Grid(columns, rows)
    centres = [
        (row, column) for row in range(12, rows, 24) for column in range((columns + 1) // 2 % 16 or 16, columns, 16)
    ]
    levels = rings(grid, *centres, radii=(0.5, 1.5, 2.5))
    colours = np.random.default_rng(3).integers(0, 6, grid.count)
    used, cells = np.unique(colours * 4 + levels, return_inverse=True)
    return Design("Bench", grid, SIZES, tuple(bead_of(*divmod(kind, 4)) for kind in used.tolist()), cells)


def metrics(browser: Any) -> dict[str, float]:
    values = browser.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
    return {
        value["name"]: 1000 * value["value"] for value in values if value["name"] in {"ScriptDuration", "TaskDuration"}
    }


def opening(browser: Any, address: str) -> tuple[float, float]:
    """Return the median ms until loaded and until something is seen."""
    found = []
    for _ in range(RUNS):
        browser.get(address)
        while (times := browser.execute_script(LOADED))[1] is None:
            time.sleep(0.05)
        time.sleep(0.3)
        found.append(times)
    return median(load for load, _ in found), median(seen for _, seen in found)


def ticking(browser: Any) -> tuple[float, float, float]:
    """Return the median and the largest ms of script of one tick, and the median of all work."""
    browser.execute_script("scrollTo(0, 0)")
    time.sleep(2)
    script, task = [], []
    for _ in range(TICKS):
        before = metrics(browser)
        browser.execute_script("document.getElementById('tick').click()")
        time.sleep(0.1)
        after = metrics(browser)
        script.append(after["ScriptDuration"] - before["ScriptDuration"])
        task.append(after["TaskDuration"] - before["TaskDuration"])
    return median(script), max(script), median(task)


def turning(browser: Any) -> float:
    """Return the ms between one picture of the shape and the next, while it turns."""
    return float(
        browser.execute_async_script(
            "const done = arguments[0]; document.getElementById('shape').scrollIntoView(); setTimeout(() => {"
            "let left = 20; const from = performance.now(); const next = () => {"
            "if (!left) { done((performance.now() - from) / 20); return; } left -= 1;"
            "document.querySelector('[data-turn=right]').click(); requestAnimationFrame(next); }; next(); }, 900)"
        )
    )


def main() -> None:
    head = ("load ms", "seen ms", "script", "most", "task", "turn ms", "kB", "write s")
    print(f"{'page':22}" + "".join(f"{name:>9}" for name in head))
    with tempfile.TemporaryDirectory() as folder, opened_browser(f"{folder}/profile") as browser:
        show(browser, 1280, "light")
        browser.execute_cdp_cmd("Performance.enable", {})
        for columns, rows in ((9, 160), (25, 160), (60, 400)):
            design = domed(columns, rows)
            lying, _ = predict_lying(design)
            plan = plan_steps(design)._replace(repeat=Repeat(3, 24, 0, rows))
            start = time.perf_counter()
            content = stitch_page(design, plan, lying)
            wrote = time.perf_counter() - start
            path, floor = Path(folder) / "page.html", Path(folder) / "floor.html"
            path.write_bytes(content)
            floor.write_text(f"<!DOCTYPE html><title>x</title><p>x<!--{'x' * len(content)}-->", "utf-8")
            load, seen = opening(browser, floor.as_uri())
            print(f"{'floor':22}{load:9.0f}{seen:9.0f}")
            load, seen = opening(browser, path.as_uri())
            script, most, task = ticking(browser)
            row = f"{load:9.0f}{seen:9.0f}{script:9.1f}{most:9.1f}{task:9.1f}{turning(browser):9.0f}"
            print(f"{f'{columns} x {rows}':22}{row}{len(content) / 1e3:9.0f}{wrote:9.3f}", flush=True)
            browser.find_element("id", "whole").click()
            script, most, task = ticking(browser)
            print(f"{'  whole chart in view':22}{'':18}{script:9.1f}{most:9.1f}{task:9.1f}")


if __name__ == "__main__":
    main()
