"""The sentences under a round's headline: the air, what is past its hour, the work, the night."""

from markupsafe import Markup

from frostwatch.advice.before_night import BeforeNight
from frostwatch.advice.rounds import Round
from frostwatch.web.pages.yard_now import YardNow
from frostwatch.web.strip import air_sentence
from frostwatch.web.words import Tongue


def say_of(now: YardNow, walk: Round, tongue: Tongue, *, crew: int) -> Markup:
    """What is known of the air, the work, and when the crew is through.

    Args:
        now: the site.
        walk: the round as it would be walked now.
        tongue: language, zone and moment.
        crew: people it is reckoned for.
    """
    t, night, parts = tongue, now.night, []
    if now.board is not None and now.board.facts is not None:
        parts.append(air_sentence(now.board.facts, t))
    passed = sum(s.act_by is not None and s.act_by <= now.now for s in (*walk.stops, *walk.left))
    if passed:
        parts.append(t("round.passed", n=passed))
    if walk.minutes > 0.0:
        parts.append(t("round.work", crew=t.crew_hours(walk.minutes)))
        if night is None or night.slot is not None:
            parts.append(_through(now, walk, t, crew))
        if night is not None:
            parts.append(_before(night, walk, t))
    return Markup(" ").join(parts)


def _through(now: YardNow, walk: Round, t: Tongue, crew: int) -> Markup:
    ready, names = t.about(walk.ready_at), now.crew
    if names and len(names) == crew:
        return t("round.through", n=len(names), who=t.listed(names), ready=ready)
    return t("round.through_many", n=crew, ready=ready)


def _before(night: BeforeNight, walk: Round, t: Tongue) -> Markup:
    """What is left of the day before a night that counts as frost."""
    if night.begun:
        return t("round.night.begun", light=t.hour(night.night.end))
    if night.slot is None:
        return t("round.night.light", dusk=t.hour(night.night.start))
    if walk.ready_at > night.slot.end:
        return t("round.night.short", ends=t.hour(night.slot.end))
    return t("round.night.slot", dusk=t.hour(night.night.start))
