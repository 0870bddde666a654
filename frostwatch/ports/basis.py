"""What one pass over a site rested on, whole, so that it can be worked out again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from frostwatch.advice.reminders import Reminder
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import Vehicle
from frostwatch.ports.ledger import KeptState
from frostwatch.weather.forecast import Attribution
from frostwatch.weather.learning import Learnt


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FrameBasis:
    """How the air that was decided on follows from kept replies.

    Attributes:
        reply_id: number of the provider's reply, 0 if it was not kept.
        spread_reply_id: number of the ensemble's reply, 0 if none was used.
        provider: name of the provider.
        fetched_at: when the reply held as received, UTC.
        height_m: height for which the temperatures hold [m].
        grid_height_m: height of the model's own ground [m], None if unknown.
        warnings: what was mended or is doubtful.
        attribution: licence words.
        recent_c: air of the 20 days before [degC]; None if none was known.
        spread_k: spread of an ensemble or of two providers by hour [K]; None if there is none.
        earlier: columns of the hours that an earlier frame knew, shape (earlier hours,) each.
        earlier_h: how many those are [h].
        lowered_k: what the reply's air was lowered by [K].
        digest: of every column that was decided on, so that a difference shows.
    """

    reply_id: int
    spread_reply_id: int
    provider: str
    fetched_at: datetime
    height_m: float | None
    grid_height_m: float | None
    warnings: tuple[str, ...]
    attribution: tuple[Attribution, ...]
    recent_c: NDArray[np.float64] | None = None
    spread_k: NDArray[np.float64] | None = None
    earlier: Mapping[str, NDArray[np.float64]] = field(default_factory=dict)
    earlier_h: int = 0
    lowered_k: float = 0.0
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PassBasis:
    """Everything a judgement of one site was a function of, but for the record and the answers,
    which the ledger keeps anyway.

    Attributes:
        id: number in the ledger, 0 before it is kept.
        site: the site as it was entered then.
        at: moment of the pass, UTC.
        said: somebody was told something.
        people: everybody who could be told; without their addresses.
        vehicles: what stood there.
        reminders: what stood between people and vehicles before.
        judged_to: up to when readings had been served before, UTC.
        states: where the heat models stood before.
        members: number of members.
        learnt: what the site's nights had taught; None for the default law.
        frame: the air it rested on; None without any forecast.
        under_way: vehicles that somebody was making ready for a handover.
    """

    id: int = 0
    site: Site
    at: datetime
    said: bool
    people: tuple[Person, ...]
    vehicles: tuple[Vehicle, ...]
    reminders: tuple[Reminder, ...]
    judged_to: datetime | None
    states: tuple[KeptState, ...]
    members: int
    learnt: Learnt | None
    frame: FrameBasis | None
    under_way: tuple[str, ...] = ()


class BasisStore(Protocol):
    """Where it is kept: a season for what was said, a fortnight for silence."""

    def listed(self, site: str, *, since: datetime) -> Sequence[PassBasis]:
        """Kept passes over a site since then, oldest first."""
        ...

    def at(self, site: str, moment: datetime) -> PassBasis | None:
        """The last kept pass over a site up to a moment, None if there is none."""
        ...
