"""From a site's forecast and water to the night of every wet vehicle: the heat model's doorstep."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime

import numpy as np

from frostwatch.advice.harm import VehicleNight, harm_fraction_of, vehicle_night
from frostwatch.errors import NoForecastError
from frostwatch.fleet.layouts import layout_of
from frostwatch.fleet.sites import Lie, Shelter, Site
from frostwatch.fleet.vehicles import Layout, Vehicle
from frostwatch.heatloss.network import build_network
from frostwatch.heatloss.solve import Job, NodeState, Trajectory, solve
from frostwatch.heatloss.surroundings import Surroundings
from frostwatch.ports import KeptState
from frostwatch.records.entries import Entry, State
from frostwatch.records.standing_water import CircuitWater, water_of
from frostwatch.weather.forecast import Forecast, Point, point_for
from frostwatch.weather.members import DEFAULT_LAW, ErrorLaw
from frostwatch.weather.site_air import SiteAir, air_at_site

FOR_GOOD = datetime.max.replace(tzinfo=UTC)
LIE_OFFSET_K = {Lie.OPEN: 0.0, Lie.HOLLOW: -2.0, Lie.TOWN: 0.5}
"""What the ground adds to the night air [K]. Estimates."""
SHELTER_FACTOR = {
    Shelter.OPEN: 1.0,
    Shelter.HEDGED: 0.7,
    Shelter.WALLED: 0.5,
    Shelter.INDOORS: 0.0,
}
"""Share of the 10 m wind that reaches the vehicle. Estimates."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Van:
    """One vehicle with its layout and its water."""

    vehicle: Vehicle
    layout: Layout
    water: tuple[CircuitWater, ...]
    recorded_at: datetime | None

    @property
    def is_stepped(self) -> bool:
        """Something in it could freeze, dosed water included: the heat model looks at it."""
        return any(entry.litres_soon_l > 0.0 for entry in self.water)

    @property
    def is_wet(self) -> bool:
        """It holds water that nobody dosed, or nobody knows."""
        return any(entry.is_wet and entry.state is not State.DOSED for entry in self.water)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """A vehicle as it was worked out, from what, and how long that holds."""

    basis: tuple[object, ...]
    since: datetime
    until: datetime
    van: Van


@dataclass(slots=True)
class Memory:
    """Layouts and water worked out in earlier passes, kept while nothing changed.

    Attributes:
        vans: vehicle key -> what is known of it.
        named: site key -> when the log last named it as one nobody looks after, UTC.
        shown: site key -> the site and its vehicles as they were entered when the last pass kept
            what their pages show.
    """

    vans: dict[str, _Known] = field(default_factory=dict)
    named: dict[str, datetime] = field(default_factory=dict)
    shown: dict[str, tuple[Site, tuple[Vehicle, ...]]] = field(default_factory=dict)

    def van(
        self, vehicle: Vehicle, entries: Sequence[Entry], now: datetime, *, south: bool = False
    ) -> Van:
        """The vehicle as it stands; worked out anew once something is recorded or runs out.

        ``south``: its site lies south of the equator.
        """
        newest = entries[-1].received_at if entries else None
        basis = (vehicle, len(entries), newest, south)
        known = self.vans.get(vehicle.key)
        if known is not None and known.basis == basis and known.since <= now < known.until:
            return known.van
        layout = layout_of(vehicle)
        water = water_of(vehicle, layout, entries, now, south=south)
        van = Van(vehicle=vehicle, layout=layout, water=water, recorded_at=newest)
        until = next_end(water) or FOR_GOOD
        self.vans[vehicle.key] = _Known(basis=basis, since=now, until=until, van=van)
        return van


def next_end(water: Sequence[CircuitWater]) -> datetime | None:
    """When the first statement about the water runs out by itself, UTC; None if none does."""
    return min((entry.until for entry in water if entry.until is not None), default=None)


def point_of(site: Site) -> Point:
    """The place as it is asked for."""
    return point_for(site.latitude_deg, site.longitude_deg, site.height_m)


def air_of(
    site: Site,
    forecast: Forecast,
    now: datetime,
    *,
    colder_k: float,
    members: int,
    ahead_h: int = 168,
    law: ErrorLaw = DEFAULT_LAW,
) -> SiteAir:
    """The air at a site, as members, ``ahead_h`` hours ahead as far as the forecast reaches.

    ``law`` is how wrong forecasts are there, the site's own if its nights taught one.

    Raises:
        NoForecastError: the forecast does not reach ``now``, or its air has gaps.
    """
    air = air_at_site(
        forecast,
        site_key=site.key,
        now=now,
        height_m=site.height_m,
        lie_offset_k=LIE_OFFSET_K[site.lie],
        shelter_factor=SHELTER_FACTOR[site.shelter],
        colder_k=colder_k,
        count=members,
        ahead_h=ahead_h,
        law=law,
        sky_fraction=0.0 if site.shelter is Shelter.INDOORS else 1.0,
    )
    series = (air.air_c, air.wind_m_per_s, air.roof_k)
    if not all(np.isfinite(one).all() for one in series):
        # every comparison with NaN is false: gaps would read as "never freezes"
        raise NoForecastError(f"The air of the forecast by {forecast.provider} has gaps.")
    return air


def job_for(
    van: Van, air: SiteAir, state: KeptState | None, surroundings: Surroundings | None = None
) -> Job:
    """One vehicle for the heat model, from where it stood at the last pass if that still holds.

    Args:
        van: the vehicle.
        air: the air at its site.
        state: where it stood.
        surroundings: airs around vehicles that are known already.
    """
    air = (surroundings or Surroundings()).of(van.vehicle, air)
    network = build_network(van.vehicle, van.layout, van.water, air, harm_fraction_of)
    return Job(network=network, air=air, state=_state_from(state))


def _state_from(kept: KeptState | None) -> NodeState | None:
    if kept is None:
        return None
    arrays = kept.arrays
    return NodeState(
        at=kept.at,
        signature=kept.signature,
        enthalpy_j=arrays["enthalpy_j"].astype(np.float64),
        hubs_c=arrays["hubs_c"].astype(np.float64),
        tripped=arrays["tripped"] > 0.5,
    )


def state_to_keep(vehicle: str, trajectory: Trajectory) -> KeptState:
    """Where the heat model of a vehicle stands now, for the next pass."""
    end = trajectory.end
    arrays = {
        "enthalpy_j": end.enthalpy_j,
        "hubs_c": end.hubs_c,
        "tripped": end.tripped,
    }
    return KeptState(
        vehicle=vehicle,
        at=end.at,
        signature=end.signature,
        arrays={name: array.astype(np.float32) for name, array in arrays.items()},
    )


def work_out(
    vans: Sequence[Van], airs: Mapping[str, SiteAir], states: Mapping[str, KeptState]
) -> tuple[dict[str, VehicleNight], dict[str, KeptState], dict[str, Trajectory]]:
    """Step the wet vehicles through their nights.

    Args:
        vans: wet vehicles, of any sites.
        airs: site key -> its air.
        states: vehicle key -> where it stood.

    Returns:
        Vehicle key -> its night, its state to keep, its whole trajectory.
    """
    known = Surroundings()
    jobs = [
        job_for(van, airs[van.vehicle.site], states.get(van.vehicle.key), known) for van in vans
    ]
    nights: dict[str, VehicleNight] = {}
    keep: dict[str, KeptState] = {}
    paths: dict[str, Trajectory] = {}
    for van, trajectory in zip(vans, solve(jobs), strict=True):
        key = van.vehicle.key
        nights[key] = vehicle_night(trajectory, van.layout, van.water)
        keep[key] = state_to_keep(key, trajectory)
        paths[key] = trajectory
    return nights, keep, paths
