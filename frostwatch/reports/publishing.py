"""From what stands in a calendar now and what was last shown to what is shown next.

A moved hour moves its appointment. What is called off before it begins stays, marked so, until its
hour is over: a calendar that only takes in changes would keep it otherwise, and somebody who had
planned to go learns that they need not. What has begun stays to its end. What is over goes.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import datetime

from frostwatch.ports.calendars import Appointment, Publication, Shown


def published(
    before: Publication | None,
    appointments: Iterable[Appointment],
    *,
    name: str,
    zone: str,
    about: str,
    gone: str,
    now: datetime,
) -> Publication:
    """What is shown next.

    Args:
        before: what was last shown; None if nothing was.
        appointments: what stands now, in any order; of two with one key the later one holds.
        name: shown for the calendar.
        zone: IANA zone in which to show it.
        about: what it rests on.
        gone: what a summary becomes where its appointment is called off; ``{what}`` is the summary.
        now: aware UTC time.
    """
    known = before.shown if before is not None else {}
    wanted = _as_before(known, {one.key: one for one in appointments}, now)
    shown = {key: _next(known.get(key), one, now) for key, one in wanted.items()}
    for key, one in _left(known, wanted, gone, now):
        shown[key] = one
    made = Publication(changed_at=now, name=name, zone=zone, about=about, shown=shown)
    same = before is not None and replace(made, changed_at=before.changed_at) == before
    return before if before is not None and same else made


def once(
    appointments: Iterable[Appointment], *, name: str, zone: str, about: str, now: datetime
) -> Publication:
    """A calendar that is written to a file: nobody was shown anything before."""
    shown = {one.key: Shown(appointment=one, changed_at=now) for one in appointments}
    return Publication(changed_at=now, name=name, zone=zone, about=about, shown=shown)


def _as_before(
    known: Mapping[str, Shown], wanted: Mapping[str, Appointment], now: datetime
) -> dict[str, Appointment]:
    """What is wanted, under the key by which it was shown before.

    A slot for several vehicles goes on while one after another is seen to, and when its hour moves.
    """
    pairs = [
        (len(set(one.kin) & set(was.appointment.kin)), key, old)
        for key, one in wanted.items()
        for old, was in known.items()
        if was.appointment.ends > now and _family(old) == _family(key)
    ]
    found: dict[str, str] = {}
    for shared, key, old in sorted(pairs, key=lambda pair: (-pair[0], pair[1], pair[2])):
        if shared and key not in found and old not in found.values():
            found[key] = old
    free = {key: one for key, one in wanted.items() if key not in found}
    moved = {old: replace(wanted[key], key=old) for key, old in found.items()}
    fresh = (replace(one, key=_fresh(key, moved)) for key, one in free.items())
    return {**{one.key: one for one in fresh}, **moved}


def _family(key: str) -> tuple[str, ...]:
    return tuple(key.split("/")[:3])


def _fresh(key: str, taken: Mapping[str, Appointment]) -> str:
    return _fresh(f"{key}+", taken) if key in taken else key


def _next(before: Shown | None, one: Appointment, now: datetime) -> Shown:
    if before is None or before.appointment.ends <= now:
        return Shown(appointment=one, first_at=now, changed_at=now)
    was = before.appointment
    moved = (was.starts, was.ends) != (one.starts, one.ends) or before.gone
    if was == one and not moved:
        return before
    return replace(
        before,
        appointment=one,
        sequence=before.sequence + moved,
        changed_at=now,
        gone=False,
    )


def _left(
    known: Mapping[str, Shown],
    wanted: Mapping[str, Appointment],
    gone: str,
    now: datetime,
) -> Iterator[tuple[str, Shown]]:
    """What was shown and stands no longer, as far as it is still to be seen."""
    for key, one in known.items():
        if key in wanted or one.appointment.ends <= now or one.appointment.fleeting:
            continue
        if one.gone or one.appointment.starts <= now:
            yield key, one
            continue
        called_off = replace(
            one.appointment, summary=gone.format(what=one.appointment.summary), told_before=None
        )
        yield (
            key,
            replace(
                one,
                appointment=called_off,
                sequence=one.sequence + 1,
                changed_at=now,
                gone=True,
            ),
        )
