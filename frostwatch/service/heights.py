"""Sites with their heights: what was entered holds, the rest is looked up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from frostwatch.errors import LedgerError
from frostwatch.fleet.sites import Site
from frostwatch.ports import Heights
from frostwatch.weather.forecast import FailureKind, FetchFailure, Forecast
from frostwatch.weather.site_air import AIR_LAPSE_K_PER_M
from frostwatch.weather.terrain import UNKNOWN_HEIGHT_M, KnownHeight

Found = Forecast | FetchFailure | None

UNKNOWN_HEIGHT_K = AIR_LAPSE_K_PER_M * UNKNOWN_HEIGHT_M
"""What the air is lowered by while a height could not be looked up [K]. Estimate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SiteHeights:
    """What is known of the heights of some sites.

    Attributes:
        sites: the sites in the order given; those whose height was looked up have it.
        looked_up: site -> its height, for sites without one of their own.
        failed: site -> why its height could not be looked up.
    """

    sites: tuple[Site, ...]
    looked_up: Mapping[str, KnownHeight] = field(default_factory=dict)
    failed: Mapping[str, FetchFailure] = field(default_factory=dict)

    def fitted(self, site: str, found: Found) -> Found:
        """What was found for a site: a forecast with the credit of its height behind it, or
        colder where nobody knows how high the site lies."""
        if not isinstance(found, Forecast):
            return found
        if site in self.looked_up:
            credit = (*found.attribution, self.looked_up[site].credit)
            return replace(found, attribution=tuple(dict.fromkeys(credit)))
        if site in self.failed:
            return replace(
                _colder(found, UNKNOWN_HEIGHT_K), warnings=(*found.warnings, *self.notes(site))
            )
        return found

    def causes(self) -> Mapping[str, Sequence[str]]:
        """Why heights could not be looked up -> sites."""
        found: dict[str, list[str]] = {}
        for site, one in self.failed.items():
            found.setdefault(one.message, []).append(site)
        return found

    def notes(self, site: str) -> tuple[str, ...]:
        """What people should know about the height of a site; empty where it was entered."""
        if site in self.looked_up:
            known = self.looked_up[site]
            return (
                f"Height {known.height_m:.0f} m, looked up on {known.asked_at:%Y-%m-%d} and kept; "
                "a height_m of your own goes before it.",
            )
        if site in self.failed:
            return (
                f"The height is not known ({self.failed[site].message.rstrip('.')}). The place is "
                f"taken to lie {UNKNOWN_HEIGHT_M:.0f} m higher, its air {UNKNOWN_HEIGHT_K:.1f} K "
                "colder.",
            )
        return ()


def _colder(forecast: Forecast, by_k: float) -> Forecast:
    """The forecast with every air lowered, that of the past too."""
    lowered = {
        name: values - by_k
        for name, values in forecast.columns.items()
        if name in ("air_c", "air_min_c")
    }
    recent_c = None if forecast.recent_c is None else forecast.recent_c - by_k
    return replace(
        forecast,
        columns={**forecast.columns, **lowered},
        recent_c=recent_c,
        lowered_k=forecast.lowered_k + by_k,
    )


def heights_of(sites: Sequence[Site], heights: Heights | None, now: datetime) -> SiteHeights:
    """The sites with their heights. What goes wrong is told and holds up nothing.

    Args:
        sites: sites as entered.
        heights: looks heights up; None leaves sites without one as they are.
        now: aware UTC time.
    """
    bare = {s.key: (s.latitude_deg, s.longitude_deg) for s in sites if s.height_m is None}
    if heights is None or not bare:
        return SiteHeights(sites=tuple(sites))
    try:
        found = heights.at(list(dict.fromkeys(bare.values())), now)
    except LedgerError as unwritten:
        failure = FetchFailure(kind=FailureKind.UNREACHABLE, message=str(unwritten))
        found = dict.fromkeys(bare.values(), failure)
    looked_up: dict[str, KnownHeight] = {}
    failed: dict[str, FetchFailure] = {}
    for key, coordinates in bare.items():
        one = found[coordinates]
        if isinstance(one, KnownHeight):
            looked_up[key] = one
        else:
            failed[key] = one
    return SiteHeights(
        sites=tuple(
            replace(site, height_m=looked_up[site.key].height_m) if site.key in looked_up else site
            for site in sites
        ),
        looked_up=looked_up,
        failed=failed,
    )
