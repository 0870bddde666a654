"""What the page behind a link says where no message that still stands says it."""

from frostwatch.messages.wording.draft import Level
from frostwatch.ports.links import is_by_hand
from frostwatch.service.open_links import Due
from frostwatch.web.answers.headlines import Headline, headline_for
from frostwatch.web.answers.telling import Reading


def kicker_of(reading: Reading, name: str) -> str:
    """Which vehicle, where, written when."""
    opened = reading.opened
    known = {"van": name, "place": opened.site.name}
    if is_by_hand(opened.draft):
        return reading.say("kicker.by_hand", **known)
    key = "kicker" if len(opened.vans) == 1 else "kicker.many"
    return reading.say(key, **known, when=reading.speech.hour(opened.draft.at))


def headline_of(reading: Reading, lead: Due | None) -> tuple[Headline, tuple[str, ...]]:
    """The headline and the sentences under it, of a message or of the last pass."""
    by_hand = is_by_hand(reading.opened.draft)
    if by_hand and lead in (Due.ASKED, Due.LAPSED):
        return _by_the_last_pass(reading)
    if lead is Due.LAPSED and _is_called_for(reading):
        return _by_the_last_pass(reading)
    return headline_for(reading, lead)


def _is_called_for(reading: Reading) -> bool:
    """The frost of the message is over, and the last pass found another before it was written."""
    standing = reading.standing
    return standing is not None and standing.level is not Level.NONE


def _by_the_last_pass(reading: Reading) -> tuple[Headline, tuple[str, ...]]:
    say, standing = reading.say, reading.standing
    if reading.is_frozen:
        name = reading.opened.vans[0].name
        return (say("late.no_hour", van=name, day=reading.day), "", ""), (say("late.say"),)
    if standing is None or (standing.unknown and standing.level is Level.NONE):
        return (say("by_hand", day=reading.day), "", ""), (say("by_hand.look"),)
    fixed = standing.work.act_by if standing.work is not None else None
    speech = reading.speech
    if standing.level is not Level.NONE and (fixed or standing.earliest):
        key, hour = "by_hand.due", speech.hour(fixed) if fixed else ""
        if standing.earliest and not fixed:
            key, hour = "by_hand.before", speech.forecast_hour(standing.earliest, down=True)
        before, _, after = say(key, by=hour).partition(hour)
        return (before, hour, after), (say(f"{key}.say"),)
    key = "by_hand.say" if standing.level is Level.NONE else "by_hand.look"
    return (say("by_hand", day=reading.day), "", ""), (say(key),)
