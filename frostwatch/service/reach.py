"""How far ahead the nights of a site must be known to say what is to be said at one moment.

A look-back steps the heat model thousands of times. What lies beyond the reach enters no message
and no reason, so a replay leaves it out; a running service works the whole forecast out, for its
pages show it.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import islice

from frostwatch.advice.verdict import CHECK_H, NOTICE_H
from frostwatch.advice.view import Book, SiteView
from frostwatch.fleet.people import Duty
from frostwatch.records.entries import State
from frostwatch.weather.site_air import SiteAir

SLOTS_LOOKED_AT = 4
"""Outlooks and work that does not fit look at the third slot from now; one more is spare."""
SPARE_H = 4.0


def reach_h(view: SiteView, now: datetime) -> float:
    """Hours ahead that count for anybody at the site."""
    return SPARE_H + max(
        (hours for book in view.books for hours in _asked(view, book, now)), default=NOTICE_H
    )


def _asked(view: SiteView, book: Book, now: datetime) -> Iterator[float]:
    yield NOTICE_H
    for slot in islice(book.diary.slots(now), SLOTS_LOOKED_AT):
        yield (slot.end - now) / timedelta(hours=1)
    reads = book.diary.has_read(view.judged_to, now) is not None
    if reads and (_has_unknown(book) or book.person.duty in (Duty.OPERATOR, Duty.DEALER)):
        yield CHECK_H


def _has_unknown(book: Book) -> bool:
    """Something of which nobody knows what is in it: it is asked for a week ahead."""
    return any(entry.state is State.UNKNOWN for van in book for entry in van.water)


def within_reach(air: SiteAir, hours: float) -> SiteAir:
    """The air up to so many hours ahead."""
    end = air.now_index + math.ceil(hours) + 1
    if end >= air.air_c.shape[1]:
        return air
    return replace(
        air,
        air_c=air.air_c[:, :end],
        wind_m_per_s=air.wind_m_per_s[:end],
        roof_k=air.roof_k[:end],
        error_k=air.error_k[:end] if air.error_k is not None else None,
    )
