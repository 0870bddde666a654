"""Heat kept on, told where it has too little to spare: looked at only when somebody reads."""

from collections.abc import Sequence
from datetime import datetime

import structlog

from frostwatch.advice.hold_calls import frost_from, holds_are_due, say_holds
from frostwatch.advice.holding import HoldView, hold_view
from frostwatch.advice.reminders import Reminder
from frostwatch.advice.view import SiteView
from frostwatch.errors import FrostwatchError
from frostwatch.messages.wording.draft import Draft
from frostwatch.service.nights import Van
from frostwatch.weather.site_air import SiteAir

log = structlog.get_logger()


def holds_told(
    view: SiteView,
    vans: Sequence[Van],
    air: SiteAir | None,
    drafts: Sequence[Draft],
    now: datetime,
) -> tuple[list[Draft], list[Reminder]]:
    """What is told of heat kept on; without air nothing is told anew.

    Args:
        view: the site.
        vans: its vehicles.
        air: air there; None without a usable forecast.
        drafts: what else is said at this moment.
        now: aware UTC time.
    """
    if air is None:
        return [], []
    frost = frost_from(air)
    due = holds_are_due(view, now) if frost is not None else frozenset()
    views: dict[str, HoldView] = {}
    there = [van.vehicle for van in vans]
    for van in vans:
        if van.vehicle.key not in due:
            continue
        try:
            views[van.vehicle.key] = hold_view(
                van.vehicle, van.layout, van.water, view.site, air, there
            )
        except FrostwatchError as fault:
            log.error("heat kept on not looked at", vehicle=van.vehicle.key, cause=str(fault))
    return say_holds(view, views, drafts, frost, now)
