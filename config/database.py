"""How SQLite is opened on board, where the main switch is a power cut."""

import sqlite3
from pathlib import Path
from typing import Any

BUSY_TIMEOUT_S = 10
# Versions that mend the write-ahead-log reset fault; older ones can damage a file that two programs write.
WAL_SAFE_FROM = (3, 51, 3)
WAL_SAFE_BRANCHES = {(3, 44): 6, (3, 50): 7}


def wal_is_safe(version: tuple[int, ...]) -> bool:
    """May this SQLite use a write-ahead log beside a second program?"""
    mended = WAL_SAFE_BRANCHES.get((version[0], version[1]))
    return version >= WAL_SAFE_FROM or (mended is not None and version[2] >= mended)


def journal_mode(version: tuple[int, ...] = sqlite3.sqlite_version_info) -> str:
    return "WAL" if wal_is_safe(version) else "DELETE"


def on_board(file: Path) -> dict[str, Any]:
    """Django's settings for one SQLite file: every commit is on the disk before it is answered.

    IMMEDIATE takes the write lock at the start of a transaction, so that a read followed by a write waits its
    turn instead of failing at once.
    """
    pragmas = (f"journal_mode={journal_mode()}", "synchronous=FULL", "foreign_keys=ON")
    return {
        "ENGINE": "django.db.backends.sqlite3",
        "NAME": file,
        "OPTIONS": {
            "transaction_mode": "IMMEDIATE",
            "timeout": BUSY_TIMEOUT_S,
            "init_command": "".join(f"PRAGMA {pragma};" for pragma in pragmas),
        },
    }
