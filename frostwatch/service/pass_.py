"""One pass: read, fetch, step, judge, keep. Sending is another job and follows on its own.

One ``now`` holds for all of it. A site that fails is noted with its cause and tried again later;
the pass goes on. Everything between the forecast and the commit is a function of its arguments.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime, timedelta
from functools import partial

import structlog

from frostwatch.advice.board import board_of
from frostwatch.advice.due import is_due
from frostwatch.advice.judge import judge
from frostwatch.advice.plan_calls import plans_are_due
from frostwatch.errors import FrostwatchError, LedgerError, NoForecastError
from frostwatch.fleet.sites import Site
from frostwatch.ports import Book
from frostwatch.service.boards import as_entered, bands_of, is_old, night_of, with_fillings
from frostwatch.service.escalation import escalate
from frostwatch.service.handovers import plans_told
from frostwatch.service.holds import holds_told
from frostwatch.service.kit import Kit
from frostwatch.service.lessons import Lessons
from frostwatch.service.letters import letters_for
from frostwatch.service.nights import Memory, air_of, work_out
from frostwatch.service.pass_basis import basis_of
from frostwatch.service.pass_sites import view_of, works_of
from frostwatch.service.plan_keeping import keep_plans
from frostwatch.service.reach import reach_h, within_reach
from frostwatch.service.site_work import PassReport as PassReport
from frostwatch.service.site_work import SiteWork as SiteWork
from frostwatch.service.trips import note_trips
from frostwatch.weather.forecast import Fitness
from frostwatch.weather.site_air import SiteAir

log = structlog.get_logger()

STEPPED_AT_ONCE = 120
"""Vehicles stepped together: bounds the memory of a pass."""
FIRST_WAIT = timedelta(minutes=10)
LONGEST_WAIT = timedelta(hours=2)
"""A failing site is put off, doubling from the first wait to the longest. Estimates."""

Progress = Callable[[str], None]


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
    if everything and not keep:
        kit = replace(kit, boards=False)  # what pages would show is not kept
    book = kit.book(now)
    say(f"{len(book.vehicles)} vehicles at {len(book.sites)} sites")
    if keep and note_trips(kit.ledger, book, memory, now):
        book = kit.book(now)
    if keep and kit.escalates:
        book = escalate(kit, book, memory, now)
    sites = [site for site in book.sites if everything or not _put_off(book, site, now)]
    works = works_of(kit, book, sites, memory, now)
    for group in _groups(kit, works, book, now, memory, everything=everything):
        _finish(kit, book, group, now, keep=keep)
        if keep:
            shown = {w.site.key: as_entered(w.site, w.vans) for w in group if not w.failed}
            memory.shown.update(shown)
        say(f"{sum(1 for work in works if work.judgement or work.failed)} of {len(works)} sites")
    if kit.lessons is not None and keep:
        _note_nights(kit.lessons, works, now)
    if kit.plans is not None and keep and book.boards is not None:
        keep_plans(kit.plans, works, now, members=kit.members)
    return PassReport(now=now, sites=tuple(works), book=book)


def _note_nights(lessons: Lessons, works: Sequence[SiteWork], now: datetime) -> None:
    """Collect what was forecast and what was; nothing of a pass hangs on it."""
    try:
        lessons.note([(w.site, w.forecast) for w in works if w.forecast is not None], now)
    except Exception as fault:
        known = isinstance(fault, FrostwatchError)
        log.error("nights not noted", cause=str(fault), exc_info=not known)


def _put_off(book: Book, site: Site, now: datetime) -> bool:
    last = book.passes.get(site.key)
    return last is not None and last.next_try_at is not None and now < last.next_try_at


def _groups(
    kit: Kit,
    works: Sequence[SiteWork],
    book: Book,
    now: datetime,
    memory: Memory,
    *,
    everything: bool,
) -> Iterator[list[SiteWork]]:
    """Sites in groups whose wet vehicles fit the memory; sites nobody waits for stand alone.

    A site is looked at where somebody could be told something, and where its pages are old.
    """
    group: list[SiteWork] = []
    wet = 0
    for work in works:
        work.due = everything or is_due(
            work.view, now, has_thawed=partial(_has_thawed, kit, work, now)
        )
        old = is_old(book.boards, work.site, work.vans, now, memory)
        if not (work.due or old or plans_are_due(work.view, now)):
            continue
        group.append(work)
        wet += len(work.stepped) if work.forecast is not None else 0
        if wet >= STEPPED_AT_ONCE:
            yield group
            group, wet = [], 0
    if group:
        yield group


def _finish(kit: Kit, book: Book, group: Sequence[SiteWork], now: datetime, *, keep: bool) -> None:
    """Nights, judgement and commit of some sites."""
    for work in group:
        with _caught(kit, book, work, now, keep=keep):
            work.air = work.air or _air(kit, work, now)
    known = [work for work in group if work.air is not None]
    try:
        _work_out(kit, book, known, now)
    except Exception:  # noqa: BLE001 - whose fault it is shows when each is worked out alone
        for work in known:
            with _caught(kit, book, work, now, keep=keep):
                _work_out(kit, book, [work], now)
    for work in group:
        if not work.failed:
            with _caught(kit, book, work, now, keep=keep):
                _decide(kit, book, work, now, keep=keep)


def _has_thawed(kit: Kit, work: SiteWork, now: datetime) -> bool:
    """Whether it has been mild for long enough to look; "yes" where the air is not known."""
    try:
        work.air = work.air or _air(kit, work, now)
    except Exception:  # noqa: BLE001 - the pass over the site meets it again and notes it
        return True
    return work.air is None or replace(work.view, air=work.air).has_thawed(now)


def _air(kit: Kit, work: SiteWork, now: datetime) -> SiteAir | None:
    """The air at a site; without one its people are told that there is no usable forecast."""
    if work.forecast is None:
        return None
    known = work.view.forecast.standing
    try:
        return air_of(
            work.site,
            work.forecast,
            now,
            colder_k=known.colder_k,
            members=kit.members,
            law=work.law,
        )
    except NoForecastError as nothing:
        work.forecast, work.why_none = None, str(nothing)
        known = replace(known, fitness=Fitness.NONE, reason=work.why_none)
        work.view = replace(work.view, forecast=replace(work.view.forecast, standing=known))
        return None


def _work_out(kit: Kit, book: Book, group: Sequence[SiteWork], now: datetime) -> None:
    """The nights of some sites at once."""
    if kit.rule is not None:
        for work in group:
            assert work.forecast is not None
            work.nights = dict(kit.rule(work.stepped, work.forecast, now))
        return
    airs = {work.site.key: work.air for work in group if work.air is not None}
    if kit.near_only:
        for work in group:
            airs[work.site.key] = within_reach(airs[work.site.key], reach_h(work.view, now))
    owner = {van.vehicle.key: work for work in group for van in work.stepped}
    vans = [van for work in group for van in work.stepped]
    bands = bands_of(airs) if book.boards is not None else {}
    for begin in range(0, len(vans), STEPPED_AT_ONCE):
        part = vans[begin : begin + STEPPED_AT_ONCE]
        nights, states, paths = work_out(part, airs, book.states)
        for van in part:
            key, work = van.vehicle.key, owner[van.vehicle.key]
            work.nights[key] = nights[key]
            work.states[key] = states[key]
            if work.site.key in bands:
                air, basis = bands[work.site.key], work.view.forecast
                work.shown[key] = night_of(
                    van, paths[key], air, site=work.site, basis=basis, now=now
                )


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
            try:
                kit.ledger.note_failure(
                    work.site.key, now, cause=work.failed, next_try_at=now + wait
                )
            except LedgerError as unwritten:
                log.error("failure not noted", site=work.site.key, cause=str(unwritten))


def _analysed_from(work: SiteWork) -> datetime | None:
    """First hour that the frame's own provider tells of; before it lie hours of an earlier one."""
    frame = work.forecast
    return frame.start + timedelta(hours=frame.earlier_h) if frame is not None else None


def _decide(kit: Kit, book: Book, work: SiteWork, now: datetime, *, keep: bool) -> None:
    vehicles = tuple(view_of(van, work.nights.get(van.vehicle.key)) for van in work.vans)
    work.view = replace(work.view, vehicles=vehicles, air=work.air)
    board = None
    if book.boards is not None:
        board = board_of(work.view, now, analysed_from=_analysed_from(work))
        board = with_fillings(board, work.vans, work.air, book, now)
    if work.due:
        work.judgement = judge(work.view, now)
    ways = book.under_way
    plans, told = ([], []) if kit.rule else plans_told(work.view, work.vans, work.air, now, ways)
    judged = work.judgement.drafts if work.judgement else ()
    holds, kept = ([], []) if kit.rule else holds_told(work.view, work.vans, work.air, judged, now)
    work.drafts = (*judged, *plans, *holds)
    instead = {person.key for person in work.unattended.told} if work.unattended else set()
    messages, links = letters_for(
        kit, work.drafts, work.view.people, work.site, now, without_links=instead
    )
    if not keep:
        work.messages = len(messages)
        return
    said = work.judgement
    basis = None
    if work.drafts or (said is not None and said.decisions):
        basis = basis_of(
            work.view,
            now,
            said=bool(work.drafts),
            states=[s for van in work.stepped if (s := book.states.get(van.vehicle.key))],
            members=kit.members,
            learnt=work.learnt,
            forecast=work.found,
            under_way=ways,
        )
    work.messages = kit.ledger.commit(
        work.site.key,
        now,
        states=tuple(work.states.values()),
        reminders=(*(said.reminders if said else ()), *told, *kept),
        decisions=said.decisions if said else (),
        messages=messages,
        links=links,
        reply_id=(work.forecast.reply_id or None) if work.forecast is not None else None,
        judged_to=said.judged_to if said else None,
        board=board,
        nights=tuple(work.shown.values()),
        basis=basis,
    )
