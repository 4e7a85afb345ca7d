"""A browser for the tests that need one, and what is decoded of pictures."""

import pytest
from browser import opened_browser
from PIL import ImageFile


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    with opened_browser(tmp_path_factory.mktemp("profile")) as opened:
        yield opened


@pytest.fixture
def decoded_formats(monkeypatch):
    """The formats of the images whose pixels were asked for."""
    formats = []
    load = ImageFile.ImageFile.load

    def noted(image):
        formats.append(image.format)
        return load(image)

    monkeypatch.setattr(ImageFile.ImageFile, "load", noted)
    return formats
