"""What a place's nights taught, on every database."""

from datetime import UTC, date, datetime, timedelta

import pytest

from frostwatch.errors import RecordError
from frostwatch.ports import AirReading, Intake, KeptGuess, Lesson, SeenNight
from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.learning import Learnt, Source
from frostwatch.weather.members import ErrorLaw
from tests.builders import NOW, a_site

LEARNT = Learnt(
    law=ErrorLaw(site_bias_k=0.7, by_day_k=(1.2, 1.4, 1.8, 2.0, 2.5, 2.8, 3.0)),
    source=Source.READINGS,
    mean_error_k=1.1,
    nights=44,
    first=date(2026, 10, 1),
    last=date(2026, 11, 20),
)


@pytest.fixture
def yard(ledger: SqlLedger) -> SqlLedger:
    ledger.save_fleet(sites=[a_site()])
    return ledger


def guess(day: int, lead: int, lowest_c: float) -> KeptGuess:
    return KeptGuess(
        site="cold-rigg",
        night=date(2026, 12, day),
        lead_day=lead,
        provider="open-meteo",
        issued_at=NOW,
        lowest_c=lowest_c,
        plain_c=lowest_c + 1.0,
    )


def seen(day: int, lowest_c: float) -> SeenNight:
    return SeenNight(
        site="cold-rigg", night=date(2026, 12, day), provider="open-meteo", lowest_c=lowest_c
    )


def intake(name: str, count: int = 2) -> Intake:
    return Intake(
        site="cold-rigg", name=name, received_at=NOW, count=count, first_at=NOW, last_at=NOW
    )


def test_a_lesson_comes_back_as_it_was_kept(yard: SqlLedger) -> None:
    lesson = Lesson(site="cold-rigg", learning=False, learnt=LEARNT, fitted_at=NOW)
    yard.lessons.keep_lesson(Lesson(site="cold-rigg"))
    yard.lessons.keep_lesson(lesson)
    assert yard.lessons.lessons() == {"cold-rigg": lesson}
    assert lesson.in_force is None


def test_a_lesson_of_a_site_that_is_not_entered_is_refused(ledger: SqlLedger) -> None:
    with pytest.raises(RecordError, match="'nowhere' is not entered"):
        ledger.lessons.keep_lesson(Lesson(site="nowhere"))
    with pytest.raises(RecordError, match="'cold-rigg' is not entered"):
        ledger.lessons.take(intake("a.csv"), [AirReading(at=NOW, air_c=1.0)])


def test_the_first_guess_stands_and_the_last_analysis(yard: SqlLedger) -> None:
    yard.lessons.note([guess(2, 1, -1.0), guess(1, 1, -3.0)], [seen(1, -2.0)])
    yard.lessons.note([guess(2, 1, -9.0), guess(2, 2, 4.0)], [seen(1, -2.5)])
    assert list(yard.lessons.guesses("cold-rigg")) == [
        guess(1, 1, -3.0),
        guess(2, 1, -1.0),
        guess(2, 2, 4.0),
    ]
    assert list(yard.lessons.seen("cold-rigg")) == [seen(1, -2.5)]


def test_readings_set_aside_do_not_count_and_come_back(yard: SqlLedger) -> None:
    later = NOW + timedelta(hours=1)
    first = yard.lessons.take(
        intake("a.csv"), [AirReading(at=NOW, air_c=1.0), AirReading(at=later, air_c=2.0)]
    )
    second = yard.lessons.take(intake("b.csv", 1), [AirReading(at=NOW, air_c=5.0)])
    both = [AirReading(at=NOW, air_c=5.0), AirReading(at=later, air_c=2.0)]
    assert list(yard.lessons.readings("cold-rigg")) == both
    yard.lessons.set_aside(second.id, NOW)
    assert [one.air_c for one in yard.lessons.readings("cold-rigg")] == [1.0, 2.0]
    assert [one.forgotten_at for one in yard.lessons.intakes("cold-rigg")] == [None, NOW]
    yard.lessons.set_aside(second.id, None)
    assert list(yard.lessons.readings("cold-rigg")) == both
    assert first.id < second.id


def test_old_nights_and_readings_go_with_the_season(yard: SqlLedger) -> None:
    yard.lessons.note([guess(1, 1, -1.0)], [seen(1, -1.0)])
    yard.lessons.take(intake("a.csv", 1), [AirReading(at=NOW, air_c=1.0)])
    yard.prune(datetime(2028, 3, 1, tzinfo=UTC))
    assert not yard.lessons.guesses("cold-rigg")
    assert not yard.lessons.seen("cold-rigg")
    assert not yard.lessons.readings("cold-rigg")
    assert not yard.lessons.intakes("cold-rigg")


def test_what_was_learnt_goes_with_its_site(yard: SqlLedger) -> None:
    yard.lessons.keep_lesson(Lesson(site="cold-rigg", learnt=LEARNT))
    yard.lessons.note([guess(1, 1, -1.0)], [seen(1, -1.0)])
    yard.save_fleet(sites=[a_site("elsewhere")], remove_others=True)
    assert yard.lessons.lessons() == {}
    assert not yard.lessons.guesses("cold-rigg")


def test_a_place_that_lies_elsewhere_now_forgets_its_nights_and_keeps_whether_it_learns(
    yard: SqlLedger,
) -> None:
    yard.lessons.keep_lesson(Lesson(site="cold-rigg", learning=False, learnt=LEARNT, fitted_at=NOW))
    yard.lessons.note([guess(2, 1, -1.0)], [seen(1, -2.0)])
    yard.lessons.take(intake("a.csv"), [AirReading(at=NOW, air_c=1.0)])

    yard.lessons.forget("cold-rigg", NOW)

    assert yard.lessons.lessons() == {"cold-rigg": Lesson(site="cold-rigg", learning=False)}
    assert list(yard.lessons.guesses("cold-rigg")) == []
    assert list(yard.lessons.readings("cold-rigg")) == []
    (aside,) = yard.lessons.intakes("cold-rigg")
    assert aside.forgotten_at == NOW
