"""Her place on the stitch page: kept on this device, taken to another, begun again."""

import json

import pytest
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from stitch_page_driver import changed, click, press, text

pytestmark = pytest.mark.outside


def test_a_tick_taken_back_is_no_measure_of_her_pace(opened):
    page = opened()
    press(page, Keys.SPACE, Keys.SPACE, Keys.SPACE, Keys.ARROW_LEFT)
    click(page, "summary")
    click(page, "#export")
    kept = json.loads(page.find_element(By.ID, "kept").get_property("value"))
    assert (kept["done"], [step for step, _ in kept["ticks"]]) == (2, [0, 1])


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
        ("row 42", "no place from a stitch page"),
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


def test_without_storage_she_is_told(opened):
    refused = "get() { throw new DOMException('no', 'SecurityError'); }"
    page = opened()
    with changed(page, f"Object.defineProperty(window, 'localStorage', {{ {refused} }})"):
        page.refresh()
        assert "does not keep your place" in text(page, "trouble")
        press(page, Keys.SPACE)
        assert text(page, "row").startswith("Row 3 ")
        assert page.get_log("browser") == []


def test_with_storage_she_is_not(opened):
    assert not opened().find_element(By.ID, "trouble").is_displayed()


def test_a_second_tab_follows(opened, server):
    page = opened()
    first = page.current_window_handle
    page.switch_to.new_window("tab")
    page.get(f"{server[0]}/waves.html")
    press(page, Keys.SPACE, Keys.SPACE)
    page.close()
    page.switch_to.window(first)
    assert text(page, "row").startswith("Row 4 ")


def test_a_look_is_kept(opened):
    page = opened()
    click(page, "input[value=contrast]")
    page.refresh()
    assert page.execute_script("return document.documentElement.dataset.look") == "contrast"
    assert page.find_element(By.CSS_SELECTOR, "input[value=contrast]").is_selected()
    assert page.execute_script("return getComputedStyle(document.body).backgroundColor") == "rgb(0, 0, 0)"
