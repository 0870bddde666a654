"""Every error a user can meet, drawn as one tree.

FrostwatchError
├── SettingsError        a setting is missing, wrong or contradicts another
├── FleetError           a site, person or vehicle that was entered does not hold together
├── RecordError          an entry about the water that cannot be kept as it stands
├── PhotoError           a photograph that cannot be kept
├── ForecastError        weather that cannot be used (the reply, its units, its gaps)
│   └── NoForecastError  nothing usable is left; never the same thing as "no frost"
├── CaseError            a case for ``frostwatch estimate`` with a field that does not fit
├── LedgerError          the database cannot be read or written
│   └── NewerLedgerError the database was written by a newer version
└── ChannelError         a message could not be handed over

Each message says what is wrong, where, and how to mend it.
"""


class FrostwatchError(Exception):
    """The root: anything the command line shows as one line and exit status 2."""


class SettingsError(FrostwatchError):
    """A setting is missing, wrong or contradicts another."""


class FleetError(FrostwatchError):
    """A site, person or vehicle that was entered does not hold together."""


class RecordError(FrostwatchError):
    """An entry about the water that cannot be kept as it stands."""


class PhotoError(FrostwatchError):
    """A photograph that cannot be kept."""


class ForecastError(FrostwatchError):
    """Weather that cannot be used."""


class NoForecastError(ForecastError):
    """Nothing usable is left. Never to be read as "no frost"."""


class CaseError(FrostwatchError):
    """A case for ``frostwatch estimate`` with a field that does not fit."""


class LedgerError(FrostwatchError):
    """The database cannot be read or written."""


class NewerLedgerError(LedgerError):
    """The database was written by a newer version of frostwatch."""


class ChannelError(FrostwatchError):
    """A message could not be handed over."""
