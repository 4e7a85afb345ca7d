"""The stitch page served and opened, for the tests that stitch with it."""

import pytest
from browser import served, show
from stitch_page_driver import DESIGNS
from stitch_page_oracle import page_of


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
