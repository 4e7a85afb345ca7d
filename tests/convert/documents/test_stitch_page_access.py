"""Whether everybody can use the stitch page: an accessibility engine and the guidelines' own measures."""

from pathlib import Path

import pytest
from browser import show
from npm_checkers import npm_package
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from stitch_page_oracle import page_of, waves

pytestmark = pytest.mark.outside

ENGINE = "axe-core@4.14.1"
"""npm package of Deque Systems, which checks against the W3C's Web Content Accessibility Guidelines 2.2, A and AA."""

TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa", "best-practice"]
RUN = (
    "const [tags, done] = arguments; axe.run(document, { runOnly: tags, resultTypes: ['violations'],"
    " rules: { 'target-size': { enabled: true } } }).then((found) => done(found.violations.map((one) =>"
    " [one.id, one.nodes.map((node) => node.html.slice(0, 120) + ' ' + node.failureSummary.slice(0, 200))])))"
)
LOOKS = {
    "light": {"scheme": "light"},
    "dark": {"scheme": "dark"},
    "contrast": {"scheme": "light", "prefers_contrast": "more"},
}
LEAST_TARGET = 24
"""CSS pixels each way: success criterion 2.5.8."""


@pytest.fixture(scope="module")
def engine():
    _, folder = npm_package(ENGINE)
    return (Path(folder) / "node_modules" / "axe-core" / "axe.min.js").read_text("utf-8")


SMALL = """
return [...document.querySelectorAll("button, input, textarea, summary, #runs")]
  .map((one) => [one.id || one.outerHTML, one.getBoundingClientRect()])
  .filter(([, box]) => box.width && Math.min(box.width, box.height) < arguments[0])
  .map(([name]) => name);
"""
CONTROLS = """
return [...document.querySelectorAll("button, input, textarea, summary, [tabindex='0']")]
  .filter((one) => !one.disabled && one.getBoundingClientRect().width && (one.type !== "radio" || one.checked)).length;
"""
FOCUSED = """
const one = document.activeElement, box = one.getBoundingClientRect();
const bar = document.querySelector(".actions").getBoundingClientRect().top;
return [
  one.id || one.dataset.turn || one.textContent || one.value, box.top, box.bottom,
  one.closest(".actions") ? 1e6 : bar, getComputedStyle(one).outlineStyle,
];
"""
SYSTEM_COLOURS = """
const probe = document.createElement("i");
document.body.append(probe);
const seen = ["Canvas", "Highlight"].map((name) => {
  probe.style.color = name;
  return getComputedStyle(probe).color;
});
probe.remove();
return seen;
"""


@pytest.fixture(scope="module")
def opened(browser, tmp_path_factory):
    """Return what opens the page as if for the first time and ticks some rows."""
    folder = tmp_path_factory.mktemp("page")
    for name, design in {"bench": waves(), "two-drop": waves(10, 24, drop=2)}.items():
        (folder / f"{name}.html").write_text(page_of(design), "utf-8")

    def open_page(width, scheme, ticks, *, name="bench", **features):
        show(browser, width, scheme, **features)
        browser.get((folder / f"{name}.html").as_uri())
        browser.execute_script("localStorage.clear()")
        browser.refresh()
        tick = "for (let at = 0; at < arguments[0]; at += 1) document.getElementById('tick').click()"
        browser.execute_script(tick, ticks)
        browser.execute_script("document.querySelector('details').open = true")
        return browser

    return open_page


@pytest.mark.parametrize(("ticks", "widths"), [(0, (360, 1280, 360)), (7, (1280, 360, 1280)), (159, (360, 1280, 360))])
@pytest.mark.parametrize("look", LOOKS)
def test_the_engine_has_no_complaint(opened, engine, look, ticks, widths):
    """At the start, at a check and at the end, each in every look; every look in both widths."""
    width = dict(zip(LOOKS, widths, strict=True))[look]
    page = opened(width, ticks=ticks, **LOOKS[look])
    page.execute_script(engine)
    assert page.execute_async_script(RUN, TAGS) == []
    assert page.execute_script("return document.documentElement.scrollWidth") <= width


@pytest.mark.parametrize("look", LOOKS)
def test_the_engine_has_no_complaint_about_two_drop(opened, engine, look):
    """Rows stitch by stitch, and words in place of the view in space."""
    page = opened(360, ticks=4, name="two-drop", **LOOKS[look])
    assert page.find_elements(By.CSS_SELECTOR, "#runs .pair")
    assert "No view in space" in page.find_element(By.ID, "shape").text
    page.execute_script(engine)
    assert page.execute_async_script(RUN, TAGS) == []
    assert page.execute_script("return document.documentElement.scrollWidth") <= 360


def test_the_engine_can_complain(opened, engine):
    page = opened(1280, "light", 3)
    page.execute_script("document.getElementById('tick').style.cssText = 'color: #0a6a76; width: 9px'")
    page.execute_script("document.querySelector('#jump label').replaceWith(document.getElementById('jump-row'))")
    page.execute_script(engine)
    found = {rule for rule, _ in page.execute_async_script(RUN, TAGS)}
    assert {"color-contrast", "label"} <= found


@pytest.mark.parametrize("width", [320, 360, 768])
def test_targets_are_large_and_nothing_hangs_over(opened, width):
    """At 320 px the page reflows without scrolling sideways: success criterion 1.4.10."""
    page = opened(width, "light", 7)
    assert page.execute_script("return document.documentElement.scrollWidth") <= width
    assert page.execute_script(SMALL, LEAST_TARGET) == []


def test_every_control_is_reached_by_tab_and_is_not_hidden(opened):
    """Focus is seen and lies clear of the bar at the foot: success criteria 2.1.1, 2.4.7 and 2.4.11."""
    page = opened(360, "light", 7)
    wanted = page.execute_script(CONTROLS)
    page.execute_script("document.activeElement.blur(); scrollTo(0, 0)")
    reached = []
    for _ in range(wanted):
        page.switch_to.active_element.send_keys(Keys.TAB)
        name, top, bottom, bar, line = page.execute_script(FOCUSED)
        reached.append(name)
        assert top < bar - 8, name
        assert bottom > 0, name
        assert line != "none", name
    assert len(set(reached)) == wanted
    assert {"tick", "undo", "space", "scroller", "checked", "kept", "jump-row"} <= set(reached)


def test_forced_colours_are_followed(opened):
    page = opened(360, "light", 7, forced_colors="active")
    canvas, accent = page.execute_script(SYSTEM_COLOURS)
    assert page.execute_script("return getComputedStyle(document.body).backgroundColor") == canvas
    assert page.execute_script("return getComputedStyle(document.getElementById('tick')).backgroundColor") == accent
    bead = page.find_element(By.CSS_SELECTOR, "#runs .bead rect, #runs .bead ellipse")
    assert bead.get_attribute("fill").startswith("#")
