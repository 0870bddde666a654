"""The form of one vehicle: its fields, what they mean, and what a change of them does."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import replace

from frostwatch.fleet.layouts import CATALOGUE
from frostwatch.fleet.sites import Site
from frostwatch.fleet.vehicles import HeatedHold, Vehicle
from frostwatch.ports.accounts import Role
from frostwatch.ports.changes import Entered
from frostwatch.storage.heat_text import source_from, source_text
from frostwatch.web.places.fields import Fields
from frostwatch.web.places.keeping import Effect
from frostwatch.web.places.person_form import people_of
from frostwatch.web.places.room import PlaceDesk
from frostwatch.web.set_up.fault import Fault

NAMES = (
    "key",
    "name",
    "site",
    "bay",
    "moved",
    "layout",
    "keeper",
    "plate_end",
    "key_place",
    "indoors",
    "post",
    "heat",
    "hold",
    "hold_power",
    "hold_setting",
)
_KEY = re.compile(r"[^\s,;/\\?#%]{1,60}")


def vehicle_fields(vehicle: Vehicle | None, site: str) -> dict[str, str]:
    """The fields of a vehicle; of one that is not entered yet, empty ones."""
    empty = dict.fromkeys(NAMES, "")
    if vehicle is None:
        return empty | {"site": site}
    hold = vehicle.hold
    return empty | {
        "key": vehicle.key,
        "name": vehicle.name,
        "site": vehicle.site,
        "bay": vehicle.bay,
        "layout": vehicle.layout,
        "keeper": vehicle.keeper,
        "plate_end": vehicle.plate_end,
        "key_place": vehicle.key_place,
        "indoors": "on" if vehicle.indoors else "",
        "post": vehicle.post,
        "heat": "\n".join(source_text(source) for source in vehicle.heat),
        "hold": hold.source if hold else "",
        "hold_power": f"{hold.power_w:g}" if hold else "",
        "hold_setting": f"{hold.setting_c:g}" if hold else "",
    }


def vehicle_read(
    typed: Mapping[str, str], before: Vehicle | None, entered: Entered, desk: PlaceDesk
) -> Vehicle | tuple[Fault, ...]:
    """The vehicle that the fields mean, or what must be put right."""
    fields = Fields(typed)
    sites = {one.key: one for one in my_sites(desk, entered)}
    site = fields.one_of("site", sites) or desk.site.key
    bay = fields.text("bay", longest=60)
    if ".." in bay:
        fields.fault("bay", "change.vehicle.bay")
    if before is None:
        key = fields.raw("key") or bay
        if not _KEY.fullmatch(key):
            fields.fault("key", "change.vehicle.key")
        elif entered.vehicle(key) is not None:
            fields.fault("key", "change.vehicle.there", vehicle=key)
        before = Vehicle(key=key, site=site, layout="")
    layout = fields.one_of("layout", CATALOGUE)
    if not layout:
        fields.fault("layout", "set.choose")
    made = replace(
        before,
        name=fields.text("name"),
        site=site,
        bay=bay,
        layout=layout,
        keeper=fields.one_of("keeper", _keepers(before, entered, desk.site.key)),
        plate_end=fields.text("plate_end", longest=20),
        key_place=fields.text("key_place"),
        indoors=bool(fields.raw("indoors")),
        post=fields.raw("post") if site == before.site else "",
        heat=tuple(fields.each("heat", source_from)),
        under=before.under if (site, bay) == (before.site, before.bay) else None,
        hold=_hold(fields, before.hold),
    )
    return tuple(fields.faults) if fields.faults else made


def my_sites(desk: PlaceDesk, entered: Entered) -> list[Site]:
    """Places that whoever asks may change, this one first."""
    mine = [one for one in entered.sites if desk.account.may(Role.OPERATOR, one.key)]
    return sorted(mine, key=lambda one: one.key != desk.site.key)


def sites_with(vehicle: Vehicle, entered: Entered) -> tuple[Site, ...]:
    """The vehicle's site with its bay at the end of the walk, where the bay is a new one."""
    site = entered.site(vehicle.site)
    if site is None or not vehicle.bay or vehicle.bay in site.bays:
        return ()
    return (replace(site, bays=(*site.bays, vehicle.bay)),)


def effects_of(
    before: Vehicle | None, after: Vehicle, entered: Entered, *, moved: bool
) -> Iterator[Effect]:
    """What a change does to the record and to the walk, beside what its fields say."""
    values = {"vehicle": after.name or after.bay or after.key}
    if before is not None:
        if before.keeper and after.keeper and before.keeper != after.keeper:
            yield Effect(key="change.vehicle.keeper", values=values)
        if before.site != after.site:
            yield Effect(key="change.vehicle.site", values=values)
        elif moved and before.bay != after.bay:
            yield Effect(key="change.vehicle.moved", values=values)
        if before.layout != after.layout:
            yield Effect(key="change.vehicle.layout", values=values)
        if before.under is not None and after.under is None:
            yield Effect(key="change.vehicle.under", values=values)
    if sites_with(after, entered):
        yield Effect(key="change.vehicle.new_bay", values={"bay": after.bay})
    if after.bay:
        for one in entered.vehicles:
            if (one.site, one.bay) == (after.site, after.bay) and one.key != after.key:
                other = {"bay": after.bay, "other": one.name or one.key}
                yield Effect(key="change.vehicle.shared_bay", values=other)


def _keepers(before: Vehicle, entered: Entered, site: str) -> set[str]:
    """Who may be named: people of the place, and whoever keeps it already."""
    return {one.key for one in people_of(entered, site)} | {before.keeper}


def _hold(fields: Fields, before: HeatedHold | None) -> HeatedHold | None:
    """Heat that is kept on; None where no source is named."""
    source = fields.text("hold")
    power_w = fields.number("hold_power", 10, 30000)
    setting_c = fields.number("hold_setting", 0, 30)
    if not source:
        if fields.raw("hold_power") or fields.raw("hold_setting"):
            fields.fault("hold", "change.hold.source")
        return None
    if power_w is None or setting_c is None:
        if not any(one.field.startswith("hold") for one in fields.faults):
            fields.fault("hold_power", "change.hold.figures")
        return None
    if before is not None:
        return replace(before, source=source, power_w=power_w, setting_c=setting_c)
    return HeatedHold(source=source, power_w=power_w, setting_c=setting_c)
