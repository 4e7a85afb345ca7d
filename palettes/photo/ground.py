"""The plain ground of a photograph: its colour at every place, as far as light that falls off changes it."""

from typing import NamedTuple

import numpy as np

from shared.arrays import Bools, Floats
from shared.errors import BadFileError

LEAST_SHARE = 0.15
"""The ground must fill this part of the photograph."""
MOST_NOISE = 6.0
"""A ground that scatters by more Lab units than this (median) is not plain."""

_BIN = 6
"""Lab units a side of the boxes in which the commonest colour is looked for."""
_SAMPLES = 20_000
_FITS = (3, 3, 3, 6, 6, 6, 6)
"""Terms of each fit in turn: a tilted plane, then a quadratic."""


class PlainGround(NamedTuple):
    """The ground, fitted as a quadratic in each channel of Lab."""

    terms: Floats
    """Factors of 1, u, v, u², uv, v² (u across, v down, both -1 … 1 over the photograph), shape (6, 3)."""
    bare: Bools
    """Where it is seen, in the copy it was fitted to."""
    noise: float
    """Median distance in Lab of the bare ground from the fit."""

    def lab(self, shape: tuple[int, ...]) -> Floats:
        """Return the ground's Lab over a copy of the photograph with (rows, columns) pixels."""
        return _surface(self.terms, *_net(shape))

    def shade(self, shape: tuple[int, ...]) -> Floats:
        """Return how brightly each place is lit, 1 at the photograph's middle, shape (rows, columns)."""
        return self._brightness(*_net(shape))

    def shade_at(self, across: float, down: float) -> float:
        """Return the same at one place, given in parts 0 … 1 of the photograph's sides."""
        return float(self._brightness(np.array(2 * across - 1), np.array(2 * down - 1)))

    @property
    def middle(self) -> Floats:
        """Return its Lab at the photograph's middle, shape (3,)."""
        return np.asarray(self.terms[0])

    def _brightness(self, u: Floats, v: Floats) -> Floats:
        luminance = _luminance(_surface(self.terms[:, :1], u, v)[..., 0])
        return np.asarray(np.clip(luminance / _luminance(self.middle[0]), 0.25, 4))


def find_ground(lab: Floats, *, name: str) -> PlainGround:
    """Find the commonest colour and follow it over the photograph.

    Parameters
    ----------
    lab
        A small copy, slightly smoothed, in CIELAB, shape (rows, columns, 3).

    Raises
    ------
    BadFileError
        When no colour covers enough of the photograph smoothly.
    """
    ground = _follow(lab)
    if ground.bare.mean() < LEAST_SHARE or ground.noise > MOST_NOISE:
        raise BadFileError(
            "shows no plain ground round the beads; lay the heaps apart on one sheet of plain paper or cloth "
            "and take the photograph anew",
            where=[name],
        )
    return ground


def distance_from(ground: PlainGround, lab: Floats) -> Floats:
    """Return how far each pixel of a copy lies from the ground in Lab, shape (rows, columns)."""
    return _distance(lab, ground.lab(lab.shape))


def _follow(lab: Floats) -> PlainGround:
    stride = max(1, round(np.sqrt(lab.shape[0] * lab.shape[1] / _SAMPLES)))
    u, v = _net(lab.shape)
    some, u, v = lab[::stride, ::stride], u[:, ::stride], v[::stride]
    terms = np.zeros((6, 3))
    terms[0] = _commonest(some)
    reach, distance = 2.0 * _BIN, _distance(some, _surface(terms, u, v))
    for count in _FITS:
        near = distance < reach
        terms = _fit(some[near], np.broadcast_to(u, near.shape)[near], np.broadcast_to(v, near.shape)[near], count)
        distance = _distance(some, _surface(terms, u, v))
        reach = float(np.clip(3.5 * np.median(distance[near]), 3, 2 * _BIN))
    away = _distance(lab, _surface(terms, *_net(lab.shape)))
    bare = away < reach
    return PlainGround(terms, bare, float(np.median(away[bare])) if bare.any() else np.inf)


def _commonest(lab: Floats) -> Floats:
    boxes = np.floor(lab.reshape(-1, 3) / _BIN).astype(np.int64)
    keys = (boxes + 64) @ np.array([1 << 16, 1 << 8, 1])
    values, counts = np.unique(keys, return_counts=True)
    return np.asarray(np.median(lab.reshape(-1, 3)[keys == values[counts.argmax()]], axis=0))


def _fit(lab: Floats, u: Floats, v: Floats, count: int) -> Floats:
    """Fit the first terms by least squares."""
    basis = np.stack([np.ones_like(u), u, v, u * u, u * v, v * v][:count], axis=-1)
    terms = np.zeros((6, 3))
    terms[:count] = np.linalg.lstsq(basis, lab, rcond=None)[0]
    return terms


def _distance(lab: Floats, other: Floats) -> Floats:
    return np.asarray(np.sqrt(((lab - other) ** 2).sum(axis=-1)))


def _net(shape: tuple[int, ...]) -> tuple[Floats, Floats]:
    """Return u of each column, shape (1, columns), and v of each row, shape (rows, 1)."""
    return np.linspace(-1, 1, shape[1])[None], np.linspace(-1, 1, shape[0])[:, None]


def _surface(terms: Floats, u: Floats, v: Floats) -> Floats:
    """Return a quadratic in each channel; u and v broadcast."""
    channels = [t[0] + t[1] * u + t[3] * u * u + (t[2] + t[5] * v + t[4] * u) * v for t in terms.T]
    return np.stack(channels, axis=-1)


def _luminance(lightness: Floats | np.float64) -> Floats:
    """Return Y of CIELAB lightness, white = 1. Source: CIE 015:2018, 8.2.1, turned round."""
    f = (np.maximum(lightness, 1) + 16) / 116
    return np.where(f > 6 / 29, f**3, (f - 4 / 29) * 3 * (6 / 29) ** 2)
