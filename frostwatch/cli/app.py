"""All commands under one name."""

from importlib import import_module
from pathlib import Path
from typing import Annotated

import typer

Config = Annotated[
    Path | None,
    typer.Option(
        "--config",
        help="Settings file; without it ./frostwatch.toml or /etc/frostwatch/frostwatch.toml.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="For machines: JSON on standard output.")]

COMMANDS = {
    "run": "run",
    "assess": "assess",
    "tonight": "tonight",
    "estimate": "estimate",
    "check": "check",
    "replay": "replay",
    "import": "fleet",
    "export": "fleet",
    "layouts": "fleet",
    "handbook": "handbook",
    "record": "record",
    "why": "why",
    "people": "people",
    "messages": "messages",
    "weather": "weather",
    "place": "place",
    "readings": "readings",
    "evidence": "evidence",
    "handover": "handover",
    "advise": "advise",
    "calendar": "calendar",
    "accounts": "accounts",
    "links": "links",
}
"""Command -> the file it is in."""


def build_app() -> typer.Typer:
    """The program with every command."""
    app = typer.Typer(
        name="frostwatch",
        help="Who must drain which motorhome, caravan or camper van by when: from an open "
        "forecast, what is recorded about the water, and a heat-loss model. An estimate, not a "
        "public warning; look before you act, handbook first.",
        no_args_is_help=True,
        add_completion=False,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,
        context_settings={"help_option_names": ["--help", "-h"]},
    )
    for module in dict.fromkeys(COMMANDS.values()):
        import_module(f"frostwatch.cli.{module}").add_to(app)
    app.callback()(_version)
    return app


def _show_version(wanted: bool) -> None:
    if wanted:
        from frostwatch import __version__

        typer.echo(__version__)
        raise typer.Exit


def _version(
    version: Annotated[
        bool,
        typer.Option(
            "--version",
            help="Show the version and leave.",
            callback=_show_version,
            is_eager=True,  # before a command is missed
        ),
    ] = False,
) -> None:
    """Options of the program itself."""


def rows_of(table: list[list[str]]) -> str:
    """A plain table: columns padded, two spaces between, no frame; fit for a pipe."""
    widths = [max(len(row[n]) for row in table) for n in range(len(table[0]))]
    lines = ("  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)) for row in table)
    return "\n".join(line.rstrip() for line in lines)
