"""Pages that hold all they need: their parts written into them, and a policy that allows these and nothing else."""

import hashlib
from base64 import b64encode
from importlib.resources import files


def part(package: str, name: str) -> str:
    """Return the text of a file that lies in a package of ours."""
    return files(package).joinpath(name).read_text("utf-8")


def policy(style: str, script: str) -> str:
    """Allow these two texts and nothing else. Source: W3C, Content Security Policy Level 3.

    Examples
    --------
    >>> policy("", "").startswith("default-src 'none'; style-src 'sha256-47DEQ")
    True
    """
    hashes = [b64encode(hashlib.sha256(text.encode()).digest()).decode() for text in (style, script)]
    allowed = f"style-src 'sha256-{hashes[0]}'; script-src 'sha256-{hashes[1]}'"
    return f"default-src 'none'; {allowed}; base-uri 'none'; form-action 'none'"
