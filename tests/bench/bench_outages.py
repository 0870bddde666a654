"""Frost nights with the first provider down from 14:00 to 23:00: several draws, three winters.

As ``tests/service/test_outage_nights.py``, which holds one draw of one winter to the figure. Where
the members have the pipe frozen by the first look after it was filled nobody is called: people are
told to leave it alone, counted here as late.
"""

from datetime import timedelta

import structlog

from tests.bench.winters.places import winters
from tests.service.outages import VANS, a_place, frost_days, harmed_nights, live_night

DAY = timedelta(days=1)
DRAWS = 3
PLACES = ("ewr 2013 early", "greensboro", "sand-point")


def main() -> None:
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(50))
    names = ("harmed", "called", "outage", "late")
    print(f"{'winter':16} draw nights {' '.join(f'{name:>6}' for name in names)} more")
    for winter in winters():
        if winter.name not in PLACES:
            continue
        for draw in range(DRAWS):
            span = winter.first - DAY, winter.last + 2 * DAY
            place = a_place(winter.observed, winter.zone, *span, draw=draw)
            days = frost_days(place, winter.first, winter.last)
            harmed = harmed_nights(place, days)
            called = outage = late = more = 0
            for number, day in enumerate(days):
                without = live_night(place, day, outage=False)
                with_it = live_night(place, day, outage=True, half=number % 2)
                for van in VANS:
                    a, b = bool(without.calls[van]), bool(with_it.calls[van])
                    called += a and harmed[day][van]
                    outage += b and harmed[day][van]
                    late += not b and van in with_it.left_alone and harmed[day][van]
                    more += b and not a
            harms = sum(sum(one.values()) for one in harmed.values())
            print(
                f"{winter.name:16} {draw:4} {len(days):6} {harms:6} {called:6} {outage:6} "
                f"{late:6} {more:4}",
                flush=True,
            )


if __name__ == "__main__":
    main()
