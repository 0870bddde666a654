"""One pass: read, fetch, step, judge, keep. Sending is another job and follows on its own.

One ``now`` holds for all of it. A site that fails is noted with its cause and tried again later;
the pass goes on. Everything between the forecast and the commit is a function of its arguments.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta

import structlog

from frostwatch.advice.harm import VehicleNight
from frostwatch.advice.judge import Judgement, is_due, judge
from frostwatch.advice.view import ForecastBasis, SiteView, VehicleView
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.people import Person
from frostwatch.fleet.sites import Site
from frostwatch.messages.wording import word
from frostwatch.messages.wording.draft import Draft, Form
from frostwatch.ports import Book, KeptState, Message
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Memory, Van, air_of, point_of, work_out
from frostwatch.weather.forecast import FetchFailure, Forecast, standing
from frostwatch.weather.site_air import SiteAir

log = structlog.get_logger()

WET_AT_ONCE = 120
"""Wet vehicles worked on together: bounds the memory of a pass."""
FIRST_WAIT = timedelta(minutes=10)
LONGEST_WAIT = timedelta(hours=2)
"""A failing site is put off, doubling from the first wait to the longest. Estimates."""

Progress = Callable[[str], None]


@dataclass(slots=True, kw_only=True, eq=False)
class SiteWork:
    """One site on its way through a pass."""

    site: Site
    vans: tuple[Van, ...]
    view: SiteView
    forecast: Forecast | None = None
    why_none: str = ""
    air: SiteAir | None = None
    nights: dict[str, VehicleNight] = field(default_factory=dict)
    states: dict[str, KeptState] = field(default_factory=dict)
    judgement: Judgement | None = None
    messages: int = 0
    failed: str = ""

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
        """Sites whose pass failed."""
        return tuple(work for work in self.sites if work.failed)


def run_pass(
    kit: Kit,
    now: datetime,
    *,
    memory: Memory | None = None,
    everything: bool = False,
    keep: bool = True,
    progress: Progress | None = None,
) -> PassReport:
    """Look at every site once.

    Args:
        kit: the adapters.
        now: aware UTC time of the whole pass.
        memory: what earlier passes of this process worked out.
        everything: work out all nights, also where nobody could be told anything now.
        keep: commit what follows; False only looks.
        progress: called with a few words as the pass goes on.

    Raises:
        LedgerError: the ledger cannot be read.
    """
    memory = memory or Memory()
    say = progress or (lambda words: None)
    book = kit.ledger.load(now)
    say(f"{len(book.vehicles)} vehicles at {len(book.sites)} sites")
    sites = [site for site in book.sites if everything or not _put_off(book, site, now)]
    points = {site.key: point_of(site) for site in sites}
    found = kit.forecasts.at(tuple(points.values()), now) if sites else {}
    works = []
    by_site: dict[str, list[Van]] = {site.key: [] for site in sites}
    for vehicle in book.vehicles:
        if vehicle.site in by_site:
            van = memory.van(vehicle, book.entries.get(vehicle.key, ()), now)
            by_site[vehicle.site].append(van)
    for site in sites:
        forecast = found.get(points[site.key].key)
        works.append(_prepare(book, site, tuple(by_site[site.key]), forecast, now))
    for group in _groups(works, now, everything=everything):
        _finish(kit, book, group, now, keep=keep)
        say(f"{sum(1 for work in works if work.judgement or work.failed)} of {len(works)} sites")
    return PassReport(now=now, sites=tuple(works), book=book)


def _put_off(book: Book, site: Site, now: datetime) -> bool:
    last = book.passes.get(site.key)
    return last is not None and last.next_try_at is not None and now < last.next_try_at


def _prepare(
    book: Book,
    site: Site,
    vans: tuple[Van, ...],
    found: Forecast | FetchFailure | None,
    now: datetime,
) -> SiteWork:
    """A site as it stands before any night is worked out."""
    forecast = found if isinstance(found, Forecast) else None
    known = standing(forecast, now)
    why = found.message if isinstance(found, FetchFailure) else known.reason
    basis = ForecastBasis(standing=known)
    if forecast is not None:
        basis = ForecastBasis(
            standing=known,
            issued_at=forecast.known_since,
            provider=forecast.provider,
            credit=tuple(f"{a.text} {a.url} {a.licence}".strip() for a in forecast.attribution),
        )
    last = book.passes.get(site.key)
    view = SiteView(
        site=site,
        people=book.people,
        vehicles=tuple(_view_of(van, None) for van in vans),
        air=None,
        forecast=basis,
        reminders=book.reminders.get(site.key, ()),
        answers=tuple(a for van in vans for a in book.answers.get(van.vehicle.key, ())),
        judged_to=last.judged_to if last is not None else None,
    )
    return SiteWork(
        site=site,
        vans=vans,
        view=view,
        forecast=forecast if known.usable else None,
        why_none="" if known.usable else why,
    )


def _view_of(van: Van, night: VehicleNight | None) -> VehicleView:
    return VehicleView(
        vehicle=van.vehicle,
        layout=van.layout,
        water=van.water,
        night=night,
        recorded_at=van.recorded_at,
    )


def _groups(
    works: Sequence[SiteWork], now: datetime, *, everything: bool
) -> Iterator[list[SiteWork]]:
    """Sites in groups whose wet vehicles fit the memory; sites nobody waits for stand alone."""
    group: list[SiteWork] = []
    wet = 0
    for work in works:
        if not everything and not is_due(work.view, now):
            continue
        group.append(work)
        wet += len(work.stepped) if work.forecast is not None else 0
        if wet >= WET_AT_ONCE:
            yield group
            group, wet = [], 0
    if group:
        yield group


def _finish(kit: Kit, book: Book, group: Sequence[SiteWork], now: datetime, *, keep: bool) -> None:
    """Nights, judgement and commit of some sites."""
    airs: dict[str, SiteAir] = {}
    for work in group:
        with _caught(kit, book, work, now, keep=keep):
            if work.forecast is not None:
                colder_k = work.view.forecast.standing.colder_k
                work.air = airs[work.site.key] = air_of(
                    work.site, work.forecast, now, colder_k=colder_k, members=kit.members
                )
    wet = [van for work in group if work.air is not None for van in work.stepped]
    nights, states, _ = work_out(wet, airs, book.states)
    for work in group:
        if work.failed:
            continue
        with _caught(kit, book, work, now, keep=keep):
            keys = {van.vehicle.key for van in work.vans}
            work.nights = {key: night for key, night in nights.items() if key in keys}
            work.states = {key: state for key, state in states.items() if key in keys}
            _decide(kit, book, work, now, keep=keep)


@contextmanager
def _caught(kit: Kit, book: Book, work: SiteWork, now: datetime, *, keep: bool) -> Iterator[None]:
    """A fault of one site ends that site's part of the pass, not the pass."""
    try:
        yield
    except Exception as fault:
        work.failed = str(fault) or type(fault).__name__
        known = isinstance(fault, FrostwatchError)
        log.error("site failed", site=work.site.key, cause=work.failed, exc_info=not known)
        if keep:
            last = book.passes.get(work.site.key)
            wait = min(FIRST_WAIT * 2 ** (last.failures if last else 0), LONGEST_WAIT)
            kit.ledger.note_failure(work.site.key, now, cause=work.failed, next_try_at=now + wait)


def _decide(kit: Kit, book: Book, work: SiteWork, now: datetime, *, keep: bool) -> None:
    vehicles = tuple(_view_of(van, work.nights.get(van.vehicle.key)) for van in work.vans)
    work.view = replace(work.view, vehicles=vehicles, air=work.air)
    work.judgement = judge(work.view, now)
    people = {person.key: person for person in book.people}
    messages = [
        message
        for draft in work.judgement.drafts
        for message in messages_for(draft, people[draft.recipient], now, kit.public_url)
    ]
    if not keep:
        work.messages = len(messages)
        return
    work.messages = kit.ledger.commit(
        work.site.key,
        now,
        states=tuple(work.states.values()),
        reminders=work.judgement.reminders,
        decisions=work.judgement.decisions,
        messages=messages,
        reply_id=(work.forecast.reply_id or None) if work.forecast is not None else None,
        judged_to=work.judgement.judged_to,
    )


def messages_for(
    draft: Draft, person: Person, now: datetime, public_url: str = ""
) -> Iterator[Message]:
    """The finished texts of one draft, one for each channel of its recipient."""
    if public_url and not draft.link:
        place = public_url.partition("://")[2]
        draft = replace(draft, link=f"{place}/round" if len(draft.vehicles) != 1 else place)
    texts: dict[Form, tuple[str, str]] = {}
    for form in Form:
        text = word(draft, person.language, form)
        texts[form] = (text.subject, text.body)
    for channel in person.channels:
        yield Message(
            recipient=person.key,
            channel=channel.name,
            address=channel.address,
            form=channel.form,
            reminder=draft.key,
            revision=draft.revision,
            kind=draft.kind.value,
            site=draft.site,
            subject=texts[Form.LONG][0],
            short=texts[Form.SHORT][1],
            long=texts[Form.LONG][1],
            send_from=now,
        )


def nights_of(report: PassReport) -> Mapping[str, VehicleNight]:
    """Vehicle key -> its night, over all sites of a pass."""
    return {key: night for work in report.sites for key, night in work.nights.items()}
