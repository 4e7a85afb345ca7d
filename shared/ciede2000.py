"""How far apart two colours look: CIEDE2000.

Symbols follow G. Sharma, W. Wu and E. N. Dalal, "The CIEDE2000 Color-Difference Formula: Implementation Notes,
Supplementary Test Data, and Mathematical Observations", Color Research and Application 30(1), 2005; equation
numbers are theirs.
"""

import numpy as np
from numpy.typing import NDArray

from shared.arrays import AnyFloats

BLOCK = 128
"""Rows of a difference table that are worked out together: few enough to stay in the processor's cache."""


def ciede2000(lab_1: AnyFloats, lab_2: AnyFloats) -> AnyFloats:
    """Return the CIEDE2000 difference with k_L = k_C = k_H = 1.

    Parameters
    ----------
    lab_1, lab_2
        CIELAB, shapes (…, 3) that broadcast together. The precision of the inputs is kept: float32 is right to 2e-5.

    Returns
    -------
    ndarray
        Differences, shape (…).
    """
    L_1, a_1, b_1 = np.moveaxis(np.asarray(lab_1), -1, 0)
    L_2, a_2, b_2 = np.moveaxis(np.asarray(lab_2), -1, 0)
    C_bar_7 = ((np.hypot(a_1, b_1) + np.hypot(a_2, b_2)) / 2) ** 7
    stretch = 1.5 - 0.5 * np.sqrt(C_bar_7 / (C_bar_7 + 25.0**7))  # 1 + G, (4)
    a_p_1, a_p_2 = stretch * a_1, stretch * a_2  # (5)
    C_p_1, C_p_2 = np.hypot(a_p_1, b_1), np.hypot(a_p_2, b_2)  # (6)
    h_p_1, h_p_2 = _hue(a_p_1, b_1), _hue(a_p_2, b_2)  # (7)
    grey = C_p_1 * C_p_2 == 0
    dh_p = np.where(grey, 0, _turned(h_p_2 - h_p_1))  # (10)
    dH_p = 2 * np.sqrt(C_p_1 * C_p_2) * np.sin(np.radians(dh_p) / 2)  # (11)
    L_bar_p, C_bar_p = (L_1 + L_2) / 2, (C_p_1 + C_p_2) / 2  # (12), (13)
    h_bar_p = np.where(grey, h_p_1 + h_p_2, _mean_hue(h_p_1, h_p_2))  # (14)
    T = (
        1
        - 0.17 * np.cos(np.radians(h_bar_p - 30))
        + 0.24 * np.cos(np.radians(2 * h_bar_p))
        + 0.32 * np.cos(np.radians(3 * h_bar_p + 6))
        - 0.20 * np.cos(np.radians(4 * h_bar_p - 63))
    )  # (15)
    S_L = 1 + 0.015 * (L_bar_p - 50) ** 2 / np.sqrt(20 + (L_bar_p - 50) ** 2)  # (18)
    S_C, S_H = 1 + 0.045 * C_bar_p, 1 + 0.015 * C_bar_p * T  # (19), (20)
    d_L, d_C, d_H = (L_2 - L_1) / S_L, (C_p_2 - C_p_1) / S_C, dH_p / S_H
    rotation = _rotation(h_bar_p, C_bar_p) * d_C * d_H
    return np.asarray(np.sqrt(np.maximum(d_L**2 + d_C**2 + d_H**2 + rotation, 0)))  # (22)


def difference_table(labs: AnyFloats, palette: AnyFloats) -> NDArray[np.float32]:
    """Return the CIEDE2000 difference of each colour to each of a palette.

    Parameters
    ----------
    labs
        Shape (n, 3).
    palette
        Shape (k, 3).

    Returns
    -------
    ndarray of float32
        Shape (n, k); right to 2e-5.
    """
    labs32, palette32 = labs.astype(np.float32), palette.astype(np.float32)
    table = np.empty((len(labs32), len(palette32)), np.float32)
    for top in range(0, len(labs32), BLOCK):
        table[top : top + BLOCK] = ciede2000(labs32[top : top + BLOCK, None], palette32[None])
    return table


def _hue(a: AnyFloats, b: AnyFloats) -> AnyFloats:
    """Return the hue angle in degrees, 0 … 360; 0 for a grey."""
    return np.degrees(np.arctan2(b, a)) % 360


def _turned(difference: AnyFloats) -> AnyFloats:
    """Bring a difference of two hues into -180 … 180 degrees."""
    back = np.where(difference > 180, difference - 360, difference)
    return np.where(back < -180, back + 360, back)


def _mean_hue(h_1: AnyFloats, h_2: AnyFloats) -> AnyFloats:
    """Return the mean of two hues the short way round, in degrees."""
    total = h_1 + h_2
    around = np.where(total < 360, total + 360, total - 360)
    return np.where(np.abs(h_1 - h_2) <= 180, total, around) / 2


def _rotation(h_bar_p: AnyFloats, C_bar_p: AnyFloats) -> AnyFloats:
    """Return R_T, (16), (17) and (21)."""
    d_theta = 30 * np.exp(-(((h_bar_p - 275) / 25) ** 2))
    R_C = 2 * np.sqrt(C_bar_p**7 / (C_bar_p**7 + 25.0**7))
    return np.asarray(-np.sin(np.radians(2 * d_theta)) * R_C)
