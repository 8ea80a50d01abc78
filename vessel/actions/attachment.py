"""Storing photos and files under the hash of their bytes: written, forced to the disk, renamed, then the row."""

import hashlib
import os
import tempfile
from datetime import datetime
from pathlib import Path

from vessel.feeds.photo import read_photo
from vessel.models import Attachment
from vessel.queries.attachment import place_of


def store_photo(*, data: bytes, at: datetime) -> Attachment:
    """Check, redraw and store a photo; the same photo twice is stored once.

    Call it outside a transaction: it reads and writes files. Raises BadInput with one sentence.
    """
    photo = read_photo(data)
    digest = hashlib.sha256(photo.jpeg).hexdigest()
    _write(place_of(digest), photo.jpeg)
    attachment, _ = Attachment.objects.get_or_create(
        sha256=digest,
        defaults={
            "media_type": "image/jpeg",
            "size_bytes": len(photo.jpeg),
            "width_px": photo.width_px,
            "height_px": photo.height_px,
            "made_at": photo.made_at,
            "stored_at": at,
        },
    )
    return attachment


def _write(place: Path, data: bytes) -> None:
    """The whole file or none: a power cut leaves no half file under the final name."""
    if place.exists() and place.read_bytes() == data:
        return
    place.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    handle, name = tempfile.mkstemp(dir=place.parent, prefix="new-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).replace(place)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    folder = os.open(place.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
