"""What stands in the calendars of the demo's people and places."""

import shutil
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import pytest

from frostwatch.advice.daylight import daylight
from frostwatch.advice.walk import WalkRound
from frostwatch.errors import FleetError
from frostwatch.fleet.sites import Site
from frostwatch.ports import Book
from frostwatch.service.calendar_facts import Known, from_boards, from_forecasts
from frostwatch.service.calendars import Facts, Feed, Walks, feed_of_person, feed_of_site
from frostwatch.service.demo import Demo
from frostwatch.service.kit import Kit
from frostwatch.service.nights import Van
from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.members import DEFAULT_LAW
from frostwatch.wiring import open_kit


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """The demo after its day."""

    demo: Demo
    kit: Kit
    ledger: SqlLedger

    def book(self, now: datetime) -> Book:
        return self.ledger.load(now)

    def person(self, key: str, now: datetime) -> Feed:
        return feed_of_person(self.book(now), self.facts(now), self.walks(now), key, now)

    def site(self, key: str, now: datetime) -> Feed:
        return feed_of_site(self.book(now), self.facts(now), self.walks(now), key, now)

    def facts(self, now: datetime) -> Facts:
        """From the forecast as it is."""
        return lambda site, vans: from_forecasts(self.kit.forecasts, site, vans, now, DEFAULT_LAW)

    def walks(self, now: datetime) -> Walks:
        def walk(site: Site) -> WalkRound | None:
            yard = self.ledger.pages.yard(site.key, now)
            return yard.round if yard is not None else None

        return walk


@pytest.fixture(scope="module")
def played(played_demo: Demo, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Played]:
    own = shutil.copy(played_demo.folder / "demo.db", tmp_path_factory.mktemp("played"))
    kit, ledger = open_kit(
        played_demo.settings.model_copy(update={"database_url": f"sqlite:///{own}"})
    )
    yield Played(demo=played_demo, kit=kit, ledger=ledger)
    ledger.close()


def test_a_dealers_calendar_has_every_step_of_a_handover_in_order(played: Played) -> None:
    feed = played.person("resi", played.demo.now)
    steps = [a for a in feed.appointments if "/D08" in a.key]
    hour = played.demo.now.replace(hour=9, minute=0) + timedelta(days=1)
    assert [a.starts for a in steps] == sorted(a.starts for a in steps)
    assert steps[-1].starts == hour
    assert len(steps) >= 8
    heat = next(a for a in steps if "heating-on" in a.key)
    assert "Heizung an" in heat.summary
    assert "Kohlenmonoxid" in heat.description
    assert heat.told_before is not None
    assert feed.zone == "Europe/Berlin"
    assert feed.name == "frostwatch: Resi Zwiesel"


def test_what_cannot_be_ready_stands_at_its_hour_with_the_ways_out(played: Played) -> None:
    feed = played.person("resi", played.demo.now)
    (late,) = [a for a in feed.appointments if "/D09" in a.key]
    assert "nicht fertig" in late.summary
    assert "leer lassen" in late.description


def test_an_act_by_hour_is_a_slot_that_ends_at_it(played: Played) -> None:
    feed = played.person("maelle", played.demo.now)
    (slot,) = [a for a in feed.appointments if a.key.startswith("act-by/")]
    book = played.book(played.demo.now)
    said = [m.last() for m in book.reminders["aunt-drive"] if m.recipient == "maelle" and m.vehicle]
    told = [one.act_by for one in said if one is not None and one.act_by is not None]
    assert [slot.ends] == told
    assert slot.ends - slot.starts >= timedelta(minutes=15)


def test_a_sites_calendar_holds_the_work_of_all_and_nothing_twice(played: Played) -> None:
    noon = played.demo.now.replace(hour=12, minute=30)
    feed = played.site("cold-rigg", noon)
    slots = [a for a in feed.appointments if a.key.startswith("act-by/site/")]
    assert slots
    assert len({a.key for a in feed.appointments}) == len(feed.appointments)


def test_a_thaw_check_stands_where_it_is_worth_looking(played: Played) -> None:
    feed = played.site("hinterlach", played.demo.now)
    checks = [a for a in feed.appointments if a.key.startswith("thaw/")]
    assert len(checks) <= 1
    for check in checks:
        assert check.starts > played.demo.now
        local = check.starts.astimezone(played.book(check.starts).sites[0].zone)
        assert 7 <= local.hour <= 18


def test_missing_weather_never_reads_as_an_empty_calendar(played: Played) -> None:
    late = played.demo.now + timedelta(days=14)
    feed = played.site("cold-rigg", late)
    (note,) = [a for a in feed.appointments if a.key.startswith("no-forecast/")]
    assert "treat tonight as frost" in note.summary
    (site,) = [one for one in played.book(late).sites if one.key == "cold-rigg"]
    day = late.astimezone(site.zone).date()
    place = site.latitude_deg, site.longitude_deg, site.time_zone
    today, tomorrow = (daylight(*place, day + timedelta(days=n)) for n in (0, 1))
    assert today.start <= note.starts <= today.end - timedelta(hours=2), "by daylight"
    assert note.ends == tomorrow.start
    (same,) = [
        a
        for a in played.site("cold-rigg", tomorrow.start - timedelta(hours=3)).appointments
        if a.key.startswith("no-forecast/")
    ]
    assert (same.key, same.starts) == (note.key, note.starts), "the night that has begun"
    assert played.person("maelle", late).appointments


def test_a_round_that_is_walked_stands_there_to_its_hour(played: Played) -> None:
    now = played.demo.now
    walk = WalkRound(
        code="482016",
        site="cold-rigg",
        made_at=now,
        by="ailsa",
        issued_at=now,
        act_by=now + timedelta(hours=20),
        minutes=120.0,
        stops=(),
        left=(),
    )
    played.ledger.rounds.add_round(walk)
    feed = played.person("kit", now)
    (one,) = [a for a in feed.appointments if a.key == "round/482016"]
    assert one.ends == walk.act_by
    assert not [a for a in played.person("maelle", now).appointments if "round" in a.key]
    played.ledger.rounds.change_round(walk.code, lambda it: replace(it, handed_back_at=now))
    assert not [a for a in played.person("kit", now).appointments if "round" in a.key]


@pytest.mark.parametrize("who", ["person", "site"])
def test_nobody_has_no_calendar(played: Played, who: str) -> None:
    with pytest.raises(FleetError, match="is not entered"):
        (played.person if who == "person" else played.site)("nobody", played.demo.now)


def test_nothing_due_says_so_and_from_which_forecast(played: Played) -> None:
    feed = played.site("hinterlach", played.demo.now)
    assert "Vorhersage von" in feed.about
    empty = played.person("jonas", played.demo.now - timedelta(days=40))
    assert empty.appointments


def test_what_passes_kept_gives_the_same_hours_as_the_forecast(played: Played) -> None:
    """Nothing is asked of a provider, and the plans are those of the page."""
    now = played.demo.now
    fresh = played.site("hinterlach", now)

    def facts(site: Site, vans: Sequence[Van]) -> Known:
        yard = played.ledger.pages.yard(site.key, now)
        assert yard is not None
        return from_boards(yard.board, played.ledger.plans.file(site.key, now), site, vans, now)

    kept = feed_of_site(played.book(now), facts, played.walks(now), "hinterlach", now)

    def hours(feed: Feed) -> dict[str, datetime]:
        return {a.key: a.starts for a in feed.appointments if a.key.startswith("handover/")}

    assert hours(kept).keys() == hours(fresh).keys()
    assert all(abs(hours(kept)[key] - at) < timedelta(hours=1) for key, at in hours(fresh).items())
