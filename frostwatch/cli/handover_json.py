"""Handover plans for machines."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from datetime import datetime

    from frostwatch.advice.handover import Plan
    from frostwatch.advice.overrun import Progress
    from frostwatch.advice.ways_out import WaysOut
    from frostwatch.fleet.heat import HeatSource
    from frostwatch.service.handovers import Planned, SiteDay, SiteWeather


def one_as_json(one: "Planned", weather: "SiteWeather") -> dict[str, Any]:
    """One vehicle with a plan for each source."""
    return {
        "vehicle": one.case.vehicle.key,
        "site": one.case.site.key,
        "at": one.case.handover.at.isoformat(),
        "now": one.case.now.isoformat(),
        "provider": weather.forecast.provider,
        "issued_at": weather.forecast.known_since.isoformat(),
        "colder_k": weather.colder_k,
        "best": _plan_as_json(one.best),
        "plans": [_plan_as_json(plan) for plan in one.plans],
        "ways_out": _ways_as_json(one.out) if one.out else None,
        "valve_only_on_by": _iso(one.valve_only.on_by) if one.valve_only else None,
    }


def _plan_as_json(plan: "Plan") -> dict[str, Any]:
    return {
        "source": _source(plan.source),
        "fits": plan.fits,
        "trouble": plan.trouble.value if plan.trouble else None,
        "begins": _iso(plan.begins),
        "on_by": _iso(plan.on_by),
        "ready_at": _iso(plan.ready_at),
        "ready_likely": _iso(plan.ready_likely),
        "valve_from": _iso(plan.valve_from),
        "valve_to": _iso(plan.valve_to),
        "soak_c": _pair(plan.soak_c),
        "outside_c": _pair(plan.outside_c),
        "cabin_c": _pair(plan.cabin_c),
        "heat_kwh": round(plan.heat_kwh, 2),
        "stored_kwh": round(plan.stored_kwh, 2),
        "lost_kwh": round(plan.lost_kwh, 2),
        "water_kwh": round(plan.water_kwh, 2),
        "draws_w": plan.draws_w,
        "cold_spots": list(plan.cold_spots),
        "steps": [
            {
                "step": step.step.value,
                "starts": step.starts.isoformat(),
                "ends": step.ends.isoformat(),
                "likely": _iso(step.likely),
                "gate": step.gate.value if step.gate else None,
                "hands_on": step.hands_on,
            }
            for step in plan.steps
        ],
    }


def _ways_as_json(out: "WaysOut") -> dict[str, Any]:
    return {
        "indoors_by": _iso(out.indoors_by),
        "other": {"source": _source(out.other.source), "on_by": _iso(out.other.on_by)}
        if out.other
        else None,
        "power_w": out.power_w,
        "power_on_by": _iso(out.power_on_by),
        "later": _iso(out.later),
        "dry": out.dry,
    }


def day_as_json(day: "SiteDay") -> dict[str, Any]:
    """The handovers of one site."""
    return {
        "site": day.site.key,
        "handovers": [
            {
                "vehicle": one.case.vehicle.key,
                "at": one.case.handover.at.isoformat(),
                "best": _plan_as_json(one.best),
                "ways_out": _ways_as_json(one.out) if one.out else None,
            }
            for one in day.planned
        ],
        "conflicts": [
            {
                "what": conflict.what.value,
                "at": conflict.at.isoformat(),
                "vehicles": list(conflict.vehicles),
                "need": conflict.need,
                "have": conflict.have,
            }
            for conflict in day.conflicts
        ],
        "order": None
        if day.order is None
        else {
            "exact": day.order.exact,
            "left_over": list(day.order.left_over),
            "choices": [
                {
                    "vehicle": choice.plan.vehicle,
                    "source": _source(choice.plan.source),
                    "on_by": _iso(choice.plan.on_by),
                    "hour": choice.hour.isoformat(),
                    "late_min": choice.late_min,
                }
                for choice in day.order.choices
            ],
        },
    }


def _source(source: "HeatSource") -> dict[str, Any]:
    return {"fuel": source.fuel.value, "power_w": source.power_w}


def _iso(moment: "datetime | None") -> str | None:
    return moment.isoformat() if moment else None


def _pair(values: tuple[float, float] | None) -> dict[str, float] | None:
    return {"likely": round(values[0], 2), "cold": round(values[1], 2)} if values else None


def progress_as_json(plan: "Plan", progress: "Progress | None") -> dict[str, Any]:
    """A plan under way."""
    from dataclasses import replace

    if progress is None:
        return {"plan": _plan_as_json(plan), "ready_at": None, "new_hour": None, "waits_for": None}
    return {
        "plan": _plan_as_json(replace(plan, steps=progress.steps)),
        "ready_at": progress.ready_at.isoformat(),
        "new_hour": _iso(progress.new_hour),
        "waits_for": progress.waits_for.value if progress.waits_for else None,
    }
