"""A night of the past, worked out again from the replies the ledger kept."""

import json
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from frostwatch.errors import LedgerError
from frostwatch.messages.outbox import flush
from frostwatch.ports import Lesson, PassBasis
from frostwatch.records.entries import State
from frostwatch.service.again import Again, work_again
from frostwatch.service.kit import Kit
from frostwatch.service.lessons import Lessons
from frostwatch.service.nights import Memory
from frostwatch.service.pass_ import run_pass
from frostwatch.storage.ledger import SqlLedger, open_ledger
from frostwatch.weather.asking import Fetched, Outcome, Parsed, Validators
from frostwatch.weather.cache import WeatherCache
from frostwatch.weather.forecast import Forecast, Point
from frostwatch.weather.learning import Learnt, Source
from frostwatch.weather.members import ErrorLaw
from frostwatch.wiring import parsers
from tests.builders import NOW, a_layout, a_site, a_vehicle, an_operator, an_owner, entries_for
from tests.fakes import FakeChannels
from tests.weather.fake_providers import DOWN, FakeProvider, down_between
from tests.worlds import Weather, open_meteo_reply

COLD = datetime(2026, 12, 3, 20, tzinfo=UTC)
LEARNT = Learnt(
    law=ErrorLaw(site_bias_k=0.8),
    source=Source.ANALYSIS,
    mean_error_k=1.3,
    nights=50,
    first=NOW.date(),
    last=NOW.date(),
)
URL = "https://frost.example"


class Served(FakeProvider):
    """An invented course of the air as Open-Meteo replies."""

    def __init__(self, weather: Weather) -> None:
        super().__init__("open-meteo")
        self._weather = weather

    def _answer(self, point: Point, now: datetime, known: Mapping[str, Validators]) -> Outcome:
        trouble = self.trouble(now, point)
        if trouble is not None:
            return trouble
        body = open_meteo_reply(self._weather, now - timedelta(minutes=17))
        frame = self.parse(body, [point], now)[point.key]
        assert isinstance(frame, Forecast)
        return Fetched(forecast=frame, payload=body, expires_at=None, validators=Validators())

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        return parsers()[self.name](body, points, fetched_at)


class Spread(FakeProvider):
    """An ensemble's spread of two kelvin."""

    def __init__(self) -> None:
        super().__init__("spread", refresh_h=12.0)
        self.spread_k = 2.0


class Ground(FakeProvider):
    """The model's own ground lies 60 m above the place."""

    def parse(
        self, body: bytes, points: Sequence[Point], fetched_at: datetime
    ) -> dict[str, Parsed]:
        found = super().parse(body, points, fetched_at)
        return {
            key: replace(one, grid_height_m=470.0) if isinstance(one, Forecast) else one
            for key, one in found.items()
        }


class Stage:
    """A service with a real ledger and a real cache, on a moving clock."""

    def __init__(self, url: str = "sqlite://") -> None:
        self.ledger = open_ledger(url)
        self.weather = Weather()
        self.provider = Served(self.weather)
        self.site = a_site(operator="ailsa", crew=1)
        self.ledger.save_fleet(
            sites=[self.site],
            people=[an_operator(), an_owner()],
            vehicles=[a_vehicle("Y03"), a_vehicle("Y04", bay="A-02", keeper="maelle")],
        )
        for key in ("Y03", "Y04"):
            seen = NOW - timedelta(days=1)
            full = entries_for(a_layout(), State.FULL, vehicle=key, at=seen)
            self.ledger.add_entries(full)
        self.lessons = Lessons(self.ledger.lessons)
        self.ledger.lessons.keep_lesson(Lesson(site=self.site.key, learnt=LEARNT, fitted_at=NOW))
        cache = WeatherCache(
            [self.provider],
            self.ledger.replies,
            ensemble=Spread(),
            ground=(Ground("ground"), "open-meteo"),
            sleep=lambda _: None,
        )
        self.kit = Kit(
            ledger=self.ledger,
            outbox=self.ledger.outbox,
            channels=FakeChannels(),
            forecasts=cache,
            members=20,
            public_url=URL,
            links=self.ledger.links,
            lessons=self.lessons,
            boards=False,
        )
        self.memory = Memory()

    def live(self, begin: datetime, end: datetime) -> None:
        """A pass an hour."""
        now = begin
        while now <= end:
            run_pass(self.kit, now, memory=self.memory)
            flush(self.kit.outbox, self.kit.channels, now)
            now += timedelta(hours=1)

    def again(self, moment: datetime) -> Again:
        basis = self.ledger.bases.at(self.site.key, moment)
        assert basis is not None
        return work_again(basis, self.ledger, parsers(), public_url=URL)

    def said(self, since: datetime = NOW) -> list[PassBasis]:
        kept = self.ledger.bases.listed(self.site.key, since=since)
        return [one for one in kept if one.said]


@pytest.fixture(scope="module")
def spell() -> Iterator[Stage]:
    """From two days before a cold spell to its end, told from outlook to last call."""
    stage = Stage()
    stage.weather.cold(COLD, hours=12.0)
    stage.live(NOW - timedelta(hours=25), COLD + timedelta(hours=30))
    yield stage
    stage.ledger.close()


def test_every_message_of_a_spell_comes_out_again_letter_by_letter(spell: Stage) -> None:
    kept = spell.said()
    told = [one for basis in kept for one in spell.again(basis.at).told]
    assert len(kept) >= 4
    assert all(one.same for one in told), [one.again for one in told if not one.same]
    messages = [row for one in told for row in one.kept]
    assert len(messages) == len(spell.ledger.outbox.listed(since=NOW))
    assert {row.message.kind for row in messages} >= {"work order", "last call", "outlook"}
    assert any("frost.example" in row.message.long for row in messages)


def test_the_air_is_the_same_hour_for_hour_with_spread_ground_recent_days_and_law(
    spell: Stage,
) -> None:
    basis = spell.said()[1]
    assert basis.frame is not None
    assert basis.frame.reply_id > 0
    assert basis.frame.spread_reply_id > 0
    assert basis.frame.grid_height_m == 470.0
    assert basis.frame.recent_c is not None
    assert len(basis.frame.recent_c) > 120
    assert basis.learnt == LEARNT
    again = spell.again(basis.at)
    assert again.same_air
    assert again.work.air is not None
    for frame in (replace(basis.frame, recent_c=None), replace(basis.frame, spread_k=None)):
        other = work_again(replace(basis, frame=frame), spell.ledger, parsers()).work.air
        assert other is not None
        assert not np.array_equal(other.air_c, again.work.air.air_c)
    default = work_again(replace(basis, learnt=None), spell.ledger, parsers()).work.air
    assert default is not None
    assert not np.array_equal(default.air_c, again.work.air.air_c)


def test_silence_comes_out_as_silence(spell: Stage) -> None:
    kept = spell.ledger.bases.listed(spell.site.key, since=NOW - timedelta(days=2))
    quiet = [one for one in kept if not one.said]
    assert len(quiet) >= 3
    for one in quiet:
        again = spell.again(one.at)
        assert again.told == ()
        assert again.same


def test_a_later_change_of_fleet_record_and_lesson_changes_no_past_night(spell: Stage) -> None:
    """Nor does what became of the reminders since."""
    basis = spell.said()[1]
    before = spell.again(basis.at)
    assert {one.status.value for one in basis.reminders} <= {"standing", "acknowledged"}
    others = Stage()
    assert before.same
    others.ledger.close()
    spell.ledger.save_fleet(sites=[replace(spell.site, cost_ratio=0.9)])
    drained = entries_for(a_layout(), at=COLD + timedelta(days=3))
    spell.ledger.add_entries(drained)
    spell.ledger.lessons.keep_lesson(Lesson(site=spell.site.key))
    assert spell.again(basis.at).same


def test_a_tampered_reply_does_not_give_the_same_message(spell: Stage) -> None:
    basis = spell.said()[1]
    assert basis.frame is not None
    reply = spell.ledger.replies.reply(basis.frame.reply_id)
    assert reply is not None
    told: dict[str, Any] = json.loads(reply.payload)
    told["hourly"]["temperature_2m"] = [9.0] * len(told["hourly"]["temperature_2m"])
    (mild,) = spell.ledger.replies.keep([replace(reply, payload=json.dumps(told).encode())])
    other = replace(basis, frame=replace(basis.frame, reply_id=mild.id))
    again = work_again(other, spell.ledger, parsers(), public_url=URL)
    assert not again.same_air
    assert not again.same


def test_a_reply_that_is_not_kept_any_more_is_said(spell: Stage) -> None:
    basis = spell.said()[1]
    assert basis.frame is not None
    lost = replace(basis, frame=replace(basis.frame, reply_id=987_654))
    with pytest.raises(LedgerError, match="is not kept any more"):
        work_again(lost, spell.ledger, parsers())


def test_no_address_is_kept_with_a_judgement(spell: Stage) -> None:
    for basis in spell.said():
        addresses = {one.address for person in basis.people for one in person.channels}
        assert addresses == {"outbox://local"}


def test_a_night_without_a_forecast_comes_out_the_same() -> None:
    stage = Stage()
    stage.weather.cold(COLD)
    stage.provider.trouble = down_between(NOW, NOW + timedelta(days=4), DOWN)
    stage.live(NOW - timedelta(hours=3), NOW + timedelta(hours=40))
    kept = stage.said()
    assert kept
    assert all(stage.again(one.at).same for one in kept)
    messages = stage.ledger.outbox.listed(since=NOW)
    assert "no forecast" in {row.message.kind for row in messages}
    stage.ledger.close()


def test_replies_a_judgement_rested_on_stay_for_a_season_and_silence_for_a_fortnight() -> None:
    stage = Stage()
    stage.weather.cold(COLD, hours=12.0)
    stage.live(NOW - timedelta(hours=3), COLD)
    said = stage.said()
    numbers = _replies_of(said)
    everything = _replies_of(stage.ledger.bases.listed(stage.site.key, since=NOW - 2 * DAY))
    assert numbers
    stage.ledger.prune(NOW + 100 * DAY)
    kept = stage.ledger.bases.listed(stage.site.key, since=NOW - 2 * DAY)
    assert [one.at for one in kept] == [one.at for one in said]
    assert all(_is_kept(stage.ledger, number) for number in numbers)
    assert all(stage.again(one.at).same for one in kept)
    assert everything >= numbers
    stage.ledger.prune(NOW + 500 * DAY)
    assert not stage.ledger.bases.listed(stage.site.key, since=NOW - 2 * DAY)
    assert not any(_is_kept(stage.ledger, number) for number in numbers)
    stage.ledger.close()


DAY = timedelta(days=1)


def _replies_of(kept: Sequence[PassBasis]) -> set[int]:
    frames = [one.frame for one in kept if one.frame is not None]
    return {n for one in frames for n in (one.reply_id, one.spread_reply_id) if n}


def _is_kept(ledger: SqlLedger, number: int) -> bool:
    return ledger.replies.reply(number) is not None


class Unmeasured:
    """Heights that nobody can look up."""

    def at(
        self, places: Sequence[tuple[float, float]], now: datetime
    ) -> Mapping[tuple[float, float], Any]:
        return dict.fromkeys(places, DOWN)


def test_a_place_whose_height_nobody_knows_comes_out_the_same_and_colder() -> None:
    stage = Stage()
    stage.ledger.save_fleet(sites=[replace(stage.site, height_m=None)])
    stage.kit = replace(stage.kit, heights=Unmeasured())
    stage.weather.cold(COLD)
    stage.live(NOW - timedelta(hours=3), NOW + timedelta(hours=36))
    kept = stage.said()
    assert kept
    for one in kept:
        assert one.frame is not None
        assert one.frame.lowered_k > 0.0
        assert stage.again(one.at).same
    stage.ledger.close()


def test_hours_that_an_earlier_reply_knew_are_laid_in_front_again() -> None:
    """A frame of 24 past hours; what was before comes from the frame leaned on before it."""
    stage = Stage()
    stage.weather.cold(COLD)
    stage.live(NOW - timedelta(hours=3), NOW + timedelta(hours=3))
    whole = stage.provider.parse

    def short(body: bytes, points: Sequence[Point], fetched_at: datetime) -> dict[str, Parsed]:
        return {key: _cut(one) for key, one in whole(body, points, fetched_at).items()}

    stage.provider.parse = short  # type: ignore[method-assign]
    stage.live(NOW + timedelta(hours=4), NOW + timedelta(hours=36))
    kept = stage.said(since=NOW + timedelta(hours=4))
    assert kept
    for one in kept:
        assert one.frame is not None
        assert one.frame.earlier_h > 24
        reader = {"open-meteo": short}
        assert work_again(one, stage.ledger, reader, public_url=URL).same
    stage.ledger.close()


def _cut(one: Parsed) -> Parsed:
    if not isinstance(one, Forecast):
        return one
    cut = 96
    columns = {name: values[cut:] for name, values in one.columns.items()}
    return replace(one, start=one.start + timedelta(hours=cut), columns=columns)
