"""Whole numbers of few bits written as text, for a page to unpack."""

from base64 import b64encode

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def packed(numbers: NDArray[np.integer], kind: str) -> str:
    """Write numbers as base64 of their bytes, lowest byte first.

    Parameters
    ----------
    numbers
        Any shape; the last axis runs fastest.
    kind
        A numpy type of whole numbers: ``"u2"``, ``"i2"``, ``"i1"`` …

    Raises
    ------
    OverflowError
        When a number does not fit.

    Examples
    --------
    >>> packed(np.array([1, 256]), "u2")
    'AQAAAQ=='
    """
    room = np.iinfo(kind)
    if numbers.size and (numbers.min() < room.min or numbers.max() > room.max):
        raise OverflowError(f"a number of {kind} must lie between {room.min} and {room.max}")
    return b64encode(numbers.astype(f"<{kind}").tobytes()).decode()


def quantised(values: Floats) -> tuple[Floats, float]:
    """Bring values in mm to steps that fit into 16 bits.

    Parameters
    ----------
    values
        Shape (points, 3), about 0.

    Returns
    -------
    steps, quantum_mm
        Whole numbers from -32767 to 32767, and what one of them stands for.
    """
    quantum_mm = max(float(np.abs(values).max(initial=0)) / 32767, 1e-6)
    return np.rint(values / quantum_mm), quantum_mm
