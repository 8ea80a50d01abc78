import sqlite3
from pathlib import Path

import pytest
from django.db import connection
from django.db.backends.sqlite3.base import DatabaseWrapper

from config.database import BUSY_TIMEOUT_S, journal_mode, on_board, wal_is_safe


@pytest.mark.parametrize(
    ("version", "safe"),
    [
        ((3, 40, 1), False),
        ((3, 44, 5), False),
        ((3, 44, 6), True),
        ((3, 45, 0), False),
        ((3, 50, 6), False),
        ((3, 50, 7), True),
        ((3, 51, 2), False),
        ((3, 51, 3), True),
        ((3, 52, 0), True),
        ((4, 0, 0), True),
    ],
)
def test_a_write_ahead_log_is_used_only_where_its_fault_is_mended(version: tuple[int, ...], safe: bool) -> None:
    assert wal_is_safe(version) is safe
    assert journal_mode(version) == ("WAL" if safe else "DELETE")


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("pragma", "value"), [("synchronous", 2), ("foreign_keys", 1), ("busy_timeout", BUSY_TIMEOUT_S * 1000)]
)
def test_a_real_connection_has_what_a_power_cut_asks_for(pragma: str, value: int) -> None:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {pragma}")
        assert cursor.fetchone() == (value,)


@pytest.mark.django_db
def test_a_transaction_takes_the_write_lock_at_its_start(tmp_path: Path) -> None:
    file = tmp_path / "boat.sqlite3"
    ours = DatabaseWrapper({**connection.settings_dict, **on_board(file)}, "on_board")
    ours.ensure_connection()

    ours.set_autocommit(False, force_begin_transaction_with_broken_autocommit=True)

    other = sqlite3.connect(file, timeout=0)
    with pytest.raises(sqlite3.OperationalError, match="database is locked"):
        other.execute("BEGIN IMMEDIATE")
    other.close()
    ours.close()
