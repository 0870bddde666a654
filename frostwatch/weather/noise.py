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

    First-order autoregressive, averaged over five hours: the hour-to-hour jitter of such a series
    is no property of forecasts and would by itself make every night minimum colder.

    Args:
        seeds: what the noise depends on -> its share of the variance.
        hour: number of the first hour since 1970.
        hours: how many.
        count: number of members M.
        along_h: e-folding time of the correlation [h].
    """
    first_block = (hour - WARM_UP_H) // BLOCK_H
    blocks = range(first_block, (hour + hours + 1) // BLOCK_H + 1)
    draws = np.zeros((len(blocks) * BLOCK_H, count))
    for seed, share in seeds.items():
        draws += math.sqrt(share) * np.concatenate([_block(seed, n, count) for n in blocks])
    decay = math.exp(-1.0 / along_h)
    draws[1:] *= math.sqrt(1.0 - decay**2)
    fading = decay ** np.arange(len(draws), dtype=np.float64)[:, None]
    running = np.cumsum(draws / fading, axis=0) * fading
    at = hour - first_block * BLOCK_H
    shares = _smoothing(decay)
    noise = np.zeros((hours, count))
    for shift, share in zip(range(-2, 3), shares, strict=True):
        noise += share * running[at + shift : at + shift + hours]
    return noise


def _block(seed: str, block: int, count: int) -> Series:
    """Stratified draws of one block of hours, shape (BLOCK_H, M)."""
    rows = np.tile(normal_quantiles(count), (BLOCK_H, 1))
    return generator(seed, count, block).permuted(rows, axis=1)


@lru_cache(maxsize=8)
def _smoothing(decay: float) -> Series:
    """Weights of five neighbouring hours that leave the variance at 1, shape (5,)."""
    shares = np.array([1.0, 2.0, 3.0, 2.0, 1.0])
    apart = np.abs(np.subtract.outer(np.arange(5), np.arange(5)))
    scaled: Series = shares / math.sqrt(float(shares @ decay**apart @ shares))
    return scaled
