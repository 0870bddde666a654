"""What a pass carries along for one site, and what it reports in the end."""

from dataclasses import dataclass, field
from datetime import datetime

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.judge import Judgement
from frostwatch.advice.night_view import NightView
from frostwatch.advice.view import SiteView
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording.draft import Draft
from frostwatch.ports import Book, KeptState
from frostwatch.service.nights import Van
from frostwatch.service.stand_ins import Unattended
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.learning import Learnt
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from frostwatch.weather.site_air import SiteAir


@dataclass(slots=True, kw_only=True, eq=False)
class SiteWork:
    """One site on its way through a pass.

    Attributes:
        due: somebody could be told something; if not, only its pages are made anew.
        drafts: what is said, plans of handovers included.
        failed: why nothing came of it, "" if something did.
        found: the forecast that was found, usable or not.
        learnt: what the site's nights taught; None for the default law.
        left_out: vehicles that cannot be reckoned with, each with its cause.
        unattended: nobody is entered who could be told of some of its vehicles, and who is told
            instead; None where everything is looked after.
    """

    site: Site
    vans: tuple[Van, ...]
    view: SiteView
    forecast: Forecast | None = None
    found: Forecast | None = None
    learnt: Learnt | None = None
    why_none: str = ""
    air: SiteAir | None = None
    nights: dict[str, VehicleNight] = field(default_factory=dict)
    states: dict[str, KeptState] = field(default_factory=dict)
    shown: dict[str, NightView] = field(default_factory=dict)
    due: bool = True
    judgement: Judgement | None = None
    drafts: tuple[Draft, ...] = ()
    messages: int = 0
    failed: str = ""
    left_out: tuple[str, ...] = ()
    unattended: Unattended | None = None

    @property
    def law(self) -> ErrorLaw:
        """How wrong forecasts are there."""
        return DEFAULT_LAW if self.learnt is None else self.learnt.law

    @property
    def wet(self) -> tuple[Van, ...]:
        """Vehicles that hold water, or may."""
        return tuple(van for van in self.vans if van.is_wet)

    @property
    def stepped(self) -> tuple[Van, ...]:
        """Vehicles that the heat model looks at."""
        return tuple(van for van in self.vans if van.is_stepped)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PassReport:
    """What a pass found and did.

    Attributes:
        now: its moment, UTC.
        sites: every site looked at, in order of their keys.
        book: what was read at the start.
    """

    now: datetime
    sites: tuple[SiteWork, ...]
    book: Book

    @property
    def messages(self) -> int:
        """Messages queued."""
        return sum(work.messages for work in self.sites)

    @property
    def failed(self) -> tuple[SiteWork, ...]:
        """Sites whose pass failed, or failed for some of their vehicles."""
        return tuple(work for work in self.sites if work.failed or work.left_out)

    @property
    def put_off(self) -> tuple[str, ...]:
        """Keys of sites that failed before and are not tried again yet."""
        looked_at = {work.site.key for work in self.sites}
        return tuple(site.key for site in self.book.sites if site.key not in looked_at)
