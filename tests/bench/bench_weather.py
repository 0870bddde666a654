"""How long replies take to read, and members to make.

Run by ``make bench``. Goals: 100 places of 216 hours out of one body in under 0.3 s; members of one
site in under 3 ms.
"""

import time
from collections.abc import Callable
from datetime import UTC, datetime

from frostwatch.weather.forecast import Forecast, point_for
from frostwatch.weather.providers import met_norway_reply, open_meteo_reply
from frostwatch.weather.site_air import air_at_site
from tests.weather.bodies import as_bytes, met_norway, open_meteo
from tests.weather.simulated import day_of_requests

NOW = datetime(2026, 12, 1, 6, 5, tzinfo=UTC)
PLACES = [point_for(50.0 + number / 10, 1.0, 25.0 * (number % 9)) for number in range(100)]


def best_of(runs: int, work: Callable[[], object]) -> float:
    """Shortest time of several runs [s]."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return min(times)


def a_batch(hours: int, past_h: int) -> bytes:
    """The body of a request for 100 places."""
    return as_bytes(
        [
            open_meteo(NOW, hours=hours, past_h=past_h, location_id=number)
            for number in range(len(PLACES))
        ]
    )


def main() -> None:
    """Print the figures."""
    for hours, past_h in ((216, 48), (288, 120)):
        body = a_batch(hours, past_h)
        took_s = best_of(5, lambda body=body: open_meteo_reply.parse(body, PLACES, NOW))  # type: ignore[misc]
        size = len(body) / 1e6
        print(
            f"  read 100 places x {hours} h ({size:.1f} MB)            {took_s:7.3f} s  (goal 0.3)"
        )
    body = as_bytes(met_norway(NOW))
    took_s = best_of(5, lambda: met_norway_reply.parse(body, PLACES[:1], NOW))
    print(f"  read one place of MET Norway                  {1000 * took_s:7.2f} ms")
    frame = open_meteo_reply.parse(as_bytes(open_meteo(NOW)), PLACES[:1], NOW)[PLACES[0].key]
    assert isinstance(frame, Forecast)
    sites = iter(range(10_000))

    def one_site() -> None:
        air_at_site(
            frame,
            site_key=f"site-{next(sites)}",
            now=NOW,
            height_m=100.0,
            lie_offset_k=-2.0,
            shelter_factor=0.7,
        )

    took_ms = 1000 * best_of(200, one_site)
    print(f"  air of one site, 40 members, 289 hours        {took_ms:7.2f} ms (goal 3)")
    print_requests()


def print_requests() -> None:
    """What 1,000 sites at 120 places ask in a day, spread and members included."""
    days = {
        "mild, nights above 5 degC": (8.0, 1),
        "cool, nights of 4 degC": (4.0, 1),
        "frost, hourly refreshes": (-2.0, 1),
        "first day ever, mild": (8.0, 0),
    }
    print("  1,000 sites, 120 places, one day              weight  requests  (goal 1,300 and 25)")
    for words, (air_c, days_before) in days.items():
        day = day_of_requests(air_c, days_before=days_before)
        print(f"    {words:42s} {day.weight:8,.0f}  {day.requests:8d}")


if __name__ == "__main__":
    main()
