"""What arrays are called in annotations, once."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]
Bools = NDArray[np.bool_]
Bytes = NDArray[np.uint8]
Array = NDArray[Any]
AnyFloats = NDArray[np.floating]
"""For formulas that keep the precision of what they are given."""
