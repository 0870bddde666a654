"""Bays under roofs as lines of text, in three languages."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Language
from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.storage.roof_text import roof_from, roofs_text

BERLIN = ZoneInfo("Europe/Berlin")
HALL = RoofedBays(
    bays=("W-1", "W-2", "W-3", "X"),
    under=Under(
        kind=Roof.HEATED,
        heated_to_c=15.0,
        by="Resi Zwiesel",
        until=datetime(2027, 3, 31, 15, tzinfo=UTC),
    ),
)


@pytest.mark.parametrize(
    "text",
    [
        "W-1..W-3, X heated 15 until 2027-03-31 17:00 by Resi Zwiesel",
        "W-1..W-3,X  beheizt 15 °C bis 2027-03-31 17:00 laut Resi Zwiesel",
        "W-1..W-3, X CHAUFFÉ 15,0 c jusque 2027-03-31T17:00 selon Resi Zwiesel",
    ],
)
def test_a_heated_hall_is_read_in_each_language(text: str) -> None:
    assert roof_from(text, BERLIN) == HALL


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("W-1", "cannot be read"),
        ("W-1 warm", "cannot be read"),
        ("W-1 heated 15 until 2027-02-30 17:00 by Resi", "cannot be read"),
        ("W-1 heated 15 until 0001-01-01 00:00 by Resi", "cannot be read"),
        ("W-1 heated 15 until 2027-03-31 17:00", "who says so"),
        ("W-1 heated 99 until 2027-03-31 17:00 by Resi", "how warm"),
        ("W-1 roofed 15", "not heated"),
    ],
)
def test_what_cannot_be_read_or_vouched_for_says_why(text: str, said: str) -> None:
    with pytest.raises(FleetError, match=said):
        roof_from(text, BERLIN)


names = st.from_regex(r"[A-Z]-[0-9]{1,2}", fullmatch=True)
minutes = st.integers(0, 300_000).map(
    lambda n: datetime.fromtimestamp(1_793_000_000 // 60 * 60 + 60 * n, tz=UTC)
)


@given(
    bays=st.lists(names, min_size=1, max_size=5, unique=True),
    kind=st.sampled_from(Roof),
    warm_c=st.integers(0, 30),
    until=minutes,
    language=st.sampled_from(Language),
)
def test_what_is_written_reads_back_as_the_same(
    bays: list[str], kind: Roof, warm_c: int, until: datetime, language: Language
) -> None:
    heated = kind is Roof.HEATED
    under = Under(kind=kind, heated_to_c=float(warm_c) if heated else None, by="Resi", until=until)
    roof = RoofedBays(bays=tuple(bays), under=under)
    (line,) = roofs_text((roof,), BERLIN, language)
    back = roof_from(line, BERLIN)
    assert back.bays == roof.bays
    # of an hour that the clock repeats the first is meant
    assert abs((back.under.until or until) - until).total_seconds() in (0.0, 3600.0)
    assert (back.under.kind, back.under.by) == (kind, "Resi")
