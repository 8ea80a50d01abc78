"""Stored photos and files: where they lie, and which are missing or damaged."""

import hashlib
from pathlib import Path
from typing import NamedTuple

from django.conf import settings

from vessel.models import Attachment


class StoreProblem(NamedTuple):
    """One file of the store that is not as it should be. `kind`: missing, changed or orphan."""

    sha256: str
    kind: str


def place_of(sha256: str) -> Path:
    """Where the file with this hash lies."""
    return Path(settings.MEDIA_ROOT) / sha256[:2] / sha256


def file_of(attachment: Attachment) -> Path:
    """The stored file of an attachment."""
    return place_of(attachment.sha256)


def store_problems() -> list[StoreProblem]:
    """Every attachment whose file is missing or changed, and every file that no attachment names.

    One query; reads every file, so it takes as long as the disk does.
    """
    known = set(Attachment.objects.values_list("sha256", flat=True))
    problems = [StoreProblem(sha256, kind) for sha256 in sorted(known) if (kind := _fault(place_of(sha256)))]
    root = Path(settings.MEDIA_ROOT)
    stored = sorted(path.name for path in root.glob("??/*") if path.is_file())
    return problems + [StoreProblem(name, "orphan") for name in stored if name not in known]


def _fault(place: Path) -> str:
    if not place.is_file():
        return "missing"
    with place.open("rb") as file:
        digest = hashlib.file_digest(file, "sha256").hexdigest()
    return "" if digest == place.name else "changed"
