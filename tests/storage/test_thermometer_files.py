"""A thermometer's CSV as loggers write it, and what is refused by its line."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from frostwatch.storage.file_rows import Problem
from frostwatch.storage.thermometer_files import ReadingsFile, read_thermometer_csv, zone_of
from frostwatch.storage.thermometer_times import DayOrder

BERLIN = ZoneInfo("Europe/Berlin")
SIX = datetime(2026, 12, 1, 6, 10, tzinfo=UTC)


def read(text: str, **options: object) -> ReadingsFile:
    found = read_thermometer_csv(text, BERLIN, **options)  # type: ignore[arg-type]
    assert isinstance(found, ReadingsFile), found
    return found


def refused(text: str, **options: object) -> str:
    found = read_thermometer_csv(text, BERLIN, **options)  # type: ignore[arg-type]
    assert isinstance(found, list)
    assert all(isinstance(one, Problem) for one in found)
    return "\n".join(map(str, found))


@pytest.mark.parametrize(
    "text",
    [
        "time,air_c\n2026-12-01T07:10:00+01:00,-2.4\n",
        "time,air_c\r\n2026-12-01T06:10Z,-2.4\r\n\r\n",
        "Timestamp;Temperature (°C);Humidity (%)\n2026-12-01 07:10:00;-2,4;81\n",
        'Date Time,"Temp, °C"\n2026-12-01 07:10,-2.4\n',
        "Datum;Uhrzeit;Außentemperatur\n01.12.2026;07:10;-2,4\n",
        "Datum/Uhrzeit\tInnentemperatur °C\tAußentemperatur °C\n01.12.26 07:10\t18,0\t-2,4\n",
        "Horodatage;Température extérieure;Point de rosée\n2026-12-01 07:10;-2,4;-3\n",
        "Date,Time,Outdoor Temperature (°F)\n12/13/2026,1:00 AM,20\n12/01/2026,7:10 AM,27.68\n",
        "time (utc),temp\n2026-12-01 06:10,−2.4\n",
        "timestamp,temperature\n1796105400,-2.4\n",
        "timestamp,temperature\n1796105400000,-2.4 °C\n",
        "Logger 12 of the yard\nserial;4711\n\nZeitpunkt;Temperatur\n2026-12-01 07:10;-2,4\n",
        "2026-12-01 07:10;-2,4\n",
        '"2026-12-01 07:10","-2,4"\n',
        "\ufefftime|air_c\n2026-12-01 07:10|-2.4\n",
        "time;t\n2026-12-01 07:10;-2,4\n",
        "time,dew point,air temperature,min temperature\n2026-12-01 07:10,-4,-2.4,-9\n",
    ],
)
def test_many_ways_of_writing_are_understood(text: str) -> None:
    last = read(text).readings[-1]
    assert last.at == SIX
    assert last.air_c == pytest.approx(-2.4)


def test_rows_without_a_value_are_counted_and_left_out() -> None:
    found = read("time,air_c\n2026-12-01T06:00Z,\n2026-12-01T06:05Z,--\n2026-12-01T06:10Z,1\n")
    assert found.without_value == 2
    assert [one.air_c for one in found.readings] == [1.0]


def test_an_hour_that_comes_twice_in_autumn_is_read_twice() -> None:
    """25 October 2026: 02:00 to 03:00 comes in summer time, then in winter time."""
    rows = ["01:30", "02:00", "02:30", "02:00", "02:30", "03:00"]
    text = "time,air_c\n" + "".join(f"2026-10-25 {at},1\n" for at in rows)
    first = datetime(2026, 10, 24, 23, 30, tzinfo=UTC)
    expected = [first + timedelta(minutes=30 * n) for n in range(6)]
    assert [one.at for one in read(text).readings] == expected


def test_an_hour_that_spring_leaves_out_is_refused_with_the_way_out() -> None:
    text = "time,air_c\n2026-03-29 01:30,1\n2026-03-29 02:30,1\n"
    assert "line 3: 2026-03-29 02:30 does not exist" in refused(text)
    assert "--clock +01:00" in refused(text)
    winter_time = zone_of("+01:00", BERLIN)
    assert winter_time == timezone(timedelta(hours=1))
    assert winter_time is not None
    found = read_thermometer_csv(text, winter_time)
    assert isinstance(found, ReadingsFile)
    assert found.readings[-1].at == datetime(2026, 3, 29, 1, 30, tzinfo=UTC)


def test_a_file_says_itself_whether_the_day_or_the_month_comes_first() -> None:
    head = "time,air_c\n"
    assert read(head + "03/04/2026 06:00,1\n13/04/2026 06:00,1\n").readings[0].at.month == 4
    assert read(head + "03/04/2026 06:00,1\n03/14/2026 06:00,1\n").readings[0].at.month == 3
    either = head + "03/04/2026 06:00,1\n"
    assert "may be day or month first" in refused(either)
    assert read(either, day_order=DayOrder.DAY_FIRST).readings[0].at.month == 4
    assert read(either, day_order=DayOrder.MONTH_FIRST).readings[0].at.month == 3


def test_of_several_temperatures_one_has_to_be_named() -> None:
    text = "time,temp north,temp south\n2026-12-01 07:10,-2.4,9\n"
    assert "several columns could be the air outdoors: 'temp north', 'temp south'" in refused(text)
    assert read(text, column="Temp North").readings[0].air_c == -2.4
    assert "no column is called 'west'" in refused(text, column="west")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        ("\n\n", "the file is empty"),
        ("when,degrees\n1,2\n", "no header names a time and an air"),
        ("time,air_c\n", "no reading below the header"),
        ("time,air_c\n2026-12-01T06:00Z,\n", "no row has a value"),
        ("time,air_c\n2026-12-01T06:00Z,1\nyesterday,2\n", "line 3: 'yesterday' is no time"),
        ("time,air_c\n2026-12-01T06:00Z,cold\n", "line 2: 'cold' is no temperature"),
        ("time,air_c\n2026-12-01T06:00Z,275.3\n", "line 2: 275.3 is no air temperature"),
        ("time,air_c\n2026-12-01T06:00Z,68\n", "Is it Fahrenheit?"),
        ("time,air_c\n2026-12-01 06:00,-2,4\n", "there are 3 cells, the header has 2"),
        ("time,air_c\n2026-12-01T06:00Z,inf\n", "'inf' is no temperature"),
        ("time,air_c\n0001-01-01T00:00+05:00,1\n", "line 2: '0001-01-01T00:00+05:00' lies beyond"),
        ("time,air_c\n31.02.2026 06:00,1\n", "line 2: '31.02.2026 06:00' is no time"),
    ],
)
def test_what_is_not_understood_is_refused_by_its_line(text: str, words: str) -> None:
    assert words in refused(text)


def test_ten_faults_are_enough_to_name() -> None:
    assert len(refused("time,air_c\n" + "x,1\n" * 50).splitlines()) == 10


@given(st.text(max_size=300))
def test_no_text_whatever_breaks_the_reader(text: str) -> None:
    found = read_thermometer_csv(text, BERLIN)
    if isinstance(found, ReadingsFile):
        assert all(-60.0 <= one.air_c <= 50.0 for one in found.readings)
        assert all(one.at.tzinfo is UTC for one in found.readings)
    else:
        assert found


@given(
    st.lists(st.floats(-40.0, 40.0).map(lambda v: round(v, 1)), min_size=1, max_size=30),
    st.sampled_from(";\t|"),
    st.booleans(),
)
def test_what_a_logger_wrote_is_read_back(values: list[float], sign: str, comma: bool) -> None:
    moments = [SIX + timedelta(minutes=10 * n) for n in range(len(values))]
    rows = [
        f"{at.astimezone(BERLIN):%d.%m.%Y %H:%M}{sign}"
        + (str(value).replace(".", ",") if comma else str(value))
        for at, value in zip(moments, values, strict=True)
    ]
    found = read("\n".join([f"Zeit{sign}Temperatur", *rows]))
    assert [one.at for one in found.readings] == moments
    assert [one.air_c for one in found.readings] == values


def test_a_clock_is_local_utc_or_an_offset() -> None:
    assert zone_of("local", BERLIN) is BERLIN
    assert zone_of("utc", BERLIN) is UTC
    assert zone_of("Mars", BERLIN) is None
