"""Copy a running frostwatch SQLite database whole, and keep the last copies.

Usage: backup.py DATABASE FOLDER [KEEP]

The copy is made by SQLite itself, so it is consistent while frostwatch writes. It is checked
before an older one is dropped. For PostgreSQL use pg_dump; see README.md beside this file.
"""

import sqlite3
import sys
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path


def back_up(database: Path, folder: Path, now: datetime, keep: int = 14) -> Path:
    """Copy ``database`` into ``folder`` and drop all but the last ``keep`` copies.

    Raises:
        SystemExit: the database is not there, cannot be read, or its copy is not whole.
    """
    if not database.is_file():
        raise SystemExit(f"{database} is not there. Name the file of database_url.")
    folder.mkdir(parents=True, exist_ok=True)
    copy = folder / f"frostwatch-{now:%Y%m%dT%H%M%SZ}.db"
    unfinished = copy.with_suffix(".part")
    unfinished.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(f"file:{database}?mode=ro", uri=True)) as source:
            source.execute("VACUUM INTO ?", (str(unfinished),))
        with closing(sqlite3.connect(unfinished)) as made:
            (verdict,) = made.execute("PRAGMA integrity_check").fetchone()
    except sqlite3.Error as failure:
        unfinished.unlink(missing_ok=True)
        raise SystemExit(f"{database} could not be copied: {failure}. Older copies stay.") from None
    if verdict != "ok":
        raise SystemExit(f"{unfinished} is not whole: {verdict}. Older copies stay.")
    unfinished.rename(copy)
    for old in sorted(folder.glob("frostwatch-*.db"))[:-keep]:
        old.unlink()
    return copy


if __name__ == "__main__":
    if len(sys.argv) not in (3, 4):
        raise SystemExit(__doc__)
    kept = int(sys.argv[3]) if len(sys.argv) == 4 else 14
    print(back_up(Path(sys.argv[1]), Path(sys.argv[2]), datetime.now(UTC), kept))  # noqa: T201, TID251
