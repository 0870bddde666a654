"""The step *People*: a list of people with how they are reached, or what must be put right."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TypeVar
from urllib.parse import quote

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Channel, Duty, Language, Person, Slot
from frostwatch.fleet.sites import Site, SiteKind
from frostwatch.ports.accounts import Role
from frostwatch.storage.file_rows import Problem, Row
from frostwatch.storage.hours_text import clock_from, spans_from
from frostwatch.storage.sheets import Sheet, Where
from frostwatch.storage.typed_lists import as_typed, read_typed, with_row
from frostwatch.storage.vehicle_list import key_from
from frostwatch.told import told, told_by
from frostwatch.web.rights.names import doubt_about, is_email

COLUMNS = ("name", "duty", "address", "language", "reading", "travel_min", "slots", "sign_in")
MOST_PEOPLE = 5_000
LONGEST_CELL = 500
MOST_TRAVEL_MIN = 2880.0

HEADERS: Mapping[str, str] = {
    **{column.replace("_", " "): column for column in COLUMNS},
    "nom": "name",
    "aufgabe": "duty",
    "fonction": "duty",
    "adresse": "address",
    "sprache": "language",
    "langue": "language",
    "reads at": "reading",
    "liest um": "reading",
    "lit à": "reading",
    "travel": "travel_min",
    "anfahrt": "travel_min",
    "trajet": "travel_min",
    "hours": "slots",
    "zeiten": "slots",
    "horaires": "slots",
    "anmeldung": "sign_in",
    "connexion": "sign_in",
}
DUTIES: Mapping[str, Duty] = {
    **{duty.value: duty for duty in Duty},
    "betreiber": Duty.OPERATOR,
    "betreiberin": Duty.OPERATOR,
    "mannschaft": Duty.CREW,
    "halter": Duty.OWNER,
    "halterin": Duty.OWNER,
    "besitzer": Duty.OWNER,
    "besitzerin": Duty.OWNER,
    "händler": Duty.DEALER,
    "händlerin": Duty.DEALER,
    "responsable": Duty.OPERATOR,
    "équipe": Duty.CREW,
    "equipe": Duty.CREW,
    "propriétaire": Duty.OWNER,
    "proprietaire": Duty.OWNER,
    "concessionnaire": Duty.DEALER,
}
Read = TypeVar("Read")
ROLE_OF = {Duty.OPERATOR: Role.OPERATOR, Duty.CREW: Role.CREW, Duty.DEALER: Role.CREW}
"""What somebody who may sign in may do at the place, by their duty there."""
SHORT_SCHEMES = ("mailto", "mailtos")
"""Addresses that carry the long text; everything else is a push, a chat or a text message."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PeopleList:
    """What a list of people says.

    Attributes:
        people: in the order of the list.
        sign_ins: key of the person -> e-mail address they will sign in with.
    """

    people: tuple[Person, ...]
    sign_ins: Mapping[str, str]

    @property
    def operator(self) -> str:
        """Key of who is written to about the place itself: its first operator, else its first
        owner."""
        for duty in (Duty.OPERATOR, Duty.OWNER):
            for person in self.people:
                if person.duty is duty:
                    return person.key
        return ""


def read_people_list(
    text: str,
    site: Site,
    *,
    mail_server: str,
    address_fault: Callable[[str], str],
    keepers: Mapping[str, str],
    is_all: bool = True,
    language: Language = Language.EN,
) -> PeopleList | list[Problem]:
    """Read a list of people.

    Args:
        text: comma, semicolon or tab between the columns, with or without a header row.
        site: where they work or keep a vehicle.
        mail_server: address of a mail server that plain e-mail addresses are reached through, as
            an Apprise URL without receiver; "" for none.
        address_fault: why nothing could be sent to an address, "" if it looks right.
        keepers: key -> name of those whom the vehicles name; all of them must be in the list.
        is_all: whether these are all who have to do with the place; then its operator must be
            among them.
        language: of those at whom none stands.

    Returns:
        The people, or every problem in order of its line; those of the whole list come first.
    """
    read = read_typed(text, COLUMNS, HEADERS)
    if isinstance(read, list):
        return read
    sheet, ahead = read
    problems = [*_cells_that_cannot_be(sheet)]
    people: dict[str, Person] = {}
    sign_ins: dict[str, str] = {}
    for _, row in sheet.each(problems):
        reader = _PersonRow(row, site, mail_server, address_fault, language)
        person = reader.person()
        if person is None:
            continue
        if person.key in people:
            row.problem("name", told("twice", name=person.name), told("one_row"))
        people[person.key] = person
        if email := reader.sign_in(person.duty):
            if email in sign_ins.values():
                row.problem("sign_in", told("email_taken", email=email), told("another"))
            sign_ins[person.key] = email
    found = PeopleList(people=tuple(people.values()), sign_ins=sign_ins)
    if not problems:
        problems += _missing(found, site, keepers, is_all=is_all)
    if problems:
        return as_typed(problems, ahead)
    return found


def with_person(text: str, row: Mapping[str, str]) -> str | list[Problem]:
    """A list with one person more; see ``typed_lists.with_row``."""
    return with_row(text, COLUMNS, HEADERS, row)


def reached_by(address: str, mail_server: str) -> str:
    """The address as it is kept: an e-mail address with the server it is reached through."""
    if not is_email(address) or not mail_server:
        return address
    joined = "&" if "?" in mail_server else "?"
    return (
        f"{mail_server.rstrip('/')}{'' if '?' in mail_server else '/'}{joined}to={quote(address)}"
    )


class _PersonRow:
    """One row of the list."""

    def __init__(
        self,
        row: Row,
        site: Site,
        mail_server: str,
        address_fault: Callable[[str], str],
        language: Language,
    ) -> None:
        self._language = language
        self._row = row
        self._site = site
        self._mail_server = mail_server
        self._address_fault = address_fault

    def person(self) -> Person | None:
        row = self._row
        name = row.text("name")
        duty = self._duty()
        travel_min = self._travel_min()
        language = row.choice("language", Language, self._language)
        channels = self._channels()
        reading = tuple(self._each("reading", clock_from))
        spans = [one for span in self._each("slots", spans_from) for one in span]
        if not name or duty is None:
            return None
        works_here = duty in (Duty.OPERATOR, Duty.CREW)

        def make() -> Person:
            return Person(
                key=key_from(name),
                name=name,
                duty=duty,
                sites=(self._site.key,) if works_here else (),
                travel_min=travel_min,
                language=language,
                channels=channels,
                reading=reading,
                slots=tuple(Slot(weekday=day, starts=a, ends=b) for day, a, b in spans),
            )

        return row.make(make, {"travel": "travel_min", "slot": "slots"})

    def _travel_min(self) -> float:
        given = self._row.number("travel_min", 0.0) or 0.0
        if 0.0 <= given <= MOST_TRAVEL_MIN:
            return given
        self._row.problem("travel_min", told("travel", given=f"{given:g}"), told("travel_mend"))
        return 0.0

    def sign_in(self, duty: Duty) -> str:
        email = self._row.text("sign_in", "").casefold()
        if not email:
            return ""
        if not is_email(email):
            self._row.problem("sign_in", told("no_email", given=repr(email[:40])), told("correct"))
            return ""
        if duty not in ROLE_OF:
            self._row.problem("sign_in", told("owners"), told("leave_out"))
            return ""
        return email

    def _duty(self) -> Duty | None:
        word = self._row.text("duty")
        duty = DUTIES.get(word.casefold())
        if word and duty is None:
            self._row.problem("duty", told("duty", given=repr(word[:40])), told("duties"))
        return duty

    def _channels(self) -> tuple[Channel, ...]:
        typed = self._row.text("address", "")
        if not typed:
            return ()
        if is_email(typed) and not self._mail_server:
            self._row.problem(
                "address",
                told("mail_server"),
                told("mail_server_mend"),
            )
            return ()
        address = reached_by(typed, self._mail_server)
        fault = self._address_fault(address)
        if fault:
            self._row.problem("address", told("unsent", why=fault))
            return ()
        scheme = address.partition(":")[0].lower()
        form = "long" if scheme in (*SHORT_SCHEMES, "outbox") else "short"
        return (Channel(name="first", address=address, form=form),)

    def _each(self, field: str, reader: Callable[[str], Read]) -> Iterator[Read]:
        for part in self._row.text(field, "").split(","):
            if not part.strip():
                continue
            try:
                yield reader(part)
            except FleetError as wrong:
                self._row.problem(field, told_by(wrong))


def _missing(
    found: PeopleList, site: Site, keepers: Mapping[str, str], *, is_all: bool
) -> Iterator[Problem]:
    keys = {person.key for person in found.people}
    for key, name in keepers.items():
        if key not in keys:
            what = told("unlisted", name=name)
            yield Problem(line=0, column="", what=what, mend=told("add_row"))
    if is_all and not found.operator:
        who = "no_owner" if site.kind is SiteKind.DRIVE else "no_operator"
        yield Problem(line=0, column="", what=told(who), mend=told("add_one"))


def _cells_that_cannot_be(sheet: Sheet) -> Iterator[Problem]:
    if len(sheet.rows) > MOST_PEOPLE:
        what = told("rows", most=MOST_PEOPLE)
        yield Problem(line=0, column="", what=what, mend=told("rows_mend"))
    for line, cells in sheet.rows:
        where = Where(line=line, fields=sheet.fields, headers=sheet.headers)
        for place, cell in enumerate(cells[: len(sheet.fields)]):
            plain = cell.strip()
            doubt = doubt_about(plain, longest=LONGEST_CELL) if plain else None
            if doubt is not None:
                what = {
                    "long": told("letters_more", most=LONGEST_CELL),
                    "turned": told("turned"),
                }.get(doubt.value, told("control_cell"))
                column = where.column(place)
                yield Problem(line=line, column=column, what=what, mend=told("anew"))
