"""Whether everybody can use the bench page: an accessibility engine and the guidelines' own measures."""

from pathlib import Path

import pytest
from benched import page_of, waves
from browser import opened_browser, show
from npm import npm_package
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

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


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with opened_browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    path = tmp_path_factory.mktemp("page") / "bench.html"
    path.write_text(page_of(waves()), "utf-8")
    return path.as_uri()


def opened(browser, address, width, scheme, ticks, **features):
    show(browser, width, scheme, **features)
    browser.get(address)
    browser.execute_script("localStorage.clear()")
    browser.refresh()
    browser.execute_script("for (let at = 0; at < arguments[0]; at += 1) document.getElementById('tick').click()", ticks)
    browser.execute_script("document.querySelector('details').open = true")


@pytest.mark.parametrize("ticks", [0, 7, 159], ids=["start", "check", "finished"])
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("look", LOOKS)
def test_the_engine_has_no_complaint(browser, address, engine, look, width, ticks):
    opened(browser, address, width, ticks=ticks, **LOOKS[look])
    browser.execute_script(engine)
    assert browser.execute_async_script(RUN, TAGS) == []
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width


def test_the_engine_can_complain(browser, address, engine):
    opened(browser, address, 1280, "light", 3)
    browser.execute_script("document.getElementById('tick').style.cssText = 'color: #0a6a76; width: 9px'")
    browser.execute_script("document.querySelector('#jump label').replaceWith(document.getElementById('jump-row'))")
    browser.execute_script(engine)
    found = {rule for rule, _ in browser.execute_async_script(RUN, TAGS)}
    assert {"color-contrast", "label"} <= found


@pytest.mark.parametrize("width", [320, 360, 768])
def test_targets_are_large_and_nothing_hangs_over(browser, address, width):
    """At 320 px the page reflows without scrolling sideways: success criterion 1.4.10."""
    opened(browser, address, width, "light", 7)
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    small = browser.execute_script(
        "return [...document.querySelectorAll('button, input, textarea, summary, #runs')]"
        ".filter((one) => one.offsetParent || one.closest('.actions'))"
        ".map((one) => [one.id || one.outerHTML, one.getBoundingClientRect().width, one.getBoundingClientRect().height])"
        ".filter(([, wide, high]) => wide && Math.min(wide, high) < arguments[0])",
        LEAST_TARGET,
    )
    assert small == []


def test_every_control_is_reached_by_tab_and_is_not_hidden(browser, address):
    """Focus is seen and lies clear of the bar at the foot: success criteria 2.1.1, 2.4.7 and 2.4.11."""
    opened(browser, address, 360, "light", 7)
    wanted = browser.execute_script(
        "return [...document.querySelectorAll('button, input, textarea, summary, [tabindex=\"0\"]')]"
        ".filter((one) => !one.disabled && one.offsetParent !== null && (one.type !== 'radio' || one.checked)).length"
        " + [...document.querySelectorAll('.actions button')].filter((one) => !one.disabled && !one.offsetParent).length"
    )
    browser.execute_script("document.activeElement.blur(); scrollTo(0, 0)")
    reached = []
    for _ in range(wanted):
        browser.switch_to.active_element.send_keys(Keys.TAB)
        name, top, bottom, bar, line = browser.execute_script(
            "const one = document.activeElement, box = one.getBoundingClientRect();"
            "const bar = one.closest('.actions') ? Infinity : document.querySelector('.actions').getBoundingClientRect().top;"
            "return [one.id || one.dataset.turn || one.textContent || one.value, box.top, box.bottom, Math.min(bar, 1e6),"
            " getComputedStyle(one).outlineStyle]"
        )
        reached.append(name)
        assert top < bar - 8, name
        assert bottom > 0, name
        assert line != "none", name
    assert len(set(reached)) == wanted
    assert {"tick", "undo", "space", "scroller", "checked", "kept", "jump-row"} <= set(reached)


def test_forced_colours_are_followed(browser, address):
    opened(browser, address, 360, "light", 7, forced_colors="active")
    canvas, accent = browser.execute_script(
        "const probe = document.createElement('i'); document.body.append(probe); const seen = ['Canvas', 'Highlight'].map((name) =>"
        " { probe.style.color = name; return getComputedStyle(probe).color; }); probe.remove(); return seen"
    )
    assert browser.execute_script("return getComputedStyle(document.body).backgroundColor") == canvas
    assert browser.execute_script("return getComputedStyle(document.getElementById('tick')).backgroundColor") == accent
    bead = browser.find_element(By.CSS_SELECTOR, "#runs .bead rect, #runs .bead ellipse")
    assert bead.get_attribute("fill").startswith("#")
