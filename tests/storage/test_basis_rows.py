"""What judgements rested on, on every database."""

from dataclasses import fields, replace
from datetime import date, timedelta

import numpy as np
import pytest
from sqlalchemy import text

from frostwatch.errors import LedgerError
from frostwatch.ports import FrameBasis, KeptState, PassBasis
from frostwatch.storage.ledger import SqlLedger
from frostwatch.weather.forecast import Attribution
from frostwatch.weather.learning import Learnt, Source
from frostwatch.weather.members import ErrorLaw
from tests.builders import NOW, a_site, a_vehicle, an_operator

FRAME = FrameBasis(
    reply_id=7,
    spread_reply_id=8,
    provider="open-meteo",
    fetched_at=NOW,
    height_m=410.0,
    grid_height_m=None,
    warnings=("a gap was bridged",),
    attribution=(Attribution(text="Data", url="https://x.example", licence="CC BY 4.0"),),
    recent_c=np.array([1.25, np.nan, -3.5]),
    spread_k=np.array([np.nan, 0.5]),
    earlier={"air_c": np.array([1.0, 2.0])},
    earlier_h=2,
    lowered_k=0.65,
    digest="abc",
)
BASIS = PassBasis(
    site=a_site(),
    at=NOW,
    said=True,
    people=(an_operator(),),
    vehicles=(a_vehicle(),),
    reminders=(),
    judged_to=NOW - timedelta(hours=8),
    states=(
        KeptState(
            vehicle="Y03",
            at=NOW,
            signature="s",
            arrays={
                "enthalpy_j": np.arange(6, dtype=np.float32).reshape(2, 3),
                "tripped": np.zeros((2, 0), dtype=np.float32),
            },
        ),
    ),
    members=40,
    learnt=Learnt(
        law=ErrorLaw(site_bias_k=0.7),
        source=Source.READINGS,
        mean_error_k=1.1,
        nights=44,
        first=date(2026, 10, 1),
        last=date(2026, 11, 20),
    ),
    frame=FRAME,
)


@pytest.fixture
def yard(ledger: SqlLedger) -> SqlLedger:
    ledger.save_fleet(sites=[a_site()])
    return ledger


def keep(ledger: SqlLedger, basis: PassBasis) -> None:
    ledger.commit(basis.site.key, basis.at, basis=basis)


def test_everything_comes_back_as_it_was_number_by_number(yard: SqlLedger) -> None:
    keep(yard, BASIS)
    found = yard.bases.at("cold-rigg", NOW + timedelta(hours=1))
    assert found is not None
    for name in ("site", "at", "said", "people", "vehicles", "judged_to", "members", "learnt"):
        assert getattr(found, name) == getattr(BASIS, name), name
    (state,), (was,) = found.states, BASIS.states
    assert (state.vehicle, state.at, state.signature) == (was.vehicle, was.at, was.signature)
    for name, values in was.arrays.items():
        assert state.arrays[name].shape == values.shape
        np.testing.assert_array_equal(state.arrays[name], values)
    frame = found.frame
    assert frame is not None
    for field in fields(FRAME):
        was, now = getattr(FRAME, field.name), getattr(frame, field.name)
        if field.name == "earlier":
            was, now = was["air_c"], now["air_c"]
        np.testing.assert_equal(now, was, err_msg=field.name)


def test_a_judgement_without_forecast_is_kept_too(yard: SqlLedger) -> None:
    keep(yard, replace(BASIS, frame=None, learnt=None, states=()))
    (found,) = yard.bases.listed("cold-rigg", since=NOW)
    assert (found.frame, found.learnt, found.states) == (None, None, ())


def test_the_last_one_up_to_a_moment_is_found_and_none_before_the_first(yard: SqlLedger) -> None:
    for hours in (0, 2, 4):
        keep(yard, replace(BASIS, at=NOW + timedelta(hours=hours)))
    found = yard.bases.at("cold-rigg", NOW + timedelta(hours=3))
    assert found is not None
    assert found.at == NOW + timedelta(hours=2)
    assert yard.bases.at("cold-rigg", NOW - timedelta(minutes=1)) is None
    assert yard.bases.at("elsewhere", NOW) is None


def test_silence_goes_after_a_fortnight_and_the_rest_after_a_season(yard: SqlLedger) -> None:
    keep(yard, BASIS)
    keep(yard, replace(BASIS, said=False))
    yard.prune(NOW + timedelta(days=15))
    assert [one.said for one in yard.bases.listed("cold-rigg", since=NOW)] == [True]
    yard.prune(NOW + timedelta(days=401))
    assert not yard.bases.listed("cold-rigg", since=NOW)


def test_a_spoilt_row_is_said_in_one_sentence(yard: SqlLedger) -> None:
    keep(yard, BASIS)
    with yard._database.writing() as connection:
        connection.execute(text("UPDATE pass_basis SET numbers = body"))
        connection.execute(text("UPDATE pass_basis SET body = :spoilt"), {"spoilt": b"no zlib"})
    with pytest.raises(LedgerError, match="rested on is spoilt"):
        yard.bases.at("cold-rigg", NOW)
