"""Pages that hold all they need: their parts written into them, and a policy that allows these and nothing else."""

import hashlib
from base64 import b64encode
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray


def read_part(package: str, name: str) -> str:
    """Return the text of a file that lies in a package of ours."""
    return files(package).joinpath(name).read_text("utf-8")


def render_page(package: str, name: str, *, style: str, script: str = "", pictures: bool = False, **values: Any) -> str:
    """Fill a page that lies in a package of ours.

    Parameters
    ----------
    package, name
        Where the page is: a Jinja template, in which all values are escaped.
    style, script
        Our own texts, written in as they are and allowed by the page's policy.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    loader = PackageLoader(package, "")
    pages = Environment(loader=loader, autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    return pages.get_template(name).render(
        # Not a user's words.
        style=Markup(style),  # noqa: S704
        script=Markup(script),  # noqa: S704
        policy=content_policy(style, script, pictures=pictures),
        **values,
    )


def content_policy(style: str, script: str = "", *, pictures: bool = False) -> str:
    """Return the policy that allows these two texts and nothing else. Source: W3C, Content Security Policy Level 3.

    Examples
    --------
    >>> content_policy("", "x").startswith("default-src 'none'; style-src 'sha256-47DEQ")
    True
    """
    rules = ["default-src 'none'", f"style-src {_hash(style)}"]
    rules += [f"script-src {_hash(script)}"] if script else []
    rules += ["img-src data:"] if pictures else []
    return "; ".join([*rules, "base-uri 'none'", "form-action 'none'"])


def pack(numbers: NDArray[np.integer], dtype: str) -> str:
    """Write numbers as base64 of their bytes, lowest byte first.

    Parameters
    ----------
    numbers
        Any shape; the last axis runs fastest.
    dtype
        A numpy type of whole numbers: ``"u2"``, ``"i2"``, ``"i1"`` …

    Raises
    ------
    OverflowError
        When a number does not fit.

    Examples
    --------
    >>> pack(np.array([1, 256]), "u2")
    'AQAAAQ=='
    """
    room = np.iinfo(dtype)
    if numbers.size and (numbers.min() < room.min or numbers.max() > room.max):
        raise OverflowError(f"a number of {dtype} must lie between {room.min} and {room.max}")
    return b64encode(numbers.astype(f"<{dtype}").tobytes()).decode()


def _hash(text: str) -> str:
    return f"'sha256-{b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
