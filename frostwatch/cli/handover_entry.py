"""``frostwatch handover VEHICLE --enter`` and ``--take-off``: what is entered, and by whom."""

from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, Any

from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from collections.abc import Callable

    from frostwatch.advice.plan_words import PlanWords
    from frostwatch.fleet.heat import Handover
    from frostwatch.fleet.vehicles import Vehicle
    from frostwatch.ports import Book
    from frostwatch.service.kit import Kit


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was given on the command line.

    Attributes:
        at: the hour, "" for the one entered.
        fill_l: litres; 0 for those entered.
        heat: a source, "" for the one entered, "any" for whichever fits best.
        indoors_from: into a warm building from then, "" for what is entered, "no" for outside.
        post: hook-up post, "" for the one entered, "any" for any.
        who: who makes it ready, "" for who is entered.
        taker: whom it is handed to, "" for who is entered.
        by: who says so.
        meant: an hour at night or outside working hours is meant so.
    """

    at: str = ""
    fill_l: float = 0.0
    heat: str = ""
    indoors_from: str = ""
    post: str = ""
    who: str = ""
    taker: str = ""
    by: str = ""
    meant: bool = False


def refuse_mixtures(vehicle: str, typed: Typed, *, enter: bool, off: bool, on: bool) -> None:
    """Refuse what contradicts itself, and what would be kept by nobody.

    Raises:
        FleetError: as said.
    """
    if enter and off:
        raise FleetError("--enter and --take-off are two things: do one at a time.")
    if on and (enter or off):
        raise FleetError("--on and --passed tell how a plan goes on: leave --enter, --take-off.")
    if (enter or off) and not vehicle:
        raise FleetError("Name the vehicle: frostwatch handover VEHICLE. Its key, bay or name.")
    goes_with_enter = {
        "--indoors-from": typed.indoors_from,
        "--post": typed.post,
        "--who": typed.who,
        "--taker": typed.taker,
        "--meant": typed.meant,
        "--by": typed.by and not off,
    }
    lost = next((name for name, value in goes_with_enter.items() if value), None)
    if lost is not None and not enter:
        raise FleetError(f"{lost}: nothing is kept without --enter. Add it, or leave {lost} out.")


def kept_as_json(book: "Book", key: str, said: str) -> dict[str, Any]:
    """What is entered now, for machines."""
    from frostwatch.fleet.finding import vehicle_meant
    from frostwatch.storage.entry_text import utc_text

    vehicle = vehicle_meant(key, book.vehicles)
    entered = vehicle.handover
    at = utc_text(entered.at) if entered is not None else None
    return {"vehicle": vehicle.key, "site": vehicle.site, "at": at, "said": said}


def enter_typed(
    kit: "Kit", book: "Book", key: str, typed: Typed, now: datetime, words_in: str
) -> str:
    """Enter a handover or move it, plan it, and say what was kept.

    Raises:
        FleetError: it is refused, or somebody else changed it in between.
    """
    from frostwatch.cli.moments import moment_there
    from frostwatch.service.handover_entry import enter, refusal_words, refusals
    from frostwatch.service.planner import Planner

    vehicle, words = _found(book, key, now, words_in)
    site = next(one for one in book.sites if one.key == vehicle.site)
    wished = _wished(vehicle, typed, partial(moment_there, book=book, vehicle=vehicle.key, now=now))
    post = {"": vehicle.post, "any": ""}.get(typed.post, typed.post)
    refused = refusals(wished, vehicle, site, now, post=post, meant=typed.meant)
    if refused:
        said = " ".join(refusal_words(one, words) for one in refused)
        closed = any(one.before or one.after for one in refused)
        raise FleetError(f"{vehicle.key}: {said}{' Give --meant if it is.' if closed else ''}")
    assert kit.plans is not None
    if not enter(kit.plans, vehicle, wished, by=_by(typed), now=now, post=post):
        raise FleetError(f"{vehicle.key}: {words.texts.entering['changed']}")
    Planner(kit=kit).plan(vehicle.key, now)
    before = vehicle.handover
    moved = before is not None and before.at != wished.at
    key_of = "kept" if before is None else "moved" if moved else "same"
    return words.texts.entering[key_of].format(
        van=_name(vehicle),
        at=words.hour(wished.at),
        before=words.hour(before.at) if before is not None else "",
    )


def take_off(kit: "Kit", book: "Book", key: str, typed: Typed, now: datetime, words_in: str) -> str:
    """Take a handover off, and say so.

    Raises:
        FleetError: none is entered, or somebody else changed it in between.
    """
    from frostwatch.service.handover_entry import enter
    from frostwatch.service.planner import Planner

    vehicle, words = _found(book, key, now, words_in)
    text = words.texts.entering
    if vehicle.handover is None:
        raise FleetError(f"{vehicle.key}: {text['not entered']}")
    assert kit.plans is not None
    if not enter(kit.plans, vehicle, None, by=_by(typed), now=now):
        raise FleetError(f"{vehicle.key}: {text['changed']}")
    Planner(kit=kit).plan(vehicle.key, now)
    return text["off"].format(van=_name(vehicle), before=words.hour(vehicle.handover.at))


def _found(book: "Book", key: str, now: datetime, language: str) -> "tuple[Vehicle, PlanWords]":
    from frostwatch.advice.plan_words import words_for
    from frostwatch.cli.handover import language_from
    from frostwatch.fleet.finding import vehicle_meant

    vehicle = vehicle_meant(key, book.vehicles)
    site = next(one for one in book.sites if one.key == vehicle.site)
    return vehicle, words_for(language_from(language), site, now)


def _name(vehicle: "Vehicle") -> str:
    from frostwatch.advice.plan_words import name_of

    return name_of(vehicle)


def _by(typed: Typed) -> str:
    if not typed.by:
        raise FleetError("--by: say who enters it: key, name or initials.")
    return typed.by


def _wished(
    vehicle: "Vehicle", typed: Typed, there: "Callable[[str, str], datetime]"
) -> "Handover":
    from frostwatch.fleet.heat import Handover
    from frostwatch.storage.heat_text import source_from

    known = vehicle.handover
    if known is None and not typed.at:
        raise FleetError("--at: give the hour of the handover.")
    moment = there(typed.at, "--at") if typed.at else None
    if known is None:
        assert moment is not None
        known = Handover(at=moment)
    since = known.indoors_from
    if typed.indoors_from:
        no = typed.indoors_from.casefold() == "no"
        since = None if no else there(typed.indoors_from, "--indoors-from")
    heat = known.heat
    if typed.heat:
        heat = None if typed.heat.casefold() == "any" else source_from(typed.heat)
    return replace(
        known,
        at=moment or known.at,
        fill_l=typed.fill_l or known.fill_l,
        heat=heat,
        indoors_from=since,
        who=typed.who or known.who,
        taker=typed.taker or known.taker,
    )
