"""A vehicle's page in words: what to do by when, its tag, its night, its record, its outlets."""

from collections.abc import Iterator

from markupsafe import Markup

from frostwatch.advice.night_view import Fate, ItemNight
from frostwatch.advice.occasion_words import fill_lines
from frostwatch.advice.passing import Passing
from frostwatch.advice.plan_words import words_for
from frostwatch.errors import FrostwatchError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.vehicles import Layout
from frostwatch.messages.wording.draft import Job, Level
from frostwatch.records.entries import NOBODY_SAID
from frostwatch.web.night_chart import Chart, night_chart
from frostwatch.web.pages.handbook_view import book_view
from frostwatch.web.pages.lines_now import UNREAD
from frostwatch.web.pages.notes import notes_of
from frostwatch.web.pages.record_list import record_list
from frostwatch.web.pages.rows import Rows, about, shown_level
from frostwatch.web.pages.vehicle_now import VehicleNow
from frostwatch.web.pages.vehicle_shown import Outlet, Tag, VehicleView
from frostwatch.web.pages.yard_now import Sky
from frostwatch.web.vessel_marks import shown
from frostwatch.web.words import Tongue


def vehicle_view(now: VehicleNow, tongue: Tongue, *, query: str) -> VehicleView:
    """Put a vehicle into words.

    Args:
        now: the vehicle.
        tongue: language, zone and moment.
        query: what links to its site carry.
    """
    return _Vehicle(now, tongue, query).view()


class _Vehicle:
    def __init__(self, now: VehicleNow, tongue: Tongue, query: str) -> None:
        self._now, self._t, self._query = now, tongue, query
        self._rows = Rows(now.yard, tongue)
        self._layout = self._own_layout()
        self._bay = now.line.name

    def _own_layout(self) -> Layout | None:
        try:
            return layout_of(self._now.file.vehicle)
        except FrostwatchError:
            return None

    def view(self) -> VehicleView:
        """The whole page."""
        now, t = self._now, self._t
        standing = now.standing
        chart = self._chart()
        night = now.file.night
        return VehicleView(
            bay=self._bay,
            kicker=self._kicker(),
            headline=self._headline(),
            say=self._say(),
            level=shown_level(standing.level, t),
            notes=notes_of(now.yard, t, listed=False),
            stands=tuple(self._rows.stands(now.file.vehicle)),
            filling=tuple(self._filling()),
            tag=self._tag(),
            marks=tuple(shown(mark, t) for mark in standing.marks),
            is_late=now.line.is_late or standing.level is Level.THAW,
            may_be_wet_again=standing.work is None and not now.line.broken,
            handover=self._handover(),
            is_held=now.file.vehicle.hold is not None,
            chart=chart,
            no_night=self._no_night(),
            caption=self._caption(),
            more=self._more(chart, len(night.items) if night is not None else 0),
            log=record_list(now, self._layout, t),
            outlets=tuple(self._outlets()),
            book=book_view(now.file.vehicle, now.file.site, now.file.people, t),
            photo_count=len(now.file.photos),
        )

    def _handover(self) -> Markup | None:
        handover = self._now.file.vehicle.handover
        if handover is None or handover.at <= self._t.now:
            return None
        return self._t("vehicle.handover", at=self._t.hour(handover.at))

    def _kicker(self) -> Markup:
        t, file = self._t, self._now.file
        stop = file.round.stop_of(file.vehicle.key) if file.round is not None else None
        if file.round is not None and stop is not None:
            return t("vehicle.round", code=file.round.code, n=stop.number)
        return t("vehicle.of", query=self._query, place=file.site.name)

    def _headline(self) -> Markup:
        t, now = self._t, self._now
        standing, stop = now.standing, now.line.stop
        bay, day = self._bay, t.day(t.now)
        if now.line.is_late:
            thaw = now.yard.thaw_at
            if thaw is not None and thaw > t.now:
                return t("vehicle.headline.late", bay=bay, thaw=t.about(thaw))
            key = "vehicle.headline.late_open" if thaw is None else "vehicle.headline.late_now"
            return t(key, bay=bay, day=day)
        if standing.level is Level.THAW:
            return t("vehicle.headline.thaw", bay=bay, day=day)
        if stop is None and standing.passing is Passing.OWNER:
            return t("vehicle.headline.owner", bay=bay, who=self._rows.who(standing.owner), day=day)
        if stop is None:
            return t("vehicle.headline.quiet", bay=bay, day=day)
        job = t.inside(t.words.jobs[stop.job])
        if now.sky is Sky.NONE:
            return t("vehicle.headline.none", bay=bay, job=job, day=day)
        if now.sky is Sky.NOT_READ:
            return t("vehicle.headline.not_read", bay=bay, job=job, day=day)
        if now.line.recorded and stop.earliest is None:
            return t("vehicle.headline.not_read", bay=bay, job=job, day=day)
        if stop.act_by is not None:
            key = "vehicle.headline" if stop.act_by > t.now else "vehicle.headline.passed"
            return t(key, bay=bay, job=job, by=t.by(stop.act_by))
        if stop.earliest is not None and stop.job is not Job.LOOK:
            return t("vehicle.headline.ahead", bay=bay, job=job, early=t.early(stop.earliest))
        return t("vehicle.headline.free", bay=bay, job=job, day=day)

    def _say(self) -> Markup:
        t, now = self._t, self._now
        standing = now.standing
        if now.line.broken:
            return self._rows.passing(now.line)
        if now.line.is_late:
            return t("vehicle.say.late")
        if standing.level is Level.THAW:
            return t("late.thaw.say")
        if standing.record is None:
            never = [t("vehicle.say.never"), *self._follows(), *self._before_night()]
            return Markup(" ").join(never)
        if standing.work is None:
            return t("vehicle.say.dry")
        parts = self._follows() if now.line.recorded else self._freezing()
        parts += self._before_night()
        if standing.unknown:
            parts.insert(0, self._rows.unknown_since(now.line))
        parts.append(t("vehicle.say.job", minutes=t.minutes(standing.work.minutes)))
        return Markup(" ").join(parts)

    def _follows(self) -> list[Markup]:
        """When its hours are worked out, where something is known that no pass looked at yet."""
        line, n = self._now.line, self._now.yard.look_min
        if not line.recorded or self._now.sky is Sky.NONE:
            return []
        return [
            self._t("vehicle.say.unlooked" if line.is_unlooked else "vehicle.say.recorded", n=n)
        ]

    def _before_night(self) -> list[Markup]:
        """Up to when somebody can be there, where the night counts as frost; and to look first."""
        t, night, stop = self._t, self._now.yard.night, self._now.line.stop
        if stop is None:
            return []
        if night is None:
            passed = stop.act_by is not None and stop.act_by <= t.now
            return [t("vehicle.say.passed")] if passed else []
        if night.begun:
            return [t("vehicle.say.night")]
        return [t("vehicle.say.dusk", dusk=t.hour(night.night.start))]

    def _freezing(self) -> list[Markup]:
        t, now = self._t, self._now
        if now.board is None or now.sky in UNREAD:
            return []  # without hours nothing is said of ice, and silence is no promise
        night = now.file.night
        items = night.items if night is not None else ()
        first = next((i for i in items if i.fate is Fate.HARM and i.harm_early is not None), None)
        parts = [self._first(first) if first is not None else t("vehicle.say.quiet")]
        if now.standing.valve_at is not None:
            gone = now.standing.valve_at <= t.now
            key = "vehicle.say.valve_now" if gone else "vehicle.say.valve"
            parts.append(t(key, at=t.about(now.standing.valve_at)))
        return parts

    def _first(self, item: ItemNight) -> Markup:
        t = self._t
        assert item.harm_early is not None
        part = t.words.circuits[item.circuit]
        if item.harm_early <= t.now:
            return t("vehicle.say.first_now", part=part)
        early = t.early(item.harm_early)
        if item.harm_likely is None:
            said = t("vehicle.say.first_perhaps", part=t.inside(part), early=early)
        else:
            likely = t.about(item.harm_likely)
            said = t("vehicle.say.first", part=t.inside(part), early=early, likely=likely)
        if item.ice_early is not None and item.ice_early <= t.now:
            said += Markup(" ") + t("vehicle.say.ice_now")
        return said

    def _filling(self) -> Iterator[str]:
        gate, site = self._now.standing.filling, self._now.file.site
        if gate is None or self._now.sky in UNREAD:
            return
        words = words_for(self._t.language, site, self._t.now)
        text = words.texts.thaw
        yield text["may" if gate.now else "not yet"].format(van=self._bay)
        yield from fill_lines(gate, words.texts.wants, text, words.hour)

    def _tag(self) -> Tag:
        t, now = self._t, self._now
        standing = now.standing
        dry = standing.work is None and not now.line.broken
        if now.line.is_late:
            word = t("tag.frozen")
        elif standing.unknown:
            part = self._rows.vessels_unknown(standing)
            word = t("tag.part", vessels=part) if part else t("tag.unknown")
        else:
            word = t("tag.drained" if dry else "tag.wet")
        record = (standing.rests_on if dry else None) or standing.record
        if record is None:
            said = t("tag.never")
        else:
            evidence = t.words.evidence[record.evidence]
            said = t(
                "tag.nobody" if record.by == NOBODY_SAID else "tag.record",
                evidence=evidence,
                who=self._rows.who(record.by),
                at=t.hour(record.at),
            )
        in_use = standing.passing in (Passing.IN_USE, Passing.HELD)
        return Tag(
            head=t("tag.head", bay=self._bay, about=about(now.file.vehicle, t)),
            word=word,
            record=said,
            do_not=t("tag.do_not") if dry and not in_use else None,
        )

    def _chart(self) -> Chart | None:
        now = self._now
        night = now.file.night
        if night is None or now.board is None or self._layout is None or now.line.recorded:
            return None
        work = now.standing.work
        return night_chart(
            night,
            site=now.file.site,
            layout=self._layout,
            tongue=self._t,
            act_by=work.act_by if work is not None else None,
        )

    def _no_night(self) -> Markup:
        t, now = self._t, self._now
        if now.sky is Sky.NONE:
            return t("vehicle.night.no_forecast")
        if now.standing.work is None and not now.line.broken:
            return t("vehicle.night.dry")
        return t("vehicle.night.soon", n=now.yard.look_min)

    def _caption(self) -> Markup:
        t, night = self._t, self._now.file.night
        if night is None or night.issued_at is None:
            return t("vehicle.night.caption_plain")
        return t("vehicle.night.caption", issue=t.hour(night.issued_at))

    def _more(self, chart: Chart | None, items: int) -> Markup | None:
        more = items - len(chart.lanes) if chart is not None else 0
        return self._t("vehicle.more", n=more) if more > 0 else None

    def _outlets(self) -> list[Outlet]:
        """Each vessel's outlet once, in the order of the record."""
        t = self._t
        found: dict[str, Outlet] = {}
        for item in self._layout.items if self._layout is not None else ():
            if item.lets_go and item.lets_go not in found:
                how = t.words.lets_go.get(item.lets_go, item.lets_go)
                found[item.lets_go] = Outlet(name=t.words.circuits[item.circuit], how=how)
        return list(found.values())
