"""Notes across a page: what is to be minded about the forecast, the passes and the records."""

from dataclasses import dataclass
from datetime import timedelta

from markupsafe import Markup

from frostwatch.advice.walk import stops_now
from frostwatch.web.pages.rows import named
from frostwatch.web.pages.yard_now import Sky, YardNow
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """One note.

    Attributes:
        kind: how it is edged: "" plain, "by", "late", "two", "quiet".
        text: what it says.
        urgent: read out at once.
    """

    kind: str
    text: Markup
    urgent: bool = False


def notes_of(now: YardNow, tongue: Tongue, *, listed: bool = True) -> tuple[Note, ...]:
    """What is to be minded at a site, the gravest first.

    Args:
        now: the site.
        tongue: language, zone and moment.
        listed: the page lists vehicles; else it is about one.
    """
    one = "" if listed else ".one"
    found = [*_forecast(now, tongue, one), *_service(now, tongue, one)]
    found += _two_records(now, tongue)
    return tuple(found)


def _forecast(now: YardNow, t: Tongue, one: str) -> list[Note]:
    board = now.yard.board
    if now.sky is Sky.NOT_READ or board is None:
        return [Note(kind="quiet", text=t(f"note.reading{one}", place=now.yard.site.name))]
    issued = board.basis.issued_at
    age_h = round((now.now - issued) / timedelta(hours=1)) if issued is not None else 0
    if now.sky is Sky.NONE:
        key = "note.none_since" if issued is not None else "note.none"
        values = {"issue": t.hour(issued), "hours": age_h} if issued is not None else {}
        return [Note(kind="by", text=t(key + one, **values))]
    if now.sky is Sky.OLDER and issued is not None:
        return [Note(kind="", text=t("note.older", issue=t.hour(issued), hours=age_h))]
    return []


def _service(now: YardNow, t: Tongue, one: str) -> list[Note]:
    passed, board = now.yard.passed, now.yard.board
    found = []
    if passed is not None and passed.failed_at is not None and passed.cause:
        cause = t.fault(passed.cause.rstrip(". ") + ".")
        text = t(f"note.failed{one}", at=t.hour(passed.failed_at), cause=cause)
        found.append(Note(kind="", text=text, urgent=True))
    elif now.pass_is_late and board is not None:
        found.append(
            Note(kind="", text=t(f"note.late_pass{one}", at=t.hour(board.at)), urgent=True)
        )
    return found


def _two_records(now: YardNow, t: Tongue) -> list[Note]:
    yard = now.yard
    walks = ((yard.round, yard.presses), (yard.over, yard.over_presses))
    return [
        Note(
            kind="two",
            text=t(
                "note.two",
                bay=stop.walk.stop.bay,
                who=t.listed([named(p.by, now.yard.people) for p in (stop.press, *stop.others)]),
                href=f"/walk/{walk.code}#two",
            ),
        )
        for walk, presses in walks
        if walk is not None
        for stop in stops_now(walk, presses)
        if stop.disagrees and stop.press is not None
    ]
