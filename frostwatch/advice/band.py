"""Three readings of one quantity over the hours: cold, likely and mild, as people are shown it."""

from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from numpy.typing import NDArray

COLD, LIKELY, MILD = 0.10, 0.50, 0.90
"""Cold is what one member in ten undercuts, mild what one in ten exceeds."""
HOUR = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A quantity hour by hour [degC]; the three tuples are equally long.

    Attributes:
        start: moment of the first value, a whole hour, UTC.
        cold: one member in ten lies below.
        likely: the median member.
        mild: one member in ten lies above.
    """

    start: datetime
    cold: tuple[float, ...]
    likely: tuple[float, ...]
    mild: tuple[float, ...]

    @property
    def hours(self) -> int:
        """Hours from the first value to the last."""
        return max(0, len(self.likely) - 1)

    @property
    def end(self) -> datetime:
        """Moment of the last value, UTC."""
        return self.start + self.hours * HOUR

    def until(self, end: datetime) -> "Band":
        """The same, no further than ``end``."""
        count = max(1, int((end - self.start) // HOUR) + 1)
        return Band(
            start=self.start,
            cold=self.cold[:count],
            likely=self.likely[:count],
            mild=self.mild[:count],
        )

    def between(self, start: datetime, end: datetime) -> "Band | None":
        """The hours from ``start`` to ``end`` that are known; None where fewer than two are."""
        first = max(0, -((self.start - start) // HOUR))
        last = min(self.hours, int((end - self.start) // HOUR))
        if last <= first:
            return None
        cut = slice(first, last + 1)
        return Band(
            start=self.start + first * HOUR,
            cold=self.cold[cut],
            likely=self.likely[cut],
            mild=self.mild[cut],
        )

    def lowest(self) -> tuple[datetime, float, float]:
        """When it is likely lowest, UTC; the likely value then, and the cold one."""
        index = int(np.argmin(self.likely))
        return self.start + index * HOUR, self.likely[index], self.cold[index]


def band_of(values_c: NDArray[np.floating], start: datetime) -> Band:
    """The band of members, each rounded to 0.1 K.

    Args:
        values_c: shape (M, H + 1) [degC], no NaN.
        start: moment of index 0, UTC.
    """
    cold, likely, mild = picked(values_c[None], (COLD, LIKELY, MILD))[:, 0]
    return Band(start=start, cold=tenths(cold), likely=tenths(likely), mild=tenths(mild))


def picked(values: NDArray[np.floating], shares: tuple[float, ...]) -> NDArray[np.floating]:
    """Member values at these shares, NaN left out; the nearest member, nothing in between.

    Args:
        values: shape (I, M, H + 1).
        shares: 0 for the lowest member, 1 for the highest.

    Returns:
        Shape (shares, I, H + 1); NaN where no member has a value.
    """
    ordered = np.sort(np.moveaxis(values, 1, -1), axis=-1)  # NaN comes last
    members = ordered.shape[-1]
    if not np.isnan(ordered[..., -1:]).any():
        at = [round(share * (members - 1)) for share in shares]
        return np.moveaxis(ordered[..., at], -1, 0)
    known = members - np.count_nonzero(np.isnan(ordered), axis=-1)
    found = []
    for share in shares:
        index = np.rint(share * np.maximum(known - 1, 0)).astype(np.intp)
        found.append(np.take_along_axis(ordered, index[..., None], axis=-1)[..., 0])
    return np.stack(found)


def tenths(values: NDArray[np.floating]) -> tuple[float, ...]:
    """Values rounded to one decimal."""
    return tuple(rounded(values, 1).tolist())


def rounded(values: NDArray[np.floating], decimals: int) -> NDArray[np.floating]:
    """Values as they are kept."""
    return np.round(values.astype(np.float64), decimals)
