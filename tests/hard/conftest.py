"""A studio of one's own for each test: what commands read, good files of each kind."""

import pytest
from bad_input_files import fill


@pytest.fixture
def own_studio(tmp_path, monkeypatch):
    """The folder, in which the test works."""
    folder = tmp_path / "studio"
    fill(folder, with_bad=False)
    monkeypatch.chdir(folder)
    return folder
