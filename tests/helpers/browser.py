"""Headless Chromium, driven through selenium, and pages served to it."""

import functools
import http.server
import json
import shutil
import threading
from contextlib import contextmanager

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
    "--window-size=1280,900",
)


@contextmanager
def opened_browser(profile, *more):
    """Open a browser with a fresh profile in a folder, and close it in the end."""
    chromium, driver = shutil.which("chromium"), shutil.which("chromedriver")
    if chromium is None or driver is None:
        pytest.fail("no Chromium here; install it and its driver: apt-get install chromium chromium-driver")
    options = webdriver.ChromeOptions()
    options.binary_location = chromium
    for flag in (*FLAGS, *more, f"--user-data-dir={profile}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    opened = webdriver.Chrome(options=options, service=Service(driver))
    opened.set_script_timeout(20)
    opened.get("about:blank")  # in place of the page of a new tab, which would still be loading
    try:
        yield opened
    finally:
        opened.quit()


@contextmanager
def served(folder):
    """Serve a folder; yield its address and the list of paths that were asked for so far."""
    asked = []

    class Handler(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            asked.append(self.path)

    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Handler, directory=folder)) as serving:
        thread = threading.Thread(target=serving.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{serving.server_port}", asked
        serving.shutdown()
        thread.join()


def show(browser, width, scheme, **features):
    """Set the width of the screen, the colour scheme, and other media features (``prefers_contrast="more"`` …)."""
    screen = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", screen)
    wanted = {"prefers-color-scheme": scheme, "prefers-reduced-motion": "reduce"}
    wanted |= {name.replace("_", "-"): value for name, value in features.items()}
    listed = [{"name": name, "value": value} for name, value in wanted.items()]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": listed})


def requests_of(browser):
    """Return the addresses that were asked for since the last call."""
    messages = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    sent = [message["params"] for message in messages if message["method"] == "Network.requestWillBeSent"]
    return [params["request"]["url"] for params in sent]
