"""Learning the places: collecting their nights as passes go by, and what follows for the air.

A forecast received towards evening is kept as a guess of each night ahead; the same frame's past
hours say what the nights before it were. A thermometer at the site says it better.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, timedelta

import numpy as np

from frostwatch.errors import RecordError
from frostwatch.fleet.sites import Site
from frostwatch.ports import AirReading, Intake, KeptGuess, Lesson, LessonStore, SeenNight
from frostwatch.service.nights import LIE_OFFSET_K
from frostwatch.weather.forecast import Forecast
from frostwatch.weather.learning import (
    Learnt,
    NightError,
    NightGuess,
    Source,
    learn,
    night_errors,
    night_guesses,
    night_minima,
)
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from frostwatch.weather.site_air import guess_at_site

EVENING_H = (14.0, 21.0)
"""Hours of the sun's day in which a frame counts as the evening's: its lead to the next dawn is
about half a day, as that of the law's first day."""
FIT_EVERY = timedelta(hours=20)
REFIT_EVERY = timedelta(days=6.5)
"""A law that is known is worked out anew once a week: one more night changes it little."""
PLAIN_LAW = replace(DEFAULT_LAW, warm_bias_k=0.0)


@dataclass(slots=True)
class Lessons:
    """Lessons of one running program, over a store.

    Args:
        store: where nights are kept.
    """

    store: LessonStore
    _noted: dict[str, date] = field(default_factory=dict)

    def in_force(self) -> Mapping[str, Learnt]:
        """Site -> what its nights taught; the default law holds for all others."""
        known = self.store.lessons().values()
        return {one.site: one.in_force for one in known if one.in_force is not None}

    def laws(self) -> Mapping[str, ErrorLaw]:
        """Site -> the law that its nights taught; the default holds for all others."""
        return {site: learnt.law for site, learnt in self.in_force().items()}

    def note(self, frames: Iterable[tuple[Site, Forecast]], now: datetime) -> None:
        """Keep what this evening's frames say, once a site and evening, and learn from it."""
        evenings: list[tuple[Site, Forecast]] = []
        fresh: dict[str, date] = {}
        for site, forecast in frames:
            evening = evening_of(forecast, site)
            if evening is not None and self._noted.get(site.key) != evening:
                evenings.append((site, forecast))
                fresh[site.key] = evening
        if not evenings:
            return
        found = [nights_in(forecast, site) for site, forecast in evenings]
        guesses = [guess for own, _ in found for guess in own]
        self.store.note(guesses, [night for _, own in found for night in own])
        lessons = self.store.lessons()
        for site, _ in evenings:
            known = lessons.get(site.key, Lesson(site=site.key))
            wait = FIT_EVERY if known.learnt is None else REFIT_EVERY
            if known.fitted_at is None or now - known.fitted_at >= wait:
                fit(self.store, site, now, known=known)
        self._noted |= fresh


def evening_of(forecast: Forecast, site: Site) -> date | None:
    """Date of the evening in which a frame was issued, None at any other time of day."""
    sun = forecast.known_since.astimezone(UTC) + timedelta(hours=site.longitude_deg / 15.0)
    hour = sun.hour + sun.minute / 60.0
    return sun.date() if EVENING_H[0] <= hour < EVENING_H[1] else None


def nights_in(forecast: Forecast, site: Site) -> tuple[list[KeptGuess], list[SeenNight]]:
    """The nights that a frame forecasts, and those that it says have been.

    Hours that were laid in front of it from an earlier reply are nobody's analysis.
    """
    issued_at, west = forecast.known_since, site.longitude_deg
    lowest, plain = (
        guess_at_site(forecast, height_m=site.height_m, law=law) for law in (DEFAULT_LAW, PLAIN_LAW)
    )
    plainly = {one.night: one for one in night_guesses(forecast.start, plain, issued_at, west)}
    guesses = [
        KeptGuess(
            site=site.key,
            night=one.night,
            lead_day=one.lead_day,
            provider=forecast.provider,
            issued_at=issued_at,
            lowest_c=one.lowest_c,
            plain_c=plainly[one.night].lowest_c,
        )
        for one in night_guesses(forecast.start, lowest, issued_at, west)
    ]
    unix_s = forecast.start.timestamp() + 3600.0 * np.arange(forecast.hours, dtype=np.float64)
    past = slice(forecast.earlier_h, max(forecast.earlier_h, forecast.index_at(issued_at)))
    seen = night_minima(unix_s[past], plain[past], west)
    return guesses, [
        SeenNight(site=site.key, night=night, provider=forecast.provider, lowest_c=lowest_c)
        for night, lowest_c in seen.items()
    ]


def fit(
    store: LessonStore, site: Site, now: datetime, *, known: Lesson | None = None
) -> Learnt | None:
    """Work out what a site's nights teach, and keep it; readings go before any analysis."""
    known = known or store.lessons().get(site.key, Lesson(site=site.key))
    guesses = store.guesses(site.key)
    readings = [one for one in store.readings(site.key) if one.at <= now]
    learnt = learn(by_readings(guesses, readings, site), Source.READINGS)
    if learnt is None:
        learnt = learn(by_analysis(guesses, store.seen(site.key)), Source.ANALYSIS)
    store.keep_lesson(replace(known, learnt=learnt, fitted_at=now))
    return learnt


def by_readings(
    guesses: Sequence[KeptGuess], readings: Sequence[AirReading], site: Site
) -> tuple[NightError, ...]:
    """Guesses, what the ground adds included, against the site's own thermometer."""
    unix_s = np.array([one.at.timestamp() for one in readings], dtype=np.float64)
    air_c = np.array([one.air_c for one in readings], dtype=np.float64)
    minima = night_minima(unix_s, air_c, site.longitude_deg)
    ground_k = LIE_OFFSET_K[site.lie]
    return night_errors([_guess(one, one.lowest_c + ground_k) for one in guesses], minima)


def by_analysis(guesses: Sequence[KeptGuess], seen: Sequence[SeenNight]) -> tuple[NightError, ...]:
    """Guesses against the same provider's analysis: neither knows the ground, nor still nights."""
    found: list[NightError] = []
    for provider in dict.fromkeys(one.provider for one in seen):
        minima = {one.night: one.lowest_c for one in seen if one.provider == provider}
        own = [_guess(one, one.plain_c) for one in guesses if one.provider == provider]
        found += night_errors(own, minima)
    return tuple(found)


def _guess(one: KeptGuess, lowest_c: float) -> NightGuess:
    return NightGuess(night=one.night, lead_day=one.lead_day, lowest_c=lowest_c)


def take_readings(
    store: LessonStore, site: Site, readings: Sequence[AirReading], *, name: str, now: datetime
) -> tuple[Intake, Learnt | None]:
    """Take in what a thermometer at a site showed, by whatever way it came, and learn from it.

    Args:
        store: where it is kept.
        site: where the thermometer hangs.
        readings: its values; later ones of one moment replace earlier ones.
        name: name of the file or of the sender.
        now: aware UTC time.

    Returns:
        The intake with its number, and what the site's nights teach now.

    Raises:
        RecordError: there are none, or they lie in the future; nothing is kept.
    """
    newest = {one.at.astimezone(UTC): one for one in readings}
    if not newest:
        raise RecordError(f"{name}: no readings in it; nothing was taken in.")
    last = max(newest)
    if last > now + timedelta(hours=1):
        raise RecordError(
            f"{name}: a reading of {last:%Y-%m-%d %H:%M} UTC lies in the future; nothing was "
            "taken in. Set the thermometer's clock, or name its time zone."
        )
    ordered = [replace(newest[at], at=at) for at in sorted(newest)]
    intake = store.take(
        Intake(
            site=site.key,
            name=name,
            received_at=now,
            count=len(ordered),
            first_at=ordered[0].at,
            last_at=last,
        ),
        ordered,
    )
    return intake, fit(store, site, now)


def forget(
    store: LessonStore, site: Site, number: int | None, now: datetime, *, again: bool = False
) -> tuple[tuple[Intake, ...], Learnt | None]:
    """Leave readings aside, or let them count again; nothing is deleted.

    Args:
        store: where they are kept.
        site: whose readings.
        number: number of the intake; None for all of the site.
        now: aware UTC time.
        again: let them count again.

    Returns:
        The intakes it was about, and what the site's nights teach now.

    Raises:
        RecordError: there is no such intake.
    """
    own = [one for one in store.intakes(site.key) if number in (None, one.id)]
    if not own:
        what = "has no readings" if number is None else f"has no readings with number {number}"
        raise RecordError(f"site {site.key!r} {what}. See: frostwatch readings {site.key}")
    for one in own:
        store.set_aside(one.id, None if again else one.forgotten_at or now)
    return tuple(own), fit(store, site, now)


def set_learning(store: LessonStore, site: Site, *, learning: bool) -> Lesson:
    """Use what a site's nights taught, or the default law; what was learnt is kept either way."""
    known = store.lessons().get(site.key, Lesson(site=site.key))
    changed = replace(known, learning=learning)
    store.keep_lesson(changed)
    return changed
