"""What the stitch page draws: the chart with its row lit, and the shape that turns."""

import io
from itertools import combinations

import numpy as np
import pytest
from PIL import Image
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from stitch_page_driver import DESIGNS, changed, click, press, text
from stitch_page_oracle import sayings

pytestmark = pytest.mark.outside


ACCENT = """
const probe = document.createElement("i");
document.body.append(probe);
probe.style.color = "var(--lit)";
const seen = getComputedStyle(probe).color.match(/[0-9]+/g).join();
probe.remove();
return seen;
"""
FULL_COLOURS = """
const [colours] = arguments;
const canvas = document.getElementById("picture");
const { data, width, height } = canvas.getContext("2d").getImageData(0, 0, canvas.width, canvas.height);
const coded = ([red, green, blue]) => (red << 16) | (green << 8) | blue;
const wanted = new Set(colours.map((colour) => coded(colour.split(","))));
return Array.from({ length: height }, (_, y) => {
  let found = 0;
  for (let at = 4 * y * width; at < 4 * (y + 1) * width; at += 4) {
    found += wanted.has((data[at] << 16) | (data[at + 1] << 8) | data[at + 2]);
  }
  return found;
});
"""


def test_the_chart_lights_the_row_and_dims_what_is_done(opened):
    """The whole chart, from top to bottom: no bead in its full colour where rows are done, all of them below."""
    page = opened()
    click(page, "#whole")
    press(page, *[Keys.SPACE] * 80)
    label = page.find_element(By.ID, "picture").get_attribute("aria-label")
    assert label == "Chart: Row 82 of 160 is framed; the rows before it are faint"
    colours = {",".join(map(str, bytes.fromhex(bead.srgb[1:]))) for bead in DESIGNS["waves"].beads}
    found = page.execute_script(FULL_COLOURS, sorted(colours))
    top, bottom = 8, len(found) - 8
    line = top + (bottom - top) * 82 / 161
    assert max(found[: int(line) - 8]) == 0
    assert min(sum(found[y : y + 12]) for y in range(int(line) + 8, bottom - 12)) > 40


def test_the_row_that_is_lit_keeps_its_colours_within_a_frame(opened):
    """In the upper half of the frames only that row can be in full colour: what is above it is done."""
    page = opened()
    press(page, *[Keys.SPACE] * 80)
    colours = {",".join(map(str, bytes.fromhex(bead.srgb[1:]))) for bead in DESIGNS["waves"].beads}
    accent = page.execute_script(ACCENT)
    framed = [y for y, found in enumerate(page.execute_script(FULL_COLOURS, [accent])) if found]
    full = page.execute_script(FULL_COLOURS, sorted(colours))
    middle = (framed[0] + framed[-1]) // 2
    assert max(full[: framed[0] - 2]) == 0
    assert max(full[framed[0] + 4 : middle - 2]) > 40
    assert max(full[framed[-1] + 8 :]) > 40


NUMBERS = """
const { fillText } = CanvasRenderingContext2D.prototype;
window.written = [];
CanvasRenderingContext2D.prototype.fillText = function (words, x, y) {
  if (/^[0-9+]+$/.test(words)) {
    const wide = this.measureText(words).width;
    const from = this.textAlign === "right" ? x - wide : x;
    window.written.push([words, from, from + wide, y, this.font.includes("17px")]);
  }
  fillText.call(this, words, x, y);
};
"""


@pytest.mark.parametrize(("name", "side"), [("waves", "left"), ("left", "right")])
def test_the_strand_has_the_numbers_of_both_its_rows(opened, name, side):
    """Whole within the picture, at the side of the tail, midway between the two rows."""
    page = opened(name)
    lit = "return window.written.filter((one) => one[4]).pop()"
    with changed(page, NUMBERS):
        page.refresh()
        assert page.execute_script(lit)[0] == "1+2"
        click(page, "#whole")
        strand = page.execute_script(lit)
        press(page, Keys.SPACE)
        row_3 = page.execute_script(lit)
        press(page, Keys.SPACE)
        row_4 = page.execute_script(lit)
    assert [one[0] for one in (strand, row_3, row_4)] == ["1+2", "3", "4"]
    width = page.execute_script("return document.getElementById('picture').clientWidth")
    assert 0 <= strand[1] < strand[2] <= width
    assert (strand[2] < width / 2) == (side == "left")
    assert (row_3[3] - strand[3]) / (row_4[3] - row_3[3]) == pytest.approx(1.5)


NEAREST_LABELS = """
const words = [...document.querySelectorAll("#runs .label")].map((label) => {
  const range = document.createRange();
  range.selectNodeContents(label);
  return range.getBoundingClientRect();
}).sort((one, other) => one.left - other.left);
const beside = (one, other) => one.bottom > other.top && other.bottom > one.top && one.left < other.left;
const gaps = words.flatMap((one) => words.filter((other) => beside(one, other)).map((other) => other.left - one.right));
return Math.min(1000, ...gaps);
"""
PAIRS = """
const key = (one) => one.querySelector("text").textContent;
const box = (one) => ["left", "right", "top", "bottom"].map((side) => one.getBoundingClientRect()[side]);
return [...document.querySelectorAll("#runs .pair")].map((pair) => {
  const beads = [...pair.querySelectorAll(".bead")];
  return [beads.map(key), beads.map(box), box(pair), pair.querySelectorAll(".label").length, pair.ariaHidden];
});
"""


def test_two_drop_shows_what_each_stitch_takes(opened):
    """Beads two by two in needle order, over brackets that lie clear of each other, also where a row wraps."""
    page = opened("pairs", width=360)
    assert "stitch" not in text(page, "order")
    assert page.execute_script(PAIRS) == []
    press(page, Keys.SPACE)
    told = set()
    for said in sayings(DESIGNS["pairs"])[1:]:
        keys = [run.split()[1] for run in said.runs for _ in range(int(run.split()[0]))]
        stitches = page.execute_script(PAIRS)
        assert [stitch[0] for stitch in stitches] == [keys[at : at + 2] for at in range(0, len(keys), 2)]
        boxes = [stitch[2] for stitch in stitches]
        for (_, beads, (left, right, top, bottom), labels, hidden), (one, other) in zip(
            stitches, (stitch[0] for stitch in stitches), strict=True
        ):
            assert beads[0][1] <= beads[1][0]
            assert left <= beads[0][0]
            assert beads[1][1] <= right <= 360
            assert top <= min(bead[2] for bead in beads)
            assert max(bead[3] for bead in beads) <= bottom - 6  # the bracket
            assert (hidden == "true") == (labels == 0)
            told.add((one == other, labels))
        assert page.execute_script(NEAREST_LABELS) >= 10  # else "1 B" and "11 C" would read as one
        for one, other in combinations(boxes, 2):
            assert one[1] < other[0] or other[1] < one[0] or one[3] < other[2] or other[3] < one[2]
        assert "the two over each bracket in one stitch" in text(page, "order")
        press(page, Keys.SPACE)
    assert {(False, 2), (True, 0)} <= told  # different beads in a stitch; a run that goes on over stitches


def seen_shape(page):
    """Wait until the view has settled; return its picture."""
    canvas = page.find_element(By.ID, "space")
    page.execute_script("arguments[0].scrollIntoView({ block: 'center' })", canvas)
    pictures = []
    while len(pictures) < 2 or pictures[-1] != pictures[-2]:
        page.execute_async_script("setTimeout(arguments[0], 400)")
        pictures.append(canvas.screenshot_as_png)
        assert len(pictures) < 20, "it never settles"
    return pictures[-1]


def tints(picture):
    colours = Image.open(io.BytesIO(picture)).convert("RGB").getcolors(1_000_000)
    return {colour for count, colour in colours if count > 3}


def differ(one, other):
    """Return by how many codes two pictures differ on average."""
    first, second = (np.asarray(Image.open(io.BytesIO(picture)).convert("L"), float) for picture in (one, other))
    return np.abs(first - second).mean()


def test_the_shape_is_drawn_and_turns(opened):
    page = opened()
    canvas = page.find_element(By.ID, "space")
    seen = [seen_shape(page)]
    assert len(tints(seen[0])) > 100
    canvas.send_keys(Keys.ARROW_LEFT, Keys.ARROW_UP)
    seen.append(seen_shape(page))
    ActionChains(page).drag_and_drop_by_offset(canvas, 80, 30).perform()
    seen.append(seen_shape(page))
    click(page, "[data-turn=in]")
    seen.append(seen_shape(page))
    click(page, "[data-turn=above]")
    seen.append(seen_shape(page))
    click(page, "[data-turn=home]")
    again = seen_shape(page)
    # How finely it is drawn depends on the time that the machine takes.
    assert differ(again, seen[0]) < 3
    assert min(differ(one, other) for one, other in combinations(seen, 2)) > 3
    assert page.get_log("browser") == []


def test_without_webgl_there_is_a_still_picture(opened):
    script = (
        "const get = HTMLCanvasElement.prototype.getContext;"
        "HTMLCanvasElement.prototype.getContext = function (kind, ...more) {"
        " return kind.startsWith('webgl') ? null : get.call(this, kind, ...more); };"
    )
    page = opened()
    with changed(page, script):
        page.refresh()
        assert len(tints(seen_shape(page))) > 20
        assert "still picture" in text(page, "shape-words")
        assert not page.find_element(By.ID, "turning").is_displayed()
        assert page.get_log("browser") == []
