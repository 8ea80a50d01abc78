from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from readiness.feeds.waiting_file import KEPT, clear_away, done_with, put_by, taken_up
from vessel.errors import Refused

pytestmark = pytest.mark.usefixtures("data_folder")
AT = datetime(2027, 5, 15, 6, 0, tzinfo=UTC)


def test_a_file_waits_for_whoever_sent_it() -> None:
    key = put_by(b"GRIB...", owner=7, at=AT)

    assert taken_up(key, owner=7) == b"GRIB..."


def test_nobody_else_takes_it_up() -> None:
    key = put_by(b"GRIB...", owner=7, at=AT)

    with pytest.raises(Refused, match="Choose it again"):
        taken_up(key, owner=8)


def test_it_is_gone_when_it_was_taken_in() -> None:
    key = put_by(b"GRIB...", owner=7, at=AT)
    done_with(key, owner=7)

    with pytest.raises(Refused, match="taken in already"):
        taken_up(key, owner=7)


@pytest.mark.parametrize(("later", "is_there"), [(KEPT, True), (KEPT + timedelta(seconds=1), False)])
def test_what_waited_too_long_is_thrown_away_with_the_next_file(
    data_folder: Path, later: timedelta, is_there: bool
) -> None:
    key = put_by(b"old", owner=7, at=AT)
    put_by(b"new", owner=7, at=AT + later)

    assert (data_folder / "waiting" / f"7-{key}").exists() is is_there


def test_what_waited_too_long_is_cleared_away_and_counted(data_folder: Path) -> None:
    assert clear_away(at=AT) == 0
    old = put_by(b"old", owner=7, at=AT)
    new = put_by(b"new", owner=7, at=AT + KEPT)

    assert clear_away(at=AT + KEPT) == 0
    assert clear_away(at=AT + KEPT + timedelta(seconds=1)) == 1

    assert not (data_folder / "waiting" / f"7-{old}").exists()
    assert taken_up(new, owner=7) == b"new"


@pytest.mark.parametrize("key", ["", "../../etc/passwd", "0" * 31, "G" * 32, "0" * 32])
def test_a_key_that_is_none_opens_nothing(key: str) -> None:
    with pytest.raises(Refused):
        taken_up(key, owner=7)
    done_with(key, owner=7)
