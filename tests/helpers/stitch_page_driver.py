"""A stitcher at the stitch page: the works she has, her keys and taps, and what she sees of a row."""

from contextlib import contextmanager

from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from stitch_page_oracle import waves

TITLE = "Waves <script>document.title = 'run'</script>"
DESIGNS = {
    "waves": waves(title=TITLE),
    "other": waves(7, 24),
    "left": waves(8, 30, hand="left", start="bottom"),
    "narrow": waves(2, 15),
    "pairs": waves(10, 24, drop=2),
}
READ_ROW = """
const text = (id) => document.getElementById(id).textContent;
const all = (query) => [...document.querySelectorAll(query)];
return {
  row: document.getElementById("row").firstChild.textContent,
  direction: text("direction"), count: text("count"), turn: text("turn"),
  runs: all("#runs .label").map((label) => label.textContent),
  drawn: all("#runs .bead text").map((kind) => kind.textContent),
  totals: all("#totals li").map((item) => ["strong", ".number"].map((part) => item.querySelector(part).textContent)),
};
"""


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
    assert shown["direction"] == said.direction
    assert shown["count"].split(",")[0] == ("1 bead" if said.count == 1 else f"{said.count} beads")
    assert ("odd-count" in shown["turn"]) == said.odd_count_turn
    assert tuple(shown["runs"]) == said.runs
    assert shown["drawn"] == [kind for run in said.runs for kind in [run.split()[1]] * int(run.split()[0])]
    assert {kind: int(count) for kind, count in shown["totals"]} == said.totals


@contextmanager
def changed(browser, script):
    """Run a script before those of each page."""
    added = browser.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": script})
    try:
        yield
    finally:
        browser.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)
