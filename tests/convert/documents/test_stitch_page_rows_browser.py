"""Stitching with the stitch page in a real browser: rows are ticked, undone and leapt over, all of a bracelet."""

import pytest
from browser import requests_of
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from stitch_page_driver import DESIGNS, check_row, click, press, text
from stitch_page_oracle import sayings

pytestmark = pytest.mark.outside


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
    assert text(page, "repeats") == "10 of 10 repeats done; the last is a part of one"
    press(page, Keys.SPACE)
    page.refresh()
    assert page.find_element(By.ID, "row").text == "Finished"
    assert page.get_log("browser") == []
    assert server[1][asked:] == ["/waves.html", "/waves.html"]
    assert requests_of(page) == [f"{server[0]}/waves.html"]
    assert page.execute_script("return performance.getEntriesByType('resource').length") == 0


@pytest.mark.parametrize("name", ["other", "left", "narrow", "pairs"])
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


def test_marking_words_or_dragging_over_the_beads_is_no_tap(opened):
    page = opened()
    runs = page.find_element(By.ID, "runs")
    page.execute_script("arguments[0].scrollIntoView({ block: 'center' })", runs)
    across = runs.rect["width"] // 3
    drag = ActionChains(page).move_to_element_with_offset(runs, -across, 0).click_and_hold()
    drag.move_by_offset(across, 0).release().perform()
    assert text(page, "row").startswith("Rows 1 and 2 ")
    page.execute_script("getSelection().removeAllRanges()")
    slip = ActionChains(page).move_to_element_with_offset(runs, across, 0).click_and_hold()
    slip.move_by_offset(3, 2).release().perform()
    assert text(page, "row").startswith("Row 3 ")
    page.execute_script(
        "getSelection().selectAllChildren(arguments[0].querySelector('.label')); arguments[0].click()", runs
    )
    assert text(page, "row").startswith("Row 3 ")
    page.execute_script("getSelection().selectAllChildren(document.querySelector('h1')); arguments[0].click()", runs)
    assert text(page, "row").startswith("Row 4 ")


def test_a_step_back_undoes_ticks_and_leaps(opened):
    page = opened()
    press(page, Keys.SPACE, Keys.SPACE, Keys.SPACE)
    assert text(page, "row").startswith("Row 5 ")
    press(page, Keys.ARROW_LEFT)
    assert text(page, "row").startswith("Row 4 ")
    page.find_element(By.ID, "jump-row").send_keys("100", Keys.ENTER)
    assert text(page, "row").startswith("Row 100 ")
    assert text(page, "repeat") == "Repeat 7 of 10, row 1 of 16"
    click(page, "#undo")
    assert text(page, "row").startswith("Row 4 ")
    press(page, Keys.BACKSPACE, Keys.BACKSPACE, Keys.BACKSPACE, Keys.BACKSPACE)
    assert text(page, "row").startswith("Rows 1 and 2 ")
    assert not page.find_element(By.ID, "undo").is_enabled()


def test_a_key_held_down_ticks_once(opened):
    page = opened()
    key = {"type": "keyDown", "key": "ArrowRight", "code": "ArrowRight", "windowsVirtualKeyCode": 39}
    for repeated in (False, True, True):
        page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"autoRepeat": repeated})
    page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"type": "keyUp"})
    assert text(page, "row").startswith("Row 3 ")


def test_enter_held_down_on_a_button_presses_it_once(opened):
    page = opened()
    key = {"type": "keyDown", "key": "Enter", "code": "Enter", "windowsVirtualKeyCode": 13, "text": "\r"}
    for button, row in (("tick", "Row 3 "), ("tick", "Row 4 "), ("undo", "Row 3 ")):
        page.execute_script("document.getElementById(arguments[0]).focus()", button)
        for repeated in (False, True, True):
            page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"autoRepeat": repeated})
        page.execute_cdp_cmd("Input.dispatchKeyEvent", key | {"type": "keyUp"})
        assert text(page, "row").startswith(row)


def test_space_ticks_after_a_click_on_chart_or_shape(opened):
    page = opened()
    scroller = page.find_element(By.ID, "scroller")
    page.execute_script("arguments[0].focus()", scroller)
    press(page, Keys.SPACE)
    assert text(page, "row").startswith("Rows 1 and 2 ")  # it scrolls the chart for who came by keyboard
    for number, name in enumerate(("scroller", "space"), 3):
        click(page, f"#{name}")
        assert page.switch_to.active_element.get_attribute("id") == name
        press(page, Keys.SPACE)
        assert text(page, "row").startswith(f"Row {number} ")
    press(page, Keys.ARROW_RIGHT)
    assert text(page, "row").startswith("Row 4 ")  # the arrow turned the shape
    page.execute_script("document.activeElement.blur(); arguments[0].focus()", scroller)
    press(page, Keys.SPACE)
    assert text(page, "row").startswith("Row 4 ")


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


def test_it_says_where_she_is_in_the_repeat(opened):
    page = opened()
    assert text(page, "repeat") == "First rows, before the repeat"
    press(page, *[Keys.SPACE] * 20)
    assert text(page, "row").startswith("Row 22 ")
    assert text(page, "repeat") == "Repeat 2 of 10, row 3 of 16"
    assert text(page, "repeats") == "1 of 10 repeats done; the last is a part of one"
    boxes = page.find_elements(By.CSS_SELECTOR, "#tally li")
    assert [box.get_attribute("class") for box in boxes] == ["done", "now", *[""] * 8]
