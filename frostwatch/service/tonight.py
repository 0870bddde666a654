"""One van, no set-up: what its water does in the nights ahead."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from frostwatch.advice.harm import Chance, VehicleNight, chance_of
from frostwatch.errors import FleetError, NoForecastError
from frostwatch.fleet.circuit_words import circuits_named
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.sites import Lie, Shelter, Site, SiteKind, as_it_stands
from frostwatch.fleet.vehicles import Circuit, Item, Vehicle
from frostwatch.ports import Forecasts, Heights
from frostwatch.records.checks import doubts_about
from frostwatch.records.entries import Entry, Evidence, State
from frostwatch.records.standing_water import CircuitWater
from frostwatch.service.heights import heights_of
from frostwatch.service.kit import MEMBERS
from frostwatch.service.nights import Memory, Van, air_of, point_of, work_out
from frostwatch.weather.forecast import FetchFailure, Forecast, ForecastStanding, standing
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from frostwatch.weather.site_air import SiteAir


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ItemOutlook:
    """One item that holds water, over the hours ahead.

    Attributes:
        item: the item.
        litres: water reckoned with [L].
        ice: first ice, chance and hours from now.
        harm: harm, chance and hours from now.
        emptied: chance that the dump valve lets it go; probability 0 for other items.
    """

    item: Item
    litres: float
    ice: Chance
    harm: Chance
    emptied: Chance


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Outlook:
    """What is ahead of one van.

    Attributes:
        now: start of the hour it is counted from, UTC.
        hours: hours that are known ahead [h].
        forecast: what it rests on.
        standing: how far that can be leaned on.
        air: the air at the van.
        items: everything in it that holds water.
        night: chances of harm in the whole vehicle.
        place_notes: what was found or assumed about the height of the place.
    """

    now: datetime
    hours: float
    forecast: Forecast
    standing: ForecastStanding
    air: SiteAir
    items: tuple[ItemOutlook, ...]
    night: VehicleNight
    place_notes: tuple[str, ...] = ()

    def coldest(self) -> tuple[float, float, datetime]:
        """Likely and cold lowest air ahead [degC], and the likely hour of the former."""
        ahead = self.air.air_c[:, self.air.now_index :]
        lowest = ahead.min(axis=1)
        hour = int(np.median(ahead, axis=0).argmin())
        return (
            float(np.median(lowest)),
            float(np.quantile(lowest, 0.1)),
            self.now + timedelta(hours=hour),
        )


def parse_water(text: str) -> dict[Circuit, float]:
    """Litres by circuit from words such as ``"fresh=20,waste=8,heater=10"``.

    Raises:
        FleetError: a word or a number that is not understood.
    """
    found: dict[Circuit, float] = {}
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        word, equals, litres = part.partition("=")
        try:
            amount = float(litres)
        except ValueError:
            amount = -1.0
        if not equals or not 0.0 <= amount < 10_000.0:
            raise FleetError(
                f"--water: {part!r} is not understood. Write circuit=litres, such as fresh=20."
            )
        for circuit in circuits_named(word):
            found[circuit] = amount
    return found


def entries_for(
    vehicle: Vehicle, water: Mapping[Circuit, float], now: datetime
) -> tuple[Entry, ...]:
    """What was told on the command line, as entries.

    Raises:
        FleetError: more litres than fit, or a circuit that the layout does not have.
    """
    layout = layout_of(vehicle)
    entries = []
    shares = {
        circuit: sum(i.capacity_l.value for i in layout.items if i.circuit is circuit)
        for circuit in water
    }
    for circuit, litres in water.items():
        if shares[circuit] <= 0.0 and len(water) > 1 and litres == 0.0:
            continue
        entry = Entry(
            vehicle=vehicle.key,
            circuit=circuit,
            state=State.PART_FULL if litres > 0.0 else State.DRAINED,
            evidence=Evidence.ASSERTED,
            by="you",
            at=now - timedelta(days=6),
            received_at=now - timedelta(days=6),
            litres_l=litres,
        )
        for doubt in doubts_about(entry, layout):
            raise FleetError(f"--water: {doubt.what} {doubt.mend}")
        entries.append(entry)
    return tuple(entries)


def look_ahead(
    forecasts: Forecasts,
    *,
    latitude_deg: float,
    longitude_deg: float,
    height_m: float | None,
    layout: str,
    water: Mapping[Circuit, float],
    now: datetime,
    lie: Lie = Lie.OPEN,
    shelter: Shelter = Shelter.OPEN,
    law: ErrorLaw = DEFAULT_LAW,
    site_key: str = "here",
    heights: Heights | None = None,
) -> Outlook:
    """Work out the nights ahead of one van that nobody has entered.

    Circuits that are not named count as unknown: full for what could break, nearly empty for how
    soon. ``site_key`` seeds the members; an entered site's own key gives its own air.

    Raises:
        FleetError: coordinates, layout or litres that do not fit.
        NoForecastError: there is no usable forecast; that does not mean no frost.
    """
    site = Site(
        key=site_key,
        name=site_key,
        kind=SiteKind.DRIVE,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        height_m=height_m,
        time_zone="UTC",
        lie=lie,
        shelter=shelter,
    )
    vehicle = as_it_stands(Vehicle(key="van", site=site_key, layout=layout), site)
    van = Memory().van(vehicle, entries_for(vehicle, water, now), now, south=site.is_south)
    known_heights = heights_of((site,), heights, now)
    (site,) = known_heights.sites
    point = point_of(site)
    found = known_heights.fitted(site.key, forecasts.at((point,), now)[point.key])
    forecast = found if isinstance(found, Forecast) else None
    known = standing(forecast, now)
    if forecast is None or not known.usable:
        why = found.message if isinstance(found, FetchFailure) else known.reason
        raise NoForecastError(
            f"There is no usable forecast: {why} This does not mean no frost. "
            "Treat tonight as frost and look yourself."
        )
    air = air_of(site, forecast, now, colder_k=known.colder_k, members=MEMBERS, law=law)
    nights, _, paths = work_out((van,), {site_key: air}, {})
    night, path = nights["van"], paths["van"]
    items = _items(van, path.item_keys, path.ice_at_h, path.harm_at_h, path.tripped_at_h)
    return Outlook(
        now=path.start,
        hours=night.hours,
        forecast=forecast,
        standing=known,
        air=air,
        place_notes=known_heights.notes(site.key),
        items=items,
        night=night,
    )


def _items(
    van: Van,
    keys: Sequence[str],
    ice_h: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    harm_h: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    tripped_h: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
) -> tuple[ItemOutlook, ...]:
    by_circuit: dict[Circuit, CircuitWater] = {entry.circuit: entry for entry in van.water}
    valve = van.layout.valve
    found = []
    for row, key in enumerate(keys):
        item = van.layout.item(key)
        alike = [i for i in van.layout.items if i.circuit is item.circuit]
        share = item.capacity_l.value / sum(i.capacity_l.value for i in alike)
        drained = valve is not None and valve.drains == key
        trips = np.where(tripped_h < 0.0, 0.0, tripped_h)
        found.append(
            ItemOutlook(
                item=item,
                litres=by_circuit[item.circuit].litres_soon_l * share,
                ice=chance_of(ice_h[row]),
                harm=chance_of(harm_h[row]),
                emptied=chance_of(trips) if drained else Chance(probability=0.0),
            )
        )
    return tuple(found)
