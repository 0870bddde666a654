"""Heights looked up are kept for good, a failure until it is mended."""

from datetime import datetime, timedelta

from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.forecast import Attribution, FailureKind, FetchFailure
from frostwatch.weather.terrain import Terrain

CREDIT = Attribution(text="Heights: a map", url="https://map.example", licence="open")


def test_what_was_said_about_a_place_comes_back_as_it_was(ledger: SqlLedger, now: datetime) -> None:
    known = Terrain(place="54.40,-2.90", asked_at=now, heights_m=(1.5,) * 9, credit=CREDIT)
    away = FetchFailure(
        kind=FailureKind.UNREACHABLE, message="away", retry_at=now + timedelta(hours=1)
    )
    failed = Terrain(place="54.41,-2.90", asked_at=now, failure=away)

    ledger.terrain.keep([known, failed])

    found = ledger.terrain.known(["54.40,-2.90", "54.41,-2.90", "54.42,-2.90"])
    assert found == {"54.40,-2.90": known, "54.41,-2.90": failed}


def test_the_newer_word_on_a_place_takes_the_place_of_the_older(
    ledger: SqlLedger, now: datetime
) -> None:
    away = FetchFailure(kind=FailureKind.UNREACHABLE, message="away")
    known = Terrain(place="54.40,-2.90", asked_at=now, heights_m=(1.5,) * 9, credit=CREDIT)

    ledger.terrain.keep([Terrain(place="54.40,-2.90", asked_at=now, failure=away)])
    ledger.terrain.keep([known])

    assert ledger.terrain.known(["54.40,-2.90"]) == {"54.40,-2.90": known}
