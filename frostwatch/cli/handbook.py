"""``frostwatch handbook``: what a vehicle's handbook says, and numbers of its own."""

from typing import TYPE_CHECKING, Annotated

import typer

from frostwatch.cli.app import AsJson, Config, rows_of
from frostwatch.errors import FleetError

if TYPE_CHECKING:
    from datetime import datetime

    from frostwatch.fleet.vehicles import Vehicle
    from frostwatch.service.handbook import Entered


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="handbook")(handbook)


def handbook(
    vehicle: Annotated[str, typer.Argument(help="Key, bay or name.")],
    words: Annotated[
        list[str] | None,
        typer.Argument(
            help="What to enter: 'waste valve=shut', 'pump run=60', or a number of its own such as "
            "F1.capacity_l=120; '=default' takes it out again."
        ),
    ] = None,
    page: Annotated[
        str, typer.Option("--page", help="Where it stands: p. 88, plate on the tank, measured ...")
    ] = "",
    by: Annotated[str, typer.Option("--by", help="Who read or measured it: key or initials.")] = "",
    config: Config = None,
    as_json: AsJson = False,
) -> None:
    """Show or enter where a vehicle differs from what the trade does and from its layout."""
    from frostwatch.fleet.finding import vehicle_meant
    from frostwatch.storage.ledger import open_ledger
    from frostwatch.wiring import settings_from, utc_now

    if words and not by:
        raise FleetError("nobody says so. Give --by, the key or initials of whoever read it.")
    settings, _ = settings_from(config)
    now = utc_now()
    ledger = open_ledger(settings.database_url)
    try:
        found = vehicle_meant(vehicle, ledger.load(now).vehicles)
        entered = [_entered(found, word, page, by, now) for word in words or ()]

        def change(one: "Vehicle") -> "Vehicle":
            for step in entered:
                one = step.change(one)
            return one

        if entered:
            ledger.change_vehicle(found.key, change, [step.entry for step in entered])
            found = change(found)
    finally:
        ledger.close()
    _show(found, as_json=as_json)


def _entered(vehicle: "Vehicle", word: str, page: str, by: str, now: "datetime") -> "Entered":
    from frostwatch.fleet.handbook import HandbookLine, rule_named
    from frostwatch.service import handbook as service

    what, equals, says = (part.strip() for part in word.partition("="))
    if not equals or not says:
        raise FleetError(f"{word!r} says nothing. Write it like 'waste valve=shut'.")
    gone = says == service.DEFAULT
    if "." in what:
        number = None if gone else _number(what, says)
        return service.number_entered(vehicle, what, number, source=page, by=by, now=now)
    rule = rule_named(what)
    if gone:
        return service.rule_cleared(vehicle, rule, by=by, now=now)
    line = HandbookLine(rule=rule, says=says, page=page)
    return service.line_entered(vehicle, line, by=by, now=now)


def _number(name: str, text: str) -> float:
    try:
        return float(text.replace(",", "."))
    except ValueError:
        raise FleetError(f"{name}: {text!r} is no number. Write digits, without a unit.") from None


def _plain(values: dict[str, object]) -> dict[str, object]:
    """Moments as ISO 8601 texts."""
    return {
        name: value.isoformat() if hasattr(value, "isoformat") else value
        for name, value in values.items()
    }


def _show(vehicle: "Vehicle", *, as_json: bool) -> None:
    from dataclasses import asdict

    from frostwatch.cli.say import say, say_json
    from frostwatch.fleet.handbook import NUMBERS, WORDS, Rule

    own = {line.rule: line for line in vehicle.handbook}
    sources = {source.number: source for source in vehicle.own_from}
    if as_json:
        say_json(
            {
                "vehicle": vehicle.key,
                "handbook": [_plain(asdict(line)) for line in vehicle.handbook],
                "own": dict(vehicle.overrides),
                "own_from": [_plain(asdict(source)) for source in vehicle.own_from],
            }
        )
        return
    table = [["rule", "says", "from", "by"]]
    for rule in Rule:
        default = f"{NUMBERS[rule][0]:g}" if rule in NUMBERS else WORDS[rule][0]
        unit = f" {NUMBERS[rule][3]}" if rule in NUMBERS else ""
        line = own.get(rule)
        table.append(
            [rule.value, f"{default}{unit}", "common practice", ""]
            if line is None
            else [rule.value, f"{line.says}{unit}", line.page or "its handbook", line.by]
        )
    for name, number in vehicle.overrides:
        source = sources.get(name)
        said = source.source if source is not None else ""
        by = source.by if source is not None else ""
        table.append([name, f"{number:g}", said or "as entered, no source", by])
    say(f"{vehicle.name or vehicle.bay or vehicle.key}\n\n{rows_of(table)}")
