"""Photos from phones and cameras: the kind is read off the first bytes, the picture redrawn in a limited process."""

from dataclasses import dataclass
from datetime import datetime

from vessel.errors import BadInput
from vessel.feeds.limited import Limits, Reader

MOST_BYTES = 30 * 1024 * 1024  # [own]
JPEG, PNG, WEBP = b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"WEBP"
HEIC_BRANDS = frozenset({b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1", b"hevc", b"hevx"})
KEPT = "Nothing was stored; what you wrote is kept."


@dataclass(frozen=True, slots=True)
class Photo:
    """A redrawn JPEG, upright, without the camera's records. `made_at` only where its zone was recorded."""

    jpeg: bytes
    width_px: int
    height_px: int
    made_at: datetime | None


REDRAW = Reader(
    path="vessel.feeds.photo_child.redrawn",
    gives=Photo,
    what="photo",
    kept=KEPT,
    # a large picture of a telephone takes long on a small computer
    limits=Limits(memory_bytes=1 << 30, work_s=20, wait_s=30.0),
)


def read_photo(data: bytes) -> Photo:
    """The photo redrawn. Raises BadInput with one sentence; whatever the file holds, this process is not hurt."""
    if len(data) > MOST_BYTES:
        raise BadInput(f"This photo is {len(data) / 1e6:.0f} MB; the most is {MOST_BYTES / 1e6:.0f} MB. {KEPT}")
    if not _looks_like_a_photo(data):
        raise BadInput(f"This file is not a photo: send a JPEG, HEIC, PNG or WebP picture. {KEPT}")
    return REDRAW(data)


def _looks_like_a_photo(data: bytes) -> bool:
    return (
        data.startswith((JPEG, PNG))
        or (data[:4] == b"RIFF" and data[8:12] == WEBP)
        or (data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS)
    )
