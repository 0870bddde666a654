"""The reasons of decisions in plain words, then their numbers."""

from collections.abc import Iterator
from datetime import datetime
from typing import Any
from zoneinfo import ZoneInfo

from frostwatch.advice.reminders import Decision, Reason
from frostwatch.advice.slots import Diary
from frostwatch.messages.wording.draft import Kind
from frostwatch.ports import KeptDecision, MessageStatus, OutboxRow
from frostwatch.service.why import Reasons, Told, Why
from frostwatch.storage.entry_text import utc_text

SENTENCES: dict[Reason, str] = {
    Reason.FIRST: "It was the first call in this spell of frost.",
    Reason.AFTER_QUIET: "Frost is back after some quiet days.",
    Reason.NEW_WATER: "New water was recorded.",
    Reason.LEVEL_ROSE: "It became more serious than when last told.",
    Reason.HOUR_EARLIER: "The hour moved at least 3 h earlier than told.",
    Reason.SURER: "Harm became much more likely than when first told.",
    Reason.COLDER: "It gets colder than when they said they could not come.",
    Reason.REMINDED: "Nobody had answered, and it was the last chance by daylight.",
    Reason.WEEKLY: "A week had passed since the last call and the frost goes on.",
    Reason.DOES_NOT_FIT: "The work would not fit into a later slot.",
    Reason.ACT_BY_PASSED: "The hour to work to passed without an answer.",
    Reason.NO_SLOT: "There is no slot left before the frost.",
    Reason.HARM_BEGUN: "Ice has more likely than not begun to do harm.",
    Reason.THAWED: "It was frozen, and the air has been mild for some hours.",
    Reason.AHEAD: "Frost lies ahead.",
    Reason.UNKNOWN: "Nobody knows what is in it, and frost lies ahead.",
    Reason.SCHEDULED: "It was the time for it.",
    Reason.FORECAST_LOST: "There was no usable forecast. That does not mean no frost.",
    Reason.CLEARED: "A forecast could be read again.",
    Reason.BY_HAND: "Whoever runs the place sent it.",
    Reason.NOT_DELIVERED: "An urgent message reached nobody, and nobody had answered.",
    Reason.PLANNED: "A handover is near: its plan was told.",
    Reason.HOUR_MOVED: "The hour at which heating must be on has moved.",
    Reason.HEATING_ON: "It was the hour to switch the heating on.",
    Reason.TAKEN_OFF: "The handover of which they had been told was taken off, or moved far ahead.",
    Reason.DRAINED: "As recorded, nothing in it holds water that frost could harm.",
    Reason.VALVE: "Only the heater tank holds water, and its valve opens by itself.",
    Reason.STAYS_LIQUID: "Harm in the hours that only the coming slot can meet was less likely "
    "than the ratio that makes a visit worth while.",
    Reason.LATER_SLOT: "A later slot still serves, and is decided on with a better forecast.",
    Reason.LATER_READING: "A later reading still serves, before work begins.",
    Reason.TOLD: "It was told already in this spell.",
    Reason.ANSWERED_DONE: "It was answered done.",
    Reason.ANSWERED_CANNOT: "They answered that they cannot come.",
    Reason.GOING: "Somebody is going.",
    Reason.NOT_THAWED: "It is probably frozen and has not thawed: it is left alone.",
    Reason.TOO_SHORT: "There is no slot, and too little time left to go.",
    Reason.NOT_YET: "It was not a time at which this is told.",
    Reason.BUDGET: "They were sent enough for now.",
    Reason.FEW: "They were told of others today, and fewer than three have come since.",
    Reason.QUIET_HOURS: "It was in their quiet hours.",
    Reason.NOBODY: "Nobody is entered who could be told. Enter a keeper with a channel, or an "
    "operator of the site.",
    Reason.LAST_STANDS: "There was no usable forecast, which does not mean no frost. Whoever runs "
    "the place is told of that; what was said of the vehicle before stands.",
}
"""A plain sentence for every reason."""


def reasons_in_words(found: Reasons) -> str:
    """Everything that stood about a vehicle, person by person."""
    zone, vehicle = found.site.zone, found.vehicle
    place = f"bay {vehicle.bay} at {found.site.name}" if vehicle.bay else found.site.name
    lines = [f"{vehicle.key}, {place}, {_hour(found.at, zone)} ({zone.key})."]
    failing = found.site_pass
    if failing is not None and failing.failed_at is not None:
        lines.append(f"The site's last {failing.failures} passes failed: {failing.cause}")
    if not found.found:
        lines += [
            "Nothing was decided about it by then, or it is no longer kept: decisions to say "
            "nothing are kept for 30 days.",
            "Nothing is known from this about the frost.",
        ]
    for why in found.found:
        lines += ["", *_why(why, found, zone)]
    return "\n".join(lines)


def _why(why: Why, found: Reasons, zone: ZoneInfo) -> Iterator[str]:
    decision = why.kept.decision
    who = why.person.name if why.person is not None else decision.recipient or "Nobody"
    kind = decision.kind.value if decision.kind is not None else "say nothing"
    yield f"{who}: {kind}. {SENTENCES[decision.reason]}"
    if why.person is not None:
        diary = Diary(person=why.person, site=found.site)
        if diary.is_quiet(found.at):
            until = f"{diary.quiet_ends(found.at).astimezone(zone):%H:%M}"
            yield f"  It was in their quiet hours: what came in waited until {until}."
    if why.answer is not None:
        yield f"  Last answer: {why.answer.kind.value}, {_hour(why.answer.at, zone)}."
    yield from (f"  {line}" for line in _numbers(why.kept, zone))
    yield f"  {_basis(why, zone)}"
    yield from (f"  {line}" for line in _said(why, zone))


def _numbers(kept: KeptDecision, zone: ZoneInfo) -> Iterator[str]:
    decision = kept.decision
    until = "" if kept.until_at == decision.at else f", the same until {_hour(kept.until_at, zone)}"
    yield f"Decided {_hour(decision.at, zone)}{until}; level {decision.level.value}."
    if decision.probability is None:
        yield f"Water reckoned with: {decision.litres:.3g} L. No night was looked at."
        return
    start = _hour(decision.window_from, zone) if decision.window_from else "now"
    end = _hour(decision.window_to, zone) if decision.window_to else "the end of what is known"
    ratio = f", held against the ratio {_percent(decision.ratio)}" if decision.ratio else ""
    yield (
        f"Chance of harm from {start} to {end}: {_percent(decision.probability)}{ratio}; before "
        f"that {_percent(decision.before)}; begun already {_percent(decision.begun)}."
    )
    earliest, likely, by = (
        _hour(moment, zone) if moment else "-"
        for moment in (decision.earliest, decision.likely, decision.act_by)
    )
    yield f"Harm earliest {earliest}, likely {likely}; to work to {by}; {decision.litres:.3g} L."


def _basis(why: Why, zone: ZoneInfo) -> str:
    decision = why.kept.decision
    if decision.issued_at is None:
        return "It rests on no forecast."
    words = f"It rests on {decision.provider}, issued {_hour(decision.issued_at, zone)}"
    if why.reply is not None:
        return f"{words}, fetched {_hour(why.reply.fetched_at, zone)} (reply {why.reply.id})."
    return f"{words}; the reply itself is no longer kept."


def _said(why: Why, zone: ZoneInfo) -> Iterator[str]:
    told = why.told
    if told is None:
        yield "Nothing was said to them about it in the 30 days before."
        return
    said = told.kept.decision
    kind = said.kind.value if said.kind is not None else ""
    yield f"{'Said' if told.kept is why.kept else 'Last said'} {_hour(said.at, zone)}: {kind}."
    if not told.rows:
        yield "  No message is kept of it: they have no channel, or it is too long ago."
    for row in told.rows:
        yield f"  by {row.message.channel}: {became(row, zone)}"
    if told.rows:
        yield f"  {told.rows[0].message.short}"


def became(row: OutboxRow, zone: ZoneInfo) -> str:
    """What delivery said of a message."""
    result = f": {row.result}" if row.result else ""
    match row.status:
        case MessageStatus.SENT:
            at = f" {_hour(row.sent_at, zone)}" if row.sent_at else ""
            return f"taken by the channel{at}{result}"
        case MessageStatus.QUEUED | MessageStatus.CLAIMED:
            tries = f"tried {row.attempts} times" if row.attempts else "not tried yet"
            return f"waits, {tries}, next {_hour(row.next_try_at, zone)}{result}"
        case _:
            return f"{row.status.value} after {row.attempts} tries{result}"


def _hour(moment: datetime, zone: ZoneInfo) -> str:
    return f"{moment.astimezone(zone):%a %Y-%m-%d %H:%M}"


def _percent(share: float | None) -> str:
    return "-" if share is None else f"{100.0 * share:.1f} %"


def reasons_as_json(found: Reasons) -> dict[str, Any]:
    """Everything for machines."""
    return {
        "vehicle": found.vehicle.key,
        "site": found.site.key,
        "at": utc_text(found.at),
        "site_failing": (found.site_pass.cause or None) if found.site_pass else None,
        "decisions": [
            {
                **_decision(why.kept.decision),
                "until": utc_text(why.kept.until_at),
                "in_words": SENTENCES[why.kept.decision.reason],
                "reply": why.kept.reply_id,
                "fetched_at": utc_text(why.reply.fetched_at) if why.reply else None,
                "answer": why.answer.kind.value if why.answer else None,
                "said": _told_as_json(why.told),
            }
            for why in found.found
        ],
    }


def _decision(decision: Decision) -> dict[str, Any]:
    plain = decision.to_dict()
    kind = decision.kind.value if isinstance(decision.kind, Kind) else None
    return {**plain, "kind": kind}


def _told_as_json(told: Told | None) -> dict[str, Any] | None:
    if told is None:
        return None
    said = told.kept.decision
    return {
        "at": utc_text(said.at),
        "kind": said.kind.value if said.kind else None,
        "messages": [
            {
                "channel": row.message.channel,
                "status": row.status.value,
                "attempts": row.attempts,
                "sent_at": utc_text(row.sent_at) if row.sent_at else None,
                "result": row.result,
                "short": row.message.short,
            }
            for row in told.rows
        ],
    }
