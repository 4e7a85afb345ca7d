"""The review page in a real browser: headless Chromium, driven through selenium."""

import warnings
from collections import Counter
from fractions import Fraction
from math import ceil

import flows
import numpy as np
import pytest
import skimage.color
from browser import requests_of, served, show
from picture_oracle import DIAMETER_MM, LENGTH_MM, centres_mm
from review_inputs import domed_review, domed_work
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from convert.documents.colour_review.page import review_page
from shared.beads import default_bead_sizes

pytestmark = pytest.mark.outside

MACHADO = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}
TITLE = "Rock pool <script>document.title = 'run'</script>"


@pytest.fixture(scope="module")
def domed():
    return domed_review(title=TITLE)


@pytest.fixture(scope="module")
def server(domed, tmp_path_factory):
    """Serve the page; return its address and the paths that were asked for."""
    folder = tmp_path_factory.mktemp("served")
    (folder / "colours.html").write_text(review_page(domed, next_to=3, spare_percent=10), "utf-8")
    with served(folder) as (address, asked):
        yield f"{address}/colours.html", asked


@pytest.fixture
def page(browser, server):
    browser.get_log("browser")
    browser.get_log("performance")
    show(browser, 1280, "light")
    browser.get(server[0])
    return browser


def choose(page, side, k):
    Select(page.find_element(By.CSS_SELECTOR, f'.view[data-side="{side}"] select')).select_by_value(str(k))


def look(page, word):
    page.find_element(By.CSS_SELECTOR, f'input[name="vision"][value="{word}"]').click()


def recomputed(choice, cells_lab):
    """The figures of a choice as the page writes them, from its cells alone."""
    beads = [choice.design.beads[cell] for cell in choice.design.cells.tolist()]
    errors = skimage.color.deltaE_ciede2000(cells_lab, np.array([bead.lab for bead in beads]))
    keys = Counter(bead.kind for bead in beads)
    letters = Counter(bead.kind.rstrip("0123456789") for bead in beads)
    per_gram = {size.name: Fraction(str(size.per_gram)) for size in default_bead_sizes().sizes}
    size_of = {bead.kind: bead.size for bead in beads}
    hundredths = [ceil(100 * ceil(Fraction(11, 10) * count) / per_gram[size_of[key]]) for key, count in keys.items()]
    return {
        "k": float(len(letters)),
        "mean": errors.mean(),
        "p95": np.percentile(errors, 95),
        "to_buy": float(len(keys)),
        "rarest_colour": {f"{key}: {count:,}" for key, count in letters.items() if count == min(letters.values())},
        "rarest_bead": {f"{key}: {count:,}" for key, count in keys.items() if count == min(keys.values())},
        "grams": sum(hundredths) / 100,
    }


FIGURES = """
const figures = [...arguments[0].querySelectorAll("[data-figure]")];
return Object.fromEntries(figures.map((one) => [one.dataset.figure, one.innerText]));
"""


def check_figures(element, choice, cells_lab, *, without=()):
    shown = element.parent.execute_script(FIGURES, element)
    expected = {name: value for name, value in recomputed(choice, cells_lab).items() if name not in without}
    assert set(shown) == set(expected)
    for name, value in expected.items():
        text = shown[name]
        assert text in value if isinstance(value, set) else float(text) == pytest.approx(value, abs=0.0051), name


@pytest.fixture(scope="module")
def cells_lab():
    return flows.cells_lab(*domed_work())


def test_it_opens_without_an_error_or_a_request(page, server):
    assert page.get_log("browser") == []
    assert requests_of(page) == [server[0]]
    assert set(server[1]) == {"/colours.html"}
    assert page.execute_script("return performance.getEntriesByType('resource').length") == 0


def test_its_policy_would_stop_a_request(page, server):
    asked = list(server[1])
    script = "const done = arguments[0]; fetch('/other').then(() => done('sent'), () => done('stopped'))"
    assert page.execute_async_script(script) == "stopped"
    assert server[1] == asked
    page.execute_script(
        "const s = document.createElement('script'); s.textContent = 'window.ran = 1'; document.body.append(s)"
    )
    assert page.execute_script("return window.ran") is None
    page.get_log("browser")


def test_a_hostile_title_is_shown_and_not_run(page):
    assert page.title == f"How many colours? {TITLE}"
    assert TITLE in page.find_element(By.TAG_NAME, "header").text


def test_every_figure_agrees_with_its_recomputation(page, domed, cells_lab):
    rows = page.find_elements(By.CSS_SELECTOR, "tbody tr")
    cards = page.find_elements(By.TAG_NAME, "article")
    assert [row.get_attribute("data-k") for row in rows] == [str(choice.figures.k) for choice in domed.choices]
    for choice, row, card in zip(domed.choices, rows, cards, strict=True):
        check_figures(row, choice, cells_lab)
        check_figures(card, choice, cells_lab, without=("k",))
    marked = [row.get_attribute("data-k") for row in rows if "suggested" in row.text]
    assert marked == [str(domed.knee.k)] == [page.find_element(By.ID, "knee").get_attribute("data-k")]


def test_the_curve_shows_the_same_figures(page, domed, cells_lab):
    """Heights are read against two ticks of the axis."""
    ticks = page.execute_script(
        "return [...document.querySelectorAll('.curve text.up')].map((t, i) => [+t.textContent,"
        " +document.querySelectorAll('.curve path.rule')[i].getAttribute('d').match(/^M0 ([\\d.]+)/)[1]])"
    )
    (low, y_low), (high, y_high) = ticks[0], ticks[-1]
    points = page.execute_script(
        "return [...document.querySelectorAll('.curve g[transform] circle.mean')].map((c) => +c.getAttribute('cy'))"
    )
    shown = [low + (y - y_low) / (y_high - y_low) * (high - low) for y in points]
    expected = [recomputed(choice, cells_lab)["mean"] for choice in domed.choices]
    assert shown == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize("word", ["full", "protan", "deutan", "tritan"])
@pytest.mark.parametrize(("side", "k"), [("Left", 2), ("Right", 8)])
def test_the_large_charts_show_each_bead_in_its_colour(page, domed, side, k, word):
    """Simulated colours by colour-science (Machado et al. 2009, severity 1), within one code."""
    look(page, word)
    choose(page, side, k)
    design = next(choice.design for choice in domed.choices if choice.figures.k == k)
    grid = design.grid
    x, y = centres_mm(grid.columns, grid.rows).T
    extent = [grid.columns * LENGTH_MM, (grid.rows + 1) * DIAMETER_MM / 2]
    pixels = page.execute_script(
        "const canvas = document.querySelector(`.view[data-side='${arguments[0]}'] canvas`);"
        "const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;"
        "return arguments[1].map(([x, y]) => { const at = 4 * (Math.floor(y * canvas.height) * canvas.width"
        " + Math.floor(x * canvas.width)); return [data[at], data[at + 1], data[at + 2]]; })",
        side,
        np.stack([x / extent[0], y / extent[1]], axis=1).tolist(),
    )
    codes = np.array([list(bytes.fromhex(bead.srgb[1:])) for bead in design.beads])
    assert np.abs(np.array(pixels) - simulated(codes, word)[design.cells]).max() <= 1


def simulated(codes, word):
    with warnings.catch_warnings():
        # The library speaks of parts that are not installed, and of the limits of the model for tritan.
        warnings.simplefilter("ignore")
        import colour

        matrix = np.eye(3) if word == "full" else colour.matrix_cvd_Machado2009(MACHADO[word], 1.0)
    linear = np.clip(colour.models.eotf_sRGB(codes / 255) @ matrix.T, 0, 1)
    return np.rint(colour.models.eotf_inverse_sRGB(linear) * 255)


def test_a_view_shows_what_belongs_to_its_chart(page, domed, cells_lab):
    choose(page, "Left", 5)
    page.find_element(By.CSS_SELECTOR, 'article[data-k="7"] button[data-side="Right"]').click()
    for side, k in (("Left", 5), ("Right", 7)):
        place = page.find_element(By.CSS_SELECTOR, f'.view[data-side="{side}"] .place')
        choice = next(choice for choice in domed.choices if choice.figures.k == k)
        check_figures(place, choice, cells_lab, without=("k",))
        for colour in choice.colours:
            assert colour.seen["full"] in place.text
        label = page.find_element(By.CSS_SELECTOR, f'.view[data-side="{side}"] canvas').get_attribute("aria-label")
        assert label == f"Chart in {k} colours, seen with: full colour vision"
    assert (
        page.find_element(By.ID, "status").text == "Left: 5 colours. Right: 7 colours. Seen with: full colour vision."
    )


def test_the_keyboard_is_enough(page):
    page.find_element(By.CSS_SELECTOR, 'input[name="vision"]').send_keys(Keys.ARROW_RIGHT)
    page.switch_to.active_element.send_keys(Keys.TAB, Keys.NULL)
    page.switch_to.active_element.send_keys(Keys.ARROW_RIGHT)
    page.switch_to.active_element.send_keys(Keys.TAB)
    page.switch_to.active_element.send_keys(Keys.HOME)
    page.switch_to.active_element.send_keys(Keys.TAB)
    assert page.switch_to.active_element.get_attribute("class") == "scroller"
    status = page.find_element(By.ID, "status").text
    assert status.startswith("Left: 2 colours.")
    assert "red-blind" in status


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_stand_out_and_fit_a_narrow_screen(page, scheme):
    """Contrast of 4.5 and more: W3C, Web Content Accessibility Guidelines 2.2, success criterion 1.4.3."""
    show(page, 360, scheme)
    assert page.execute_script("return document.documentElement.scrollWidth") <= 360
    found = page.execute_script(
        "return ['h1', '.work', '.suggestion', '.notice', 'fieldset label', 'select', 'dt', 'dd', 'td', '.badge',"
        " 'code', 'button[aria-pressed=true]', 'summary', '.status']"
        ".map((name) => { let at = document.querySelector(name);"
        " const ink = getComputedStyle(at).color; let ground = 'rgba(0, 0, 0, 0)';"
        " while (ground === 'rgba(0, 0, 0, 0)') {"
        " ground = getComputedStyle(at).backgroundColor; at = at.parentElement; }"
        " return [name, ink, ground]; })"
    )
    for name, ink, ground in found:
        assert contrast(ink, ground) >= 4.5, (name, ink, ground)
    dark = luminance(found[0][2]) < 0.2
    assert dark == (scheme == "dark")


def luminance(css):
    share = np.array([int(part) for part in css[css.index("(") + 1 : -1].split(",")[:3]]) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    return float(linear @ [0.2126, 0.7152, 0.0722])


def contrast(one, other):
    darker, lighter = sorted([luminance(one), luminance(other)])
    return (lighter + 0.05) / (darker + 0.05)
