"""The bench page in a real browser: she stitches all of a bracelet with it."""

import io
import json
from contextlib import contextmanager
from itertools import combinations

import numpy as np
import pytest
from benched import CHECKS, page_of, sayings, waves
from browser import opened_browser, requests_of, served, show
from PIL import Image
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

pytestmark = pytest.mark.outside

TITLE = "Waves <script>document.title = 'run'</script>"
DESIGNS = {
    "waves": waves(title=TITLE),
    "other": waves(7, 24),
    "left": waves(8, 30, hand="left", start="bottom"),
    "single": waves(1, 15),
    "pairs": waves(10, 24, drop=2),
}
READ_ROW = """
const text = (id) => document.getElementById(id).textContent;
const all = (query) => [...document.querySelectorAll(query)];
return {
  row: document.getElementById("row").firstChild.textContent,
  way: text("way"), count: text("count"), turn: text("turn"),
  runs: all("#runs .label").map((label) => label.textContent),
  drawn: all("#runs .bead text").map((key) => key.textContent),
  totals: all("#totals li").map((item) => ["strong", ".number"].map((part) => item.querySelector(part).textContent)),
};
"""


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with opened_browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    folder = tmp_path_factory.mktemp("served")
    for name, design in DESIGNS.items():
        (folder / f"{name}.html").write_text(page_of(design), "utf-8")
    with served(folder) as found:
        yield found


@pytest.fixture
def opened(browser, server):
    """Return what opens a page as if for the first time."""

    def open_page(name="waves", width=1280, scheme="light", **features):
        show(browser, width, scheme, **features)
        browser.get(f"{server[0]}/{name}.html")
        browser.execute_script("localStorage.clear()")
        browser.get_log("performance")
        browser.refresh()
        browser.get_log("browser")
        return browser

    return open_page


def press(page, *keys):
    ActionChains(page).send_keys(*keys).perform()


def click(page, query):
    """Click where the bar at the foot does not lie."""
    found = page.find_element(By.CSS_SELECTOR, query)
    page.execute_script("arguments[0].scrollIntoView({ block: 'center' })", found)
    found.click()


def text(page, name):
    return page.find_element(By.ID, name).text


def check_row(page, said):
    shown = page.execute_script(READ_ROW)
    assert shown["row"] == said.name
    assert shown["way"] == said.way
    assert shown["count"].split(",")[0] == {0: "no beads", 1: "1 bead"}.get(said.count, f"{said.count} beads")
    assert ("odd-count" in shown["turn"]) == said.odd_count_turn
    assert tuple(shown["runs"]) == said.runs
    assert shown["drawn"] == [key for run in said.runs for key in [run.split()[1]] * int(run.split()[0])]
    assert {key: int(count) for key, count in shown["totals"]} == said.totals


def test_all_of_a_bracelet_is_ticked_with_the_keyboard(opened, server):
    page = opened()
    asked = len(server[1])
    every = sayings(DESIGNS["waves"])
    assert len(every) == 159
    for number, said in enumerate(every):
        if number == 80:
            page.get_log("performance")
            page.refresh()
            assert requests_of(page) == [f"{server[0]}/waves.html"]
        check_row(page, said)
        press(page, Keys.SPACE if number % 2 else Keys.ARROW_RIGHT)
    assert page.find_element(By.ID, "row").text == "Finished"
    assert not page.find_element(By.ID, "stitch").is_displayed()
    assert (
        text(page, "done")
        == f"160 of 160 rows done, {DESIGNS['waves'].grid.count:,} of {DESIGNS['waves'].grid.count:,} beads"
    )
    assert text(page, "rounds") == "10 of 10 rounds done; the last is a part of one"
    press(page, Keys.SPACE)
    page.refresh()
    assert page.find_element(By.ID, "row").text == "Finished"
    assert page.get_log("browser") == []
    assert server[1][asked:] == ["/waves.html", "/waves.html"]
    assert requests_of(page) == [f"{server[0]}/waves.html"]
    assert page.execute_script("return performance.getEntriesByType('resource').length") == 0


@pytest.mark.parametrize("name", ["other", "left", "single", "pairs"])
def test_every_row_of_other_works_agrees(opened, name):
    page = opened(name)
    for said in sayings(DESIGNS[name]):
        check_row(page, said)
        click(page, "#tick")
    assert page.find_element(By.ID, "row").text == "Finished"
    assert page.get_log("browser") == []


def test_a_tap_on_the_beads_ticks_the_row(opened):
    page = opened(width=360)
    click(page, "#runs")
    assert text(page, "row").startswith("Row 3 ")


def test_a_step_back_undoes_ticks_and_leaps(opened):
    page = opened()
    press(page, Keys.SPACE, Keys.SPACE, Keys.SPACE)
    assert text(page, "row").startswith("Row 5 ")
    press(page, Keys.ARROW_LEFT)
    assert text(page, "row").startswith("Row 4 ")
    page.find_element(By.ID, "jump-row").send_keys("100", Keys.ENTER)
    assert text(page, "row").startswith("Row 100 ")
    assert text(page, "round") == "Round 7 of 10, row 1 of 16"
    click(page, "#undo")
    assert text(page, "row").startswith("Row 4 ")
    press(page, Keys.BACKSPACE, Keys.BACKSPACE, Keys.BACKSPACE, Keys.BACKSPACE)
    assert text(page, "row").startswith("Rows 1 and 2 ")
    assert not page.find_element(By.ID, "undo").is_enabled()


def test_a_tick_taken_back_is_no_measure_of_her_pace(opened):
    page = opened()
    press(page, Keys.SPACE, Keys.SPACE, Keys.SPACE, Keys.ARROW_LEFT)
    click(page, "summary")
    click(page, "#export")
    kept = json.loads(page.find_element(By.ID, "kept").get_property("value"))
    assert (kept["done"], [step for step, _ in kept["ticks"]]) == (2, [0, 1])


def test_a_key_held_down_ticks_once(opened):
    page = opened()
    key = {"type": "keyDown", "key": "ArrowRight", "code": "ArrowRight", "windowsVirtualKeyCode": 39}
    for repeated in (False, True, True):
        page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"autoRepeat": repeated})
    page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"type": "keyUp"})
    assert text(page, "row").startswith("Row 3 ")


@pytest.mark.parametrize("typed", ["0", "161", "x", ""])
def test_a_row_that_is_none_is_refused(opened, typed):
    page = opened()
    page.find_element(By.ID, "jump-row").send_keys(typed, Keys.ENTER)
    assert text(page, "jump-said") == "Give a row from 1 to 160."
    assert text(page, "row").startswith("Rows 1 and 2 ")


def test_keys_that_a_control_needs_are_left_to_it(opened):
    page = opened()
    page.find_element(By.CSS_SELECTOR, "input[value=light]").send_keys(Keys.ARROW_RIGHT)
    assert page.execute_script("return document.documentElement.dataset.look") == "dark"
    page.find_element(By.ID, "jump-row").send_keys("1 0", Keys.ARROW_LEFT, Keys.BACKSPACE)
    page.find_element(By.ID, "space").send_keys(Keys.ARROW_RIGHT)
    page.find_element(By.ID, "undo")
    assert text(page, "row").startswith("Rows 1 and 2 ")
    page.find_element(By.ID, "smaller").send_keys(Keys.SPACE)
    assert text(page, "row").startswith("Rows 1 and 2 ")


def test_her_place_goes_to_another_device_as_text(opened):
    page = opened()
    press(page, *[Keys.SPACE] * 40)
    click(page, "summary")
    click(page, "#export")
    field = page.find_element(By.ID, "kept")
    kept = field.get_property("value")
    assert json.loads(kept)["next_row"] == 42
    page.execute_script("localStorage.clear()")
    page.refresh()
    assert text(page, "row").startswith("Rows 1 and 2 ")
    for put_in, said in (
        ("row 42", "This is no place from a bench page."),
        (json.dumps(json.loads(kept) | {"version": 2}), "another version"),
        (json.dumps(json.loads(kept) | {"done": 1000}), "damaged"),
        (json.dumps(json.loads(kept) | {"ticks": [[159, 1]]}), "damaged"),
        (json.dumps(json.loads(kept) | {"design": "0" * 32}), "another design"),
        (kept, "Taken: Row 42 is next."),
    ):
        take(page, put_in)
        assert said in text(page, "kept-said"), put_in
    assert text(page, "row").startswith("Row 42 ")
    page.refresh()
    assert text(page, "row").startswith("Row 42 ")


def take(page, words):
    page.execute_script(
        "document.querySelector('details').open = true; document.getElementById('kept').value = arguments[0]", words
    )
    click(page, "#import")


def test_starting_again_asks_first(opened):
    page = opened()
    press(page, *[Keys.SPACE] * 5)
    click(page, "summary")
    click(page, "#again")
    click(page, "#again-no")
    assert text(page, "row").startswith("Row 7 ")
    click(page, "#again")
    click(page, "#again-yes")
    assert text(page, "row").startswith("Rows 1 and 2 ")


def test_each_design_keeps_its_own_place(opened, server):
    page = opened()
    press(page, Keys.SPACE)
    page.get(f"{server[0]}/other.html")
    assert text(page, "row").startswith("Rows 1 and 2 ")
    page.get(f"{server[0]}/waves.html")
    assert text(page, "row").startswith("Row 3 ")


@contextmanager
def changed(browser, script):
    """Run a script before those of each page."""
    added = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    try:
        yield
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)


def test_without_storage_she_is_told(opened):
    refused = "get() { throw new DOMException('no', 'SecurityError'); }"
    page = opened()
    with changed(page, f"Object.defineProperty(window, 'localStorage', {{ {refused} }})"):
        page.refresh()
        assert "does not keep your place" in text(page, "trouble")
        press(page, Keys.SPACE)
        assert text(page, "row").startswith("Row 3 ")
        assert page.get_log("browser") == []


def test_without_speech_nothing_is_offered(opened):
    page = opened()
    assert page.find_element(By.ID, "aloud").is_displayed()
    with changed(page, "delete window.speechSynthesis; delete Window.prototype.speechSynthesis"):
        page.refresh()
        assert page.execute_script("return 'speechSynthesis' in window") is False
        assert not page.find_element(By.ID, "aloud").is_displayed()
        press(page, Keys.SPACE)
        assert page.get_log("browser") == []


def test_a_second_tab_follows(opened, server):
    page = opened()
    first = page.current_window_handle
    page.switch_to.new_window("tab")
    page.get(f"{server[0]}/waves.html")
    press(page, Keys.SPACE, Keys.SPACE)
    page.close()
    page.switch_to.window(first)
    assert text(page, "row").startswith("Row 4 ")


def test_with_storage_she_is_not(opened):
    assert not opened().find_element(By.ID, "trouble").is_displayed()


def test_a_card_asks_to_check(opened):
    page = opened()
    press(page, *[Keys.SPACE] * 6)
    card = page.find_element(By.ID, "check")
    assert not card.is_displayed()
    press(page, Keys.SPACE)
    assert card.text.split("\n")[:2] == ["Check now, after row 8", CHECKS[8][0]]
    click(page, "#checked")
    assert not card.is_displayed()
    assert text(page, "row").startswith("Row 9 ")


def test_what_happens_is_said(opened):
    """The status role is a polite live region: W3C, WAI-ARIA 1.2, "status"."""
    page = opened()
    press(page, *[Keys.SPACE] * 7)
    said = "return new Promise((done) => setTimeout(() => done(document.getElementById('said').textContent), 150))"
    first = sayings(DESIGNS["waves"])[7]
    expected = f"Row 9, {first.way}, {first.count} beads: {', '.join(first.runs)}; then the odd-count turn."
    assert page.execute_script(said) == f"Row 8 done. Check now: {CHECKS[8][0]} Next: {expected}"
    assert page.find_element(By.ID, "said").get_attribute("role") == "status"


def test_the_row_is_read_aloud(opened):
    page = opened()
    page.execute_script("window.spoken = []; speechSynthesis.speak = (words) => spoken.push(words.text)")
    press(page, *[Keys.SPACE] * 10)
    click(page, "#aloud")
    click(page, "#each-row")
    click(page, "#tick")
    spoken = page.execute_script("return spoken")
    for words, said in zip(spoken, sayings(DESIGNS["waves"])[10:12], strict=True):
        assert words.startswith(f"{said.name}, {said.way}, {said.count} beads: ")
        runs = words.split(": ")[1].split(";")[0].split(", ")
        assert tuple(run.replace(" ", "") for run in runs) == tuple(run.replace(" ", "") for run in said.runs)


def test_time_to_the_end_comes_from_her_ticks_without_pauses(opened):
    """Ten seconds a bead, one pause of an hour, one row ticked in haste: the middle value stays."""
    page = opened()
    every = sayings(DESIGNS["waves"])
    page.execute_script("window.now = 1e12; Date.now = () => window.now")
    for number, said in enumerate(every[:12]):
        seconds = 3600 if number == 5 else 1 if number == 8 else 10 * said.count
        page.execute_script("window.now += 1000 * arguments[0]", seconds)
        assert ("About" in text(page, "pace")) == (number > 6)
        press(page, Keys.SPACE)
    minutes = round(sum(said.count for said in every[12:]) * 10 / 60)
    hours, rest = divmod(minutes, 60)
    assert (
        text(page, "pace")
        == f"About {hours} hour{'' if hours == 1 else 's'} {rest} minutes to the end at your own pace, without pauses."
    )


def test_it_says_where_she_is_in_the_repeat(opened):
    page = opened()
    assert text(page, "round") == "Foundation, before the repeat"
    press(page, *[Keys.SPACE] * 20)
    assert text(page, "row").startswith("Row 22 ")
    assert text(page, "round") == "Round 2 of 10, row 3 of 16"
    assert text(page, "rounds") == "1 of 10 rounds done; the last is a part of one"
    boxes = page.find_elements(By.CSS_SELECTOR, "#tally li")
    assert [box.get_attribute("class") for box in boxes] == ["done", "now", *[""] * 8]


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


def test_its_policy_would_stop_a_request(opened, server):
    page = opened()
    asked = list(server[1])
    script = "const done = arguments[0]; fetch('/other').then(() => done('sent'), () => done('stopped'))"
    assert page.execute_async_script(script) == "stopped"
    page.execute_script("document.body.append(Object.assign(new Image(), { src: '/picture.png' }))")
    page.execute_script(
        "const s = document.createElement('script'); s.textContent = 'window.ran = 1'; document.body.append(s)"
    )
    assert page.execute_script("return window.ran") is None
    assert server[1] == asked
    page.get_log("browser")


def test_a_hostile_title_is_shown_and_not_run(opened):
    page = opened()
    assert page.title == f"{TITLE}: bench page"
    assert page.find_element(By.TAG_NAME, "h1").text == TITLE


def test_a_look_is_kept(opened):
    page = opened()
    click(page, "input[value=contrast]")
    page.refresh()
    assert page.execute_script("return document.documentElement.dataset.look") == "contrast"
    assert page.find_element(By.CSS_SELECTOR, "input[value=contrast]").is_selected()
    assert page.execute_script("return getComputedStyle(document.body).backgroundColor") == "rgb(0, 0, 0)"
