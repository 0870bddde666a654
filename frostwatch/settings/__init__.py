"""Settings: one TOML file, then the environment, then files that hold secrets.

Every setting may be given as an environment variable: ``FROSTWATCH_`` and its name in capitals,
two underscores between a table and a name within it (``FROSTWATCH_WEATHER__CONTACT``). With
``_FILE`` behind the name, the value is read from the file named (``..._API_KEY_FILE``). The
environment wins over the file. Relative paths start at the working directory.
"""

from frostwatch.settings.loading import CONFIG_VARIABLE, find_config, load_settings, setting_names
from frostwatch.settings.model import (
    LogLevel,
    MessageSettings,
    OpenMeteoSettings,
    ProviderChoice,
    ServerSettings,
    ServiceSettings,
    Settings,
    WeatherSettings,
    WebSettings,
)

__all__ = [
    "CONFIG_VARIABLE",
    "LogLevel",
    "MessageSettings",
    "OpenMeteoSettings",
    "ProviderChoice",
    "ServerSettings",
    "ServiceSettings",
    "Settings",
    "WeatherSettings",
    "WebSettings",
    "find_config",
    "load_settings",
    "setting_names",
]
