"""Bays under a roof as people write them: ``B-01..B-04 roofed``,
``W-1..W-3 heated 15 until 2027-03-31 17:00 by Resi``."""

import re
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from frostwatch.errors import FleetError
from frostwatch.fleet.people import Language
from frostwatch.fleet.roofs import Roof, RoofedBays, Under
from frostwatch.storage.bay_ranges import bays_from, bays_text
from frostwatch.told import told

KINDS_IN: Mapping[Language, Mapping[Roof, str]] = {
    Language.EN: {kind: kind.value for kind in Roof},
    Language.DE: {
        Roof.NONE: "draußen",
        Roof.ROOFED: "dach",
        Roof.UNHEATED: "unbeheizt",
        Roof.HEATED: "beheizt",
    },
    Language.FR: {
        Roof.NONE: "dehors",
        Roof.ROOFED: "toit",
        Roof.UNHEATED: "non-chauffé",
        Roof.HEATED: "chauffé",
    },
}
UNTIL_IN = {Language.EN: "until", Language.DE: "bis", Language.FR: "jusque"}
BY_IN = {Language.EN: "by", Language.DE: "laut", Language.FR: "selon"}
_KINDS = {
    spelt: kind
    for words in KINDS_IN.values()
    for kind, word in words.items()
    for spelt in (word, word.casefold())
}
_LINE = re.compile(
    rf"(?P<bays>.+?)\s+(?P<kind>{'|'.join(map(re.escape, sorted(_KINDS, key=len)[::-1]))})"
    r"(?:\s+(?P<warm>-?\d+(?:[.,]\d+)?)(?:\s*°?\s*c)?)?"
    rf"(?:\s+(?:{'|'.join(UNTIL_IN.values())})\s+"
    r"(?P<day>\d{4}-\d\d-\d\d)[ t](?P<clock>\d\d:\d\d))?"
    rf"(?:\s+(?:{'|'.join(BY_IN.values())})\s+(?P<by>.+))?",
    re.IGNORECASE,
)


def roof_from(text: str, zone: ZoneInfo) -> RoofedBays:
    """One line.

    Args:
        text: bays, what is over them, how warm, until when at the place, by whom.
        zone: time zone of the place.

    Raises:
        FleetError: it cannot be read, or nobody vouches for a heated building.
    """
    found = _LINE.fullmatch(" ".join(text.split()))
    if found is None:
        raise FleetError(told("roof", given=repr(text)))
    until = None
    if found["day"]:
        try:
            said = datetime.fromisoformat(f"{found['day']}T{found['clock']}")
            until = said.replace(tzinfo=zone).astimezone(UTC)
        except (ValueError, OverflowError):
            raise FleetError(told("roof", given=repr(text))) from None
    kind = _KINDS[found["kind"].casefold()]
    warm_c = float(found["warm"].replace(",", ".")) if found["warm"] else None
    try:
        under = Under(kind=kind, heated_to_c=warm_c, by=found["by"] or "", until=until)
    except FleetError as refused:
        raise FleetError(told("roof_vouched", given=repr(text))) from refused
    bays = bays_from([bay.strip() for bay in found["bays"].split(",") if bay.strip()])
    return RoofedBays(bays=bays, under=under)


def roofs_text(
    roofs: Sequence[RoofedBays], zone: ZoneInfo, language: Language = Language.EN
) -> list[str]:
    """The same, written: one line a roof."""
    return [_line(roof, zone, language) for roof in roofs]


def _line(roof: RoofedBays, zone: ZoneInfo, language: Language) -> str:
    under = roof.under
    parts = [", ".join(bays_text(roof.bays)), KINDS_IN[language][under.kind]]
    if under.heated_to_c is not None:
        parts.append(f"{under.heated_to_c:g}")
    if under.until is not None:
        parts.append(f"{UNTIL_IN[language]} {under.until.astimezone(zone):%Y-%m-%d %H:%M}")
    if under.by:
        parts.append(f"{BY_IN[language]} {under.by}")
    return " ".join(parts)
