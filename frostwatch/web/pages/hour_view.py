"""The form of a handover in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from frostwatch.advice.plan_words import PlanWords
from frostwatch.fleet.heat import HeatSource
from frostwatch.fleet.people import Duty, Person
from frostwatch.ports.pages import VehicleFile
from frostwatch.ports.plans import HandoverChange
from frostwatch.service.handover_entry import Doubt, Refusal, refusal_words
from frostwatch.web.pages.hour_form import HourForm
from frostwatch.web.pages.plans_now import heat_key
from frostwatch.web.pages.rows import named
from frostwatch.web.words import Tongue


@dataclass(frozen=True, slots=True, kw_only=True)
class HourView:
    """What the form shows.

    Attributes:
        vehicle: key of the vehicle.
        site: key of its site.
        bay: what it is called.
        head: what is done.
        typed: field -> text.
        faults: field -> what is to be put right about it.
        asks: the hour may be meant as it is.
        changed: what somebody else did meanwhile; None for nothing.
        heats: source -> its words.
        posts: post -> its words.
        people: names of those who work there.
        is_entered: there is a handover that can be taken off.
        history: what was changed, newest first.
    """

    vehicle: str
    site: str
    bay: str
    head: Markup
    typed: Mapping[str, str]
    faults: Mapping[str, Markup | str]
    asks: bool
    changed: Markup | None
    heats: tuple[tuple[str, str], ...]
    posts: tuple[tuple[str, Markup], ...]
    people: tuple[str, ...]
    is_entered: bool
    history: tuple[Markup, ...]


def hour_view(
    file: VehicleFile,
    form: HourForm,
    tongue: Tongue,
    *,
    words: PlanWords,
    sources: Sequence[HeatSource],
    changes: Sequence[HandoverChange],
    refused: Mapping[str, Refusal],
    changed: bool,
) -> HourView:
    """Put the form into words."""
    t, vehicle = tongue, file.vehicle
    bay = vehicle.name or vehicle.bay or vehicle.key
    known = vehicle.handover
    head = t("hour.head", bay=bay)
    if known is not None:
        head = t("hour.head.move", bay=bay, at=t.hour(known.at))
    last = changes[-1] if changes and changed else None
    return HourView(
        vehicle=vehicle.key,
        site=file.site.key,
        bay=bay,
        head=head,
        typed=form.typed,
        faults=_faults(form, refused, words, t),
        asks=form.meant or any(one.doubt is Doubt.CLOSED for one in refused.values()),
        changed=_meanwhile(last, file, t) if changed else None,
        heats=tuple((heat_key(one), words.heat(one)) for one in sources),
        posts=tuple(
            (one.name, t("hour.post.one", post=one.name, amps=t.speech.number(one.amps)))
            for one in file.site.posts
        ),
        people=tuple(sorted({one.name for one in _staff(file)})),
        is_entered=known is not None,
        history=tuple(change_words(one, file, t) for one in reversed(changes)),
    )


def _staff(file: VehicleFile) -> list[Person]:
    """Those who work at the place; owners are not asked to make vehicles ready there."""
    site = file.site
    return [
        one
        for one in file.people.values()
        if one.key == site.operator or (site.key in one.sites and one.duty is not Duty.OWNER)
    ]


def _faults(
    form: HourForm, refused: Mapping[str, Refusal], words: PlanWords, t: Tongue
) -> dict[str, Markup | str]:
    text = words.texts.entering
    found: dict[str, Markup | str] = {
        name: t(key) if t.has(key) else text[key] for name, key in form.faults.items()
    }
    return found | {name: refusal_words(one, words) for name, one in refused.items()}


def _meanwhile(last: HandoverChange | None, file: VehicleFile, t: Tongue) -> Markup:
    if last is None:
        return t("plans.again")
    key = "hour.changed" if last.after is not None else "hour.changed.gone"
    return t(key, who=named(last.by, file.people), at=t.hour(last.at))


def change_words(one: HandoverChange, file: VehicleFile, t: Tongue) -> Markup:
    """What was changed about a handover, by whom and when."""
    return said_change(one, named(one.by, file.people), t)


def said_change(one: HandoverChange, who: str, t: Tongue) -> Markup:
    """The same, with a name."""
    values = {"who": who, "at": t.hour(one.at)}
    if one.after is None:
        before = t.hour(one.before.at) if one.before is not None else ""
        return t("plans.taken_off", before=before, **values)
    if one.before is None:
        return t("plans.entered", **values)
    if one.before.at != one.after.at:
        return t("plans.moved", before=t.hour(one.before.at), **values)
    return t("plans.changed", **values)
