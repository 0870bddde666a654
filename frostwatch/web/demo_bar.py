"""The bar at the top of every page of the demo: its three places, and its clock."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from fastapi import Request

from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.service.demo_stage import SCENES, Stage
from frostwatch.storage.ledger import SqlLedger
from frostwatch.web.rights import form_token, visitor_of
from frostwatch.web.words import Tongue

PLACES: Mapping[str, SiteKind] = {
    "yard": SiteKind.YARD,
    "owner": SiteKind.DRIVE,
    "forecourt": SiteKind.FORECOURT,
}
ZONE = ZoneInfo("Europe/London")
"""The demo's clock is that of its yard."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoRoom:
    """What the demo's own pages work with.

    Attributes:
        stage: the story.
        ledger: where it is kept.
    """

    stage: Stage
    ledger: SqlLedger

    def site_of(self, place: str) -> Site | None:
        """The site of one of the three places; None while the story starts over."""
        sites = self.ledger.load(self.stage.now()).sites
        return next((site for site in sites if site.kind is PLACES.get(place)), None)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemoBar:
    """What stands at the top of every page of the demo.

    Attributes:
        t: language, zone and moment of its clock.
        places: names of the three places.
        scenes: key and moment of the hours worth seeing, and whether it is the newest seen.
        form_token: for its form.
        first_at: the earliest hour it can be set to, UTC.
        last_at: the latest one, UTC.
    """

    t: Tongue
    places: tuple[str, ...]
    scenes: tuple[tuple[str, datetime, bool], ...]
    form_token: str
    first_at: datetime
    last_at: datetime

    @property
    def first(self) -> str:
        """The earliest hour as a field takes it."""
        return _field(self.first_at)

    @property
    def last(self) -> str:
        """The latest one."""
        return _field(self.last_at)

    @property
    def at(self) -> str:
        """The present one."""
        return _field(self.t.now)


def demo_bar(request: Request) -> DemoBar | None:
    """The bar of a page; None where this is no demo."""
    room: DemoRoom | None = getattr(request.app.state, "demo", None)
    if room is None:
        return None
    stage, now = room.stage, room.stage.now()
    seen = [scene.key for scene in SCENES if stage.moment_of(scene) <= now]
    return DemoBar(
        t=Tongue(language=visitor_of(request).language, zone=ZONE, now=now),
        places=tuple(PLACES),
        scenes=tuple((s.key, stage.moment_of(s), s.key in seen[-1:]) for s in SCENES),
        form_token=form_token(request),
        first_at=stage.first,
        last_at=stage.last,
    )


def _field(moment: datetime) -> str:
    return f"{moment.astimezone(ZONE):%Y-%m-%dT%H:%M}"
