"""What the stitch page would never do: ask for anything, or run a design's words."""

import pytest
from selenium.webdriver.common.by import By
from stitch_page_driver import TITLE

pytestmark = pytest.mark.outside


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
    assert page.title == f"{TITLE}: stitch page"
    assert page.find_element(By.TAG_NAME, "h1").text == TITLE
