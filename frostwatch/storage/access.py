"""Everything that decides who gets in: people, their devices, their machines."""

from frostwatch.storage.account_rows import SqlAccounts
from frostwatch.storage.database import Database
from frostwatch.storage.draft_rows import SqlDrafts
from frostwatch.storage.session_rows import SqlCodes, SqlKnocks, SqlSessions
from frostwatch.storage.token_rows import SqlTokens


class SqlAccess:
    """Who may see and do what.

    Attributes:
        accounts: who can sign in.
        sessions: who is signed in.
        codes: codes that let somebody choose a password once.
        knocks: tries that failed.
        tokens: machines.
        drafts: places that somebody began to enter.
    """

    def __init__(self, database: Database) -> None:
        self.accounts = SqlAccounts(database)
        self.sessions = SqlSessions(database)
        self.codes = SqlCodes(database)
        self.knocks = SqlKnocks(database)
        self.tokens = SqlTokens(database)
        self.drafts = SqlDrafts(database)
