"""A browser for the tests that need one."""

import pytest
from browser import opened_browser


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with opened_browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened
