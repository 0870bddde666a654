"""What can be set, and what each value may be."""

import re
from enum import StrEnum
from ipaddress import ip_address, ip_network
from pathlib import Path
from typing import Annotated, Any
from urllib.parse import urlsplit

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, SecretStr
from pydantic_settings import BaseSettings, SettingsConfigDict

from frostwatch.weather.asking import Use

PREFIX = "FROSTWATCH_"
SHORTEST_TOKEN = 20
"""Fewer characters can be tried; twenty random ones cannot. Estimate."""


class ProviderChoice(StrEnum):
    """Where forecasts come from."""

    OPEN_METEO = "open-meteo"
    MET_NORWAY = "met-norway"
    BRIGHT_SKY = "bright-sky"
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


def _address(value: str) -> str:
    if not re.fullmatch(r"[0-9A-Za-z.:-]+", value):
        raise ValueError("must be an address of this computer such as 127.0.0.1, or 0.0.0.0")
    return value


def _proxy(value: str) -> str:
    try:
        return str(ip_network(value)) if "/" in value else str(ip_address(value))
    except ValueError as wrong:
        raise ValueError("must be an address such as 10.0.0.2, or a network 10.0.0.0/24") from wrong


def _long_secret(value: SecretStr) -> SecretStr:
    if 0 < len(value.get_secret_value()) < SHORTEST_TOKEN:
        raise ValueError(f"must have at least {SHORTEST_TOKEN} characters, or be empty")
    return value


def _database(value: str) -> str:
    if not value:
        raise ValueError("must not be empty: write sqlite:///var/frostwatch.db or postgresql://...")
    return value


def _in_order(value: tuple[ProviderChoice, ...]) -> tuple[ProviderChoice, ...]:
    if not value or len(set(value)) != len(value):
        raise ValueError("must name at least one provider, and each of them once")
    if ProviderChoice.RECORDED in value and len(value) > 1:
        raise ValueError("must be recorded alone: past replies and present ones do not mix")
    return value


Providers = Annotated[tuple[ProviderChoice, ...], AfterValidator(_in_order)]
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
        ensemble: whether to ask for the spread of an ensemble.
    """

    base_url: WebAddress = ""
    api_key: SecretStr = SecretStr("")
    ensemble: Flag = True


class ServerSettings(_Table):
    """A forecast API whose server may be another than the public one.

    Attributes:
        base_url: scheme and host; "" for the public one.
    """

    base_url: WebAddress = ""


class WeatherSettings(_Table):
    """Where forecasts come from.

    Attributes:
        providers: whom to ask, in order; the next one stands in where one is down.
        use: private, or commercial: sets which terms of a provider apply.
        contact: e-mail or web address sent along with every request.
        members: equally likely airs made of one forecast.
        recorded_folder: folder of recorded replies.
        open_meteo: that provider's own settings.
        met_norway: the same.
        bright_sky: the same.
    """

    providers: Providers = (ProviderChoice.OPEN_METEO,)
    use: Use = Use.PRIVATE
    contact: Contact = ""
    members: int = Field(default=40, ge=10, le=400)
    recorded_folder: Path = Path("var/recorded")
    open_meteo: OpenMeteoSettings = OpenMeteoSettings()
    met_norway: ServerSettings = ServerSettings()
    bright_sky: ServerSettings = ServerSettings()


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


class WebSettings(_Table):
    """The pages.

    Attributes:
        port: where they are served; 0 for not at all.
        address: address of this computer on which they are served.
        proxies: addresses of proxies that are believed about where a visitor comes from.
        replies_token: what a gateway shows that hands over replies; "" takes none.
    """

    port: int = Field(default=8080, ge=0, le=65535)
    address: Annotated[str, AfterValidator(_address)] = "127.0.0.1"
    proxies: tuple[Annotated[str, AfterValidator(_proxy)], ...] = ("127.0.0.1", "::1")
    replies_token: Annotated[SecretStr, AfterValidator(_long_secret)] = SecretStr("")


class Settings(BaseSettings):
    """Everything an operator can set.

    Attributes:
        database_url: where the ledger is kept.
        public_url: web address under which people reach this service; "" for none.
        weather: where forecasts come from.
        messages: how messages leave.
        service: the running service.
        web: the pages.
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
    web: WebSettings = WebSettings()

    @classmethod
    def settings_customise_sources(cls, *_sources: Any, **sources: Any) -> tuple[Any, ...]:
        """Only what ``load_settings`` hands over, so that a test never sees the real world."""
        return (sources["init_settings"],)
