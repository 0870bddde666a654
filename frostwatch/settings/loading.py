"""Reading settings from file, environment and secret files, and saying what does not fit."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

import pydantic_settings
from pydantic import BaseModel
from pydantic import ValidationError as NotValidError
from pydantic_settings import EnvSettingsSource

from frostwatch.errors import SettingsError
from frostwatch.settings.model import PREFIX, Settings

CONFIG_VARIABLE = "FROSTWATCH_CONFIG"
USUAL_PLACES = (Path("frostwatch.toml"), Path("/etc/frostwatch/frostwatch.toml"))


class _Environment(EnvSettingsSource):
    """The environment handed over, instead of the process's own."""

    def __init__(self, given: Mapping[str, str]) -> None:
        self._given = given
        super().__init__(Settings)

    def _load_env_vars(self) -> Mapping[str, str | None]:
        return {name.lower(): value for name, value in self._given.items()}


def find_config(given: Path | None, environment: Mapping[str, str]) -> Path | None:
    """The settings file: the one given, the environment's, or the first of the usual places.

    Raises:
        SettingsError: a file was named that is not there.
    """
    named = given or (
        Path(environment[CONFIG_VARIABLE]) if CONFIG_VARIABLE in environment else None
    )
    if named is None:
        return next((place for place in USUAL_PLACES if place.is_file()), None)
    if not named.is_file():
        raise SettingsError(
            f"{named}: there is no such settings file. Copy config/frostwatch.example.toml there, "
            "or leave the file out to use the defaults."
        )
    return named


def load_settings(config: Path | None, environment: Mapping[str, str]) -> Settings:
    """Read the settings.

    Args:
        config: the settings file, None for the usual places.
        environment: usually ``os.environ``.

    Raises:
        SettingsError: every fault found, each with where it stands and how to mend it.
    """
    path = find_config(config, environment)
    values = _merged(_read_toml(path) if path else {}, _read_environment(environment))
    try:
        return Settings(**values)
    except NotValidError as wrong:
        where = str(path) if path else "environment"
        faults = [_sentence(where, fault) for fault in wrong.errors()]
        raise SettingsError("\n".join(faults)) from None  # the original repeats secrets


def setting_names(table: type[BaseModel] = Settings) -> Iterator[str]:
    """Dotted names of all settings."""
    for name, info in table.model_fields.items():
        if isinstance(info.annotation, type) and issubclass(info.annotation, BaseModel):
            yield from (f"{name}.{inner}" for inner in setting_names(info.annotation))
        else:
            yield name


def _read_toml(path: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except tomllib.TOMLDecodeError as wrong:
        raise SettingsError(
            f"{path}: {wrong}. Texts stand in quotes, true and false do not."
        ) from wrong
    except (OSError, UnicodeDecodeError) as wrong:
        raise SettingsError(f"{path} cannot be read: {wrong}.") from wrong


def _read_environment(environment: Mapping[str, str]) -> dict[str, Any]:
    given: dict[str, str] = {}
    known = {_variable(name) for name in setting_names()}
    for name, value in environment.items():
        if not name.startswith(PREFIX) or name == CONFIG_VARIABLE:
            continue
        target = name.removesuffix("_FILE")
        if name not in known and target not in known:
            raise SettingsError(f"{name}: there is no such setting.{_meant(name, known)}")
        if name in known:
            given[name] = value
        elif target in environment:
            raise SettingsError(f"{target} and {name} are both given. Give one of them.")
        else:
            given[target] = _secret_file(name, value)
    try:
        return dict(_Environment(given)())
    except pydantic_settings.SettingsError as wrong:
        raise SettingsError(
            "A list in the environment is not understood. Write it in brackets and quotes: "
            """FROSTWATCH_WEATHER__PROVIDERS='["open-meteo", "met-norway"]'."""
        ) from wrong


def _variable(name: str) -> str:
    return PREFIX + name.replace(".", "__").upper()


def _secret_file(variable: str, value: str) -> str:
    try:
        return Path(value).read_text(encoding="utf-8").strip()
    except (OSError, UnicodeDecodeError) as wrong:
        cause = getattr(wrong, "strerror", None) or wrong
        raise SettingsError(
            f"{variable}: the file {value} cannot be read ({cause}). Name a text file that "
            "frostwatch may read and that holds nothing but the value."
        ) from wrong


def _merged(under: dict[str, Any], over: dict[str, Any]) -> dict[str, Any]:
    both = dict(under)
    for name, value in over.items():
        below = both.get(name)
        nested = isinstance(below, dict) and isinstance(value, dict)
        both[name] = _merged(below, value) if nested and below is not None else value
    return both


def _sentence(where: str, fault: Any) -> str:
    name = ".".join(str(part) for part in fault["loc"])
    if fault["type"] == "extra_forbidden":
        known = {*setting_names(), *Settings.model_fields}
        return f"{where}: {name}: there is no such setting.{_meant(name, known)}"
    message = re.sub("^(Value error, )?(Input should be)?", "", fault["msg"]).strip()
    if fault["type"] in ("model_type", "model_attributes_type"):
        message = f"a table: a line [{name}] and its settings below"
    must = "" if message.startswith("must ") else "must be "
    is_secret = any(word in name for word in ("key", "url", "token"))
    shown = "" if is_secret else f" is {fault['input']!r}, it"
    return f"{where}: {name}{shown} {must}{message}."


def _meant(name: str, known: set[str]) -> str:
    close = get_close_matches(name, sorted(known), n=1, cutoff=0.6)
    return f" Did you mean {close[0]}?" if close else " See config/frostwatch.example.toml."
