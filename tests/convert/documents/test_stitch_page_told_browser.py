"""What the stitch page tells beside the rows: checks, what happened, the row aloud, the time to the end."""

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from stitch_page_driver import DESIGNS, changed, click, press, text
from stitch_page_oracle import CHECKS, sayings

pytestmark = pytest.mark.outside


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


def test_a_card_after_the_last_row_is_seen_too(opened):
    page = opened("other")
    press(page, *[Keys.SPACE] * len(sayings(DESIGNS["other"])))
    assert text(page, "row") == "Finished"
    assert text(page, "check").split("\n")[:2] == ["Check now, after row 24", CHECKS[24][0]]
    click(page, "#checked")
    assert not page.find_element(By.ID, "check").is_displayed()
    assert page.switch_to.active_element.get_attribute("id") == "row"
    page.refresh()
    assert page.find_element(By.ID, "check").is_displayed()


def test_what_happens_is_said(opened):
    """The status role is a polite live region: W3C, WAI-ARIA 1.2, "status"."""
    page = opened()
    press(page, *[Keys.SPACE] * 7)
    said = "return new Promise((done) => setTimeout(() => done(document.getElementById('said').textContent), 150))"
    first = sayings(DESIGNS["waves"])[7]
    expected = f"Row 9, {first.direction}, {first.count} beads: {', '.join(first.runs)}; then the odd-count turn."
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
        assert words.startswith(f"{said.name}, {said.direction}, {said.count} beads: ")
        runs = words.split(": ")[1].split(";")[0].split(", ")
        assert tuple(run.replace(" ", "") for run in runs) == tuple(run.replace(" ", "") for run in said.runs)


def test_without_speech_nothing_is_offered(opened):
    page = opened()
    assert page.find_element(By.ID, "aloud").is_displayed()
    with changed(page, "delete window.speechSynthesis; delete Window.prototype.speechSynthesis"):
        page.refresh()
        assert page.execute_script("return 'speechSynthesis' in window") is False
        assert not page.find_element(By.ID, "aloud").is_displayed()
        press(page, Keys.SPACE)
        assert page.get_log("browser") == []


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


def test_rows_ticked_to_catch_up_are_no_measure_of_her_pace(opened):
    """Just under a second a bead counts for nothing, a second does; then two seconds a bead for most of the rows."""
    page = opened()
    every = sayings(DESIGNS["waves"])
    page.execute_script("window.now = 1e12; Date.now = () => window.now")
    paces = [0.98] * 12 + [1] * 2 + [2] * 3
    for number, (said, pace) in enumerate(zip(every, paces, strict=False)):
        page.execute_script("window.now += 1000 * arguments[0]", pace * said.count)
        press(page, Keys.SPACE)
        missing = 5 - max(0, number - 11)
        if missing:
            rows = f"{missing} more row{'' if missing == 1 else 's'}"
            expected = f"The time to the end is shown after {rows} ticked one after another, each when it is stitched."
            assert text(page, "pace") == expected
    minutes = round(sum(said.count for said in every[len(paces) :]) * 2 / 60)
    assert text(page, "pace") == f"About {minutes} minutes to the end at your own pace, without pauses."
    assert "faster than a bead a second" in page.find_element(By.CSS_SELECTOR, "[aria-labelledby=look-title]").text
