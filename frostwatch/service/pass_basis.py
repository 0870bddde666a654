"""What a judgement rests on, taken down while it is made."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

import numpy as np

from frostwatch.advice.view import SiteView
from frostwatch.fleet.people import Channel, Person
from frostwatch.ports import FrameBasis, KeptState, PassBasis
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.learning import Learnt

SOMEWHERE = "outbox://local"
"""Stands for an address: that somebody can be reached bears on a decision, where does not."""


def basis_of(
    view: SiteView,
    now: datetime,
    *,
    said: bool,
    states: Sequence[KeptState],
    members: int,
    learnt: Learnt | None,
    forecast: Forecast | None,
    under_way: Iterable[str] = (),
) -> PassBasis:
    """The basis of one pass over one site.

    Args:
        view: what the judgement looks at.
        now: moment of the pass, UTC.
        said: somebody is told something.
        states: where the heat models of the site stood before.
        members: number of members.
        learnt: what the site's nights had taught.
        forecast: the frame, as handed to the pass, usable or not.
        under_way: vehicles that somebody is making ready just now.
    """
    return PassBasis(
        site=view.site,
        at=now,
        said=said,
        people=tuple(_without_addresses(person) for person in view.people),
        vehicles=tuple(van.vehicle for van in view.vehicles),
        reminders=view.reminders,
        judged_to=view.judged_to,
        states=tuple(states),
        members=members,
        learnt=learnt,
        frame=None if forecast is None else _frame_of(forecast),
        under_way=tuple(sorted({van.vehicle.key for van in view.vehicles} & set(under_way))),
    )


def _without_addresses(person: Person) -> Person:
    channels = tuple(
        Channel(name=one.name, address=SOMEWHERE, form=one.form) for one in person.channels
    )
    return replace(person, channels=channels)


def _frame_of(forecast: Forecast) -> FrameBasis:
    earlier_h = forecast.earlier_h
    return FrameBasis(
        reply_id=forecast.reply_id,
        spread_reply_id=forecast.spread_reply_id,
        provider=forecast.provider,
        fetched_at=forecast.fetched_at,
        height_m=forecast.height_m,
        grid_height_m=forecast.grid_height_m,
        warnings=forecast.warnings,
        attribution=forecast.attribution,
        recent_c=forecast.recent_c,
        spread_k=forecast.columns.get("air_spread_k"),
        earlier={name: values[:earlier_h] for name, values in forecast.columns.items()}
        if earlier_h
        else {},
        earlier_h=earlier_h,
        lowered_k=forecast.lowered_k,
        digest=digest_of(forecast),
    )


def digest_of(forecast: Forecast) -> str:
    """A short word that differs as soon as any value of any column does."""
    digest = hashlib.blake2b(forecast.start.isoformat().encode(), digest_size=16)
    for name in sorted(forecast.columns):
        digest.update(name.encode())
        digest.update(np.ascontiguousarray(forecast.columns[name], dtype="<f8").tobytes())
    return digest.hexdigest()
