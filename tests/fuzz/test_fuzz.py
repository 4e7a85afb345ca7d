"""A short run of the fuzzer over each reader; DEVELOPERS.md says how to make a long one."""

import subprocess
import sys
from pathlib import Path

import pytest
from readers import READERS


@pytest.mark.outside
@pytest.mark.parametrize("name", READERS)
def test_nothing_is_found_in_a_few_seconds(name, tmp_path):
    words = [name, "--seconds", "4", "--finds", str(tmp_path / "finds")]
    run = subprocess.run([sys.executable, str(Path(__file__).parent), *words], capture_output=True, check=False)
    told = run.stderr.decode(errors="replace")
    assert run.returncode == 0, told
    assert "stat::number_of_executed_units" in told
    assert not list((tmp_path / "finds").iterdir())
