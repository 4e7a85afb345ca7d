"""The kinds of arrays that values are made of."""

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

AnyFloats = NDArray[np.floating]
"""For formulas that keep the precision of what they are given."""
