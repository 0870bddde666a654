"""Settings: one TOML file, then the environment, then files that hold secrets.

Every setting may be given as an environment variable: ``FROSTWATCH_`` and its name in capitals,
two underscores between a table and a name within it (``FROSTWATCH_WEATHER__CONTACT``). With
``_FILE`` behind the name, the value is read from the file named (``..._API_KEY_FILE``). The
environment wins over the file. Relative paths start at the working directory.
"""

import re
import tomllib
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, SecretStr
from pydantic import ValidationError as NotValidError
from pydantic_settings import BaseSettings, EnvSettingsSource, SettingsConfigDict

from frostwatch.errors import SettingsError
from frostwatch.weather.asking import Use

PREFIX = "FROSTWATCH_"
CONFIG_VARIABLE = "FROSTWATCH_CONFIG"
USUAL_PLACES = (Path("frostwatch.toml"), Path("/etc/frostwatch/frostwatch.toml"))


class ProviderChoice(StrEnum):
    """Where forecasts come from."""

    OPEN_METEO = "open-meteo"
    RECORDED = "recorded"


class LogLevel(StrEnum):
    """How much the log says."""

    DEBUG = "debug"
    INFO = "info"
    WARNING = "warning"
    ERROR = "error"


def _exact_bool(value: object) -> object:
    if isinstance(value, str):
        if value not in ("true", "false"):
            raise ValueError("must be true or false")
        return value == "true"
    return value


def _web_address(value: str) -> str:
    parts = urlsplit(value)
    if value and (parts.scheme not in ("http", "https") or not parts.hostname):
        raise ValueError("must be a web address such as https://frost.example")
    return value.rstrip("/")


def _contact(value: str) -> str:
    if value and not re.fullmatch(r"[^@\s]+@[^@\s]+\.[^@\s]+|https?://\S+", value):
        raise ValueError("must be an e-mail address or a web address at which you can be reached")
    return value


def _database(value: str) -> str:
    if not value:
        raise ValueError("must not be empty: write sqlite:///var/frostwatch.db or postgresql://...")
    return value


Flag = Annotated[bool, BeforeValidator(_exact_bool)]
WebAddress = Annotated[str, AfterValidator(_web_address)]
Contact = Annotated[str, AfterValidator(_contact)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class OpenMeteoSettings(_Table):
    """The Open-Meteo forecast API.

    Attributes:
        base_url: scheme and host of a server of one's own; "" for the public one.
        api_key: customer key; "" for the free host.
    """

    base_url: WebAddress = ""
    api_key: SecretStr = SecretStr("")


class WeatherSettings(_Table):
    """Where forecasts come from.

    Attributes:
        provider: open-meteo, or recorded replies from a folder.
        use: private, or commercial: sets which terms of a provider apply.
        contact: e-mail or web address sent along with every request.
        members: equally likely airs made of one forecast.
        recorded_folder: folder of recorded replies.
        open_meteo: that provider's own settings.
    """

    provider: ProviderChoice = ProviderChoice.OPEN_METEO
    use: Use = Use.PRIVATE
    contact: Contact = ""
    members: int = Field(default=40, ge=10, le=400)
    recorded_folder: Path = Path("var/recorded")
    open_meteo: OpenMeteoSettings = OpenMeteoSettings()


class MessageSettings(_Table):
    """How messages leave.

    Attributes:
        outbox_folder: where ``outbox://local`` writes.
        allow_private_addresses: whether targets may lie inside this host's own network.
    """

    outbox_folder: Path = Path("var/outbox")
    allow_private_addresses: Flag = False


class ServiceSettings(_Table):
    """The running service.

    Attributes:
        heartbeat_url: web address asked after each pass that ended well; "" for none.
        log_level: debug, info, warning or error.
    """

    heartbeat_url: WebAddress = Field(default="", repr=False)
    log_level: LogLevel = LogLevel.INFO


class Settings(BaseSettings):
    """Everything an operator can set.

    Attributes:
        database_url: where the ledger is kept.
        public_url: web address under which people reach this service; "" for none.
        weather: where forecasts come from.
        messages: how messages leave.
        service: the running service.
    """

    model_config = SettingsConfigDict(
        extra="forbid", frozen=True, env_prefix=PREFIX, env_nested_delimiter="__"
    )

    database_url: Annotated[str, AfterValidator(_database)] = Field(
        default="sqlite:///var/frostwatch.db", repr=False
    )
    public_url: WebAddress = ""
    weather: WeatherSettings = WeatherSettings()
    messages: MessageSettings = MessageSettings()
    service: ServiceSettings = ServiceSettings()

    @classmethod
    def settings_customise_sources(cls, *_sources: Any, **sources: Any) -> tuple[Any, ...]:
        """Only what ``load_settings`` hands over, so that a test never sees the real world."""
        return (sources["init_settings"],)


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
    return dict(_Environment(given)())


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
    shown = "" if "key" in name or "url" in name else f" is {fault['input']!r}, it"
    return f"{where}: {name}{shown} {must}{message}."


def _meant(name: str, known: set[str]) -> str:
    close = get_close_matches(name, sorted(known), n=1, cutoff=0.6)
    return f" Did you mean {close[0]}?" if close else " See config/frostwatch.example.toml."
