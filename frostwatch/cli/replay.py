"""``frostwatch replay``: past nights run again."""

from pathlib import Path
from typing import Annotated

import typer

from frostwatch.cli.app import AsJson
from frostwatch.errors import FrostwatchError


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="replay")(replay)


def replay(
    folder: Annotated[
        Path, typer.Argument(help="fleet.toml, entries.csv, forecasts/, answers.csv.")
    ],
    start: Annotated[str, typer.Option("--from", help="First moment, ISO 8601, UTC without Z.")],
    end: Annotated[str, typer.Option("--to", help="Last moment.")],
    answer_after: Annotated[
        str,
        typer.Option("--answer-after", help='Answer every act call "done" that long after, 2h.'),
    ] = "",
    rule: Annotated[
        str,
        typer.Option(
            "--rule",
            help="Compare: minimum:X calls where the forecast's lowest air lies below X degC.",
        ),
    ] = "",
    summary: Annotated[
        bool, typer.Option("--summary", help="With --json: the scores as a last line.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Run the whole service over recorded forecasts and entries, with nobody written to."""
    from frostwatch.cli.moments import moment_from, span_from
    from frostwatch.cli.say import complain, end_progress, progress, say, say_json
    from frostwatch.logs import set_up_logs
    from frostwatch.service.nights import point_of
    from frostwatch.service.replay import Replay, read_folder
    from frostwatch.service.rules import rule_from
    from frostwatch.wiring import build_recorded

    set_up_logs("warning")
    read = read_folder(folder)
    names: dict[str, list[str]] = {}
    for site in read.fleet.sites:
        names.setdefault(point_of(site).key, []).append(site.key)
    forecasts = build_recorded(folder, dict(names))
    run = Replay(
        read,
        forecasts,
        answer_after=span_from(answer_after, "--answer-after") if answer_after else None,
        rule=rule_from(rule) if rule else None,
        progress=lambda now: progress(f"{now:%Y-%m-%d %H:%M} UTC"),
    )
    first, last = moment_from(start, "--from"), moment_from(end, "--to")
    if last < first:
        raise FrostwatchError(f"--to {end} lies before --from {start}. Swap them.")
    count = 0
    credit: dict[str, None] = {}
    for spoken in run.run(first, last):
        count += 1
        credit |= dict.fromkeys(spoken.draft.facts.credit)
        end_progress()
        if as_json:
            say_json(spoken.as_json())
        else:
            draft = spoken.draft
            say(f"{spoken.local}  to {draft.recipient}, {draft.kind.value} ({draft.reason}):")
            say(f"    {spoken.short}")
    end_progress()
    if credit and not as_json:
        say(f"Weather: {'; '.join(credit)}. Corrected to the place.")
    counts = forecasts.counts
    failed = ", ".join(f"{n} {kind}" for kind, n in sorted(counts.failed.items()))
    complain(f"{count} messages; {counts.used} replies used, not usable: {failed or 'none'}.")
    for key, learnt in run.learnt().items():
        complain(f"{key}, learnt on the way: {learnt.sentence}")
    scores = run.scores(first, last)
    complain(scores.as_text())
    if as_json and summary:
        say_json({"summary": scores.as_json()})
