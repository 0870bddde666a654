"""``frostwatch check``: what stands in the way of being told in time."""

import typer

from frostwatch.cli.app import AsJson, Config


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="check")(check)


def check(config: Config = None, as_json: AsJson = False) -> None:
    """Look for wrong settings and gaps; each finding has an id and says how to mend it."""
    from dataclasses import asdict

    from frostwatch.cli.say import say, say_json
    from frostwatch.errors import SettingsError
    from frostwatch.service.checks import run_checks
    from frostwatch.service.findings import Finding, Weight
    from frostwatch.wiring import build_providers, settings_from, utc_now

    try:
        settings, source = settings_from(config)
    except SettingsError as wrong:
        findings: tuple[Finding, ...] = tuple(
            Finding(id="FW100", level=Weight.ERROR, what=line, hint="Correct the setting.")
            for line in str(wrong).splitlines()
        )
    else:
        findings = run_checks(settings, utc_now(), build_weather=build_providers, config=source)
    if as_json:
        say_json([asdict(finding) for finding in findings])
    for finding in () if as_json else findings:
        say(f"{finding.id} {finding.level.value}: {finding.what}\n    {finding.hint}")
    if not findings and not as_json:
        say("Nothing found. This says that the settings hold together, not that no frost comes.")
    if any(finding.level is Weight.ERROR for finding in findings):
        raise typer.Exit(1)
