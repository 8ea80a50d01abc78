"""A file that was looked into and waits to be taken in: kept for an hour under a key that only its sender holds."""

import math
import os
import re
import secrets
from datetime import datetime, timedelta
from pathlib import Path

from django.conf import settings

from vessel.errors import Refused

KEPT = timedelta(hours=1)
KEY = re.compile(r"[0-9a-f]{32}")
GONE = "The file waited for more than an hour or was taken in already. Choose it again. Nothing was changed."


def put_by(data: bytes, *, owner: int, at: datetime) -> str:
    """Keep a file for its sender, and throw away what waited too long. Gives the key."""
    folder = _folder()
    folder.mkdir(parents=True, exist_ok=True)
    clear_away(at=at)
    key = secrets.token_hex(16)
    path = _path(key, owner)
    path.write_bytes(data)
    os.utime(path, (at.timestamp(), at.timestamp()))
    return key


def taken_up(key: str, *, owner: int) -> bytes:
    """The file again. Raises Refused where none waits under this key for this sender."""
    if not KEY.fullmatch(key):
        raise Refused(GONE)
    try:
        return _path(key, owner).read_bytes()
    except FileNotFoundError as reason:
        raise Refused(GONE) from reason


def done_with(key: str, *, owner: int) -> None:
    """Throw the file away."""
    if KEY.fullmatch(key):
        _path(key, owner).unlink(missing_ok=True)


def clear_away(*, at: datetime) -> int:
    """Throw away every file that has waited for longer than it is kept. How many; one taken in meanwhile is no matter."""
    return sum(map(_thrown_away, _too_old(at)))


def _too_old(at: datetime) -> list[Path]:
    folder, oldest = _folder(), (at - KEPT).timestamp()
    return [path for path in folder.iterdir() if _written(path) < oldest] if folder.is_dir() else []


def _written(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return math.inf


def _thrown_away(path: Path) -> bool:
    try:
        path.unlink()
    except FileNotFoundError:
        return False
    return True


def _folder() -> Path:
    return Path(settings.DATA) / "waiting"


def _path(key: str, owner: int) -> Path:
    return _folder() / f"{owner}-{key}"
