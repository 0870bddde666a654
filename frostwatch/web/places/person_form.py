"""The form of one person: its fields, what they mean, and what a change of them does."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from urllib.parse import parse_qsl, urlencode

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Channel, Duty, Language, Person, Slot
from frostwatch.ports.changes import Entered
from frostwatch.storage.hours_text import clock_from, range_from, spans_from, spans_text
from frostwatch.storage.vehicle_list import key_from
from frostwatch.web.places.fields import Fields, caution_of
from frostwatch.web.places.keeping import Effect
from frostwatch.web.places.room import PlaceDesk
from frostwatch.web.rights.names import is_email
from frostwatch.web.set_up.fault import Fault
from frostwatch.web.set_up.people_list import SHORT_SCHEMES, reached_by

NAMES = (
    "name",
    "duty",
    "language",
    "reading",
    "travel",
    "slots",
    "quiet",
    "caution",
    "cost_ratio",
    "address",
    "channel",
    "mail_server",
)
WORKS_HERE = (Duty.OPERATOR, Duty.CREW)
MOST_CHANNELS = 8
MAIL_SCHEMES = ("mailto", "mailtos")


def people_of(entered: Entered, site: str) -> tuple[Person, ...]:
    """Everybody who works at a place, keeps a vehicle there or is written to about it."""
    keepers = {one.keeper for one in entered.vehicles if one.site == site}
    operators = {one.operator for one in entered.sites if one.key == site}
    return tuple(
        one for one in entered.people if site in one.sites or one.key in keepers | operators
    )


def person_fields(person: Person | None, language: Language) -> dict[str, str]:
    """The fields of a person; of one who is not entered yet, the usual ones."""
    if person is None:
        return dict.fromkeys(NAMES, "") | {
            "duty": Duty.OWNER.value,
            "language": language.value,
            "quiet": "21:00-06:30",
        }
    caution, ratio = caution_of(person.cost_ratio)
    spans = [(slot.weekday, slot.starts, slot.ends) for slot in person.slots]
    return dict.fromkeys(NAMES, "") | {
        "name": person.name,
        "duty": person.duty.value,
        "language": person.language.value,
        "reading": ", ".join(f"{clock:%H:%M}" for clock in person.reading),
        "travel": f"{person.travel_min:g}",
        "slots": "\n".join(spans_text(spans, language)),
        "quiet": f"{person.quiet_from:%H:%M}-{person.quiet_to:%H:%M}",
        "caution": caution,
        "cost_ratio": ratio,
    }


def person_read(
    desk: PlaceDesk,
    typed: Mapping[str, str],
    before: Person | None,
    entered: Entered,
    gone: frozenset[str],
) -> Person | tuple[Fault, ...]:
    """The person that the fields mean, or what must be put right.

    Args:
        desk: who asks.
        typed: field -> what was typed.
        before: the person as they are entered; None for somebody new.
        entered: everything that is entered.
        gone: names of the ways to reach them that are taken away.
    """
    fields = Fields(typed)
    name = fields.text("name", needed=True)
    duty = fields.word("duty", Duty)
    language = fields.word("language", Language)
    reading = fields.each("reading", clock_from, ",;\n")
    travel_min = fields.number("travel", 0, 2880) or 0.0
    slots = fields.each("slots", _slots)
    quiet = fields.each("quiet", range_from)
    ratio = fields.cost_ratio()
    kept = tuple(one for one in (before.channels if before else ()) if one.name not in gone)
    added = tuple(_channel(desk, fields, kept, entered))
    if fields.faults:
        return tuple(fields.faults)
    sites = _sites(before, duty, desk.site.key)
    made = before or Person(key=key_from(name), name=name, duty=duty)
    quiet_from, quiet_to = quiet[0] if quiet else (made.quiet_from, made.quiet_to)
    return replace(
        made,
        name=name,
        duty=duty,
        language=language,
        channels=(*kept, *added),
        sites=sites,
        travel_min=travel_min,
        reading=tuple(reading),
        slots=tuple(one for those in slots for one in those),
        quiet_from=quiet_from,
        quiet_to=quiet_to,
        cost_ratio=ratio,
    )


def _sites(before: Person | None, duty: Duty, here: str) -> tuple[str, ...]:
    """Where they work; who is new belongs here, whatever their duty, until they keep a vehicle."""
    sites = before.sites if before is not None else (here,)
    if before is not None and before.duty in WORKS_HERE and duty not in WORKS_HERE:
        return tuple(one for one in sites if one != here)
    return (*sites, here) if duty in WORKS_HERE and here not in sites else sites


def _slots(text: str) -> tuple[Slot, ...]:
    return tuple(Slot(weekday=day, starts=a, ends=b) for day, a, b in spans_from(text))


def _channel(
    desk: PlaceDesk, fields: Fields, kept: tuple[Channel, ...], entered: Entered
) -> Iterator[Channel]:
    """One way more to reach somebody, where one was typed."""
    typed = fields.text("address", longest=500)
    name = fields.text("channel")
    if not typed:
        if name:
            fields.fault("address", "change.channel.no_address")
        return
    server = fields.raw("mail_server")[:500] or _mail_server(entered, desk.site.key)
    if is_email(typed) and "://" not in server:
        fields.fault("mail_server", "set.mail_server_unread")
        return
    address = reached_by(typed, server)
    fault = desk.room.address_fault(address)
    if fault:
        fields.refused("address", FleetError(fault))
        return
    scheme = address.partition(":")[0].lower()
    taken = {one.name for one in kept}
    free = [f"{scheme} {n}" if n > 1 else scheme for n in range(1, MOST_CHANNELS + 2)]
    name = name or next(one for one in free if one not in taken)
    if name in taken:
        fields.fault("channel", "change.channel.twice")
        return
    if len(kept) >= MOST_CHANNELS:
        fields.fault("address", "change.channel.many", most=MOST_CHANNELS)
        return
    form = "long" if scheme in (*SHORT_SCHEMES, "outbox") else "short"
    yield Channel(name=name, address=address, form=form)


def _mail_server(entered: Entered, site: str) -> str:
    """The server through which others of the place are reached; "" for none."""
    for person in people_of(entered, site):
        for channel in person.channels:
            head, _, query = channel.address.partition("?")
            rest = [(key, value) for key, value in parse_qsl(query) if key != "to"]
            if head.partition("://")[0] in MAIL_SCHEMES and len(rest) < len(parse_qsl(query)):
                return f"{head}?{urlencode(rest)}" if rest else head
    return ""


def effects_of(before: Person, after: Person, site: str) -> Iterator[Effect]:
    """What a change of somebody does beside what its fields say."""
    if before.channels and not after.channels:
        yield Effect(key="change.person.unreached", values={"name": after.name})
    if site in before.sites and site not in after.sites:
        yield Effect(key="change.person.works_not", values={"name": after.name})
