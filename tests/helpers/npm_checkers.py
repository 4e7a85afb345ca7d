"""Programs from npm that check what was written."""

import shutil
import subprocess
import tempfile
from pathlib import Path

import pytest


def npm_package(package):
    """Install ``name@version`` once, into a folder that later runs find again; return node and that folder."""
    npm, node = shutil.which("npm"), shutil.which("node")
    if not npm or not node:
        pytest.fail(f"{package} needs Node.js 18 or newer: install nodejs and npm (on Debian: apt install nodejs npm)")
    folder = Path(tempfile.gettempdir()) / f"hummock-{package.replace('@', '-')}"
    if not (folder / "node_modules" / package.split("@")[0] / "package.json").exists():
        folder.mkdir(exist_ok=True)
        words = [npm, "install", "--no-audit", "--no-fund", "--prefix", str(folder), package]
        run = subprocess.run(words, capture_output=True, text=True, check=False)
        assert run.returncode == 0, f"npm could not install {package}; look at the network: {run.stderr[-400:]}"
    return node, folder
