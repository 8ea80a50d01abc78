"""Photos from phones and cameras: the kind is read off the first bytes, the picture redrawn in a limited process."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from vessel.errors import BadInput

MOST_BYTES = 30 * 1024 * 1024  # [own]
SECONDS = 30
HOME = Path(__file__).resolve().parent.parent.parent
KEPT_ENVIRONMENT = ("PATH", "LANG", "LC_ALL", "LD_LIBRARY_PATH")
REFUSED = 3
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


def read_photo(data: bytes) -> Photo:
    """The photo redrawn. Raises BadInput with one sentence; whatever the file holds, this process is not hurt."""
    if len(data) > MOST_BYTES:
        raise BadInput(f"This photo is {len(data) / 1e6:.0f} MB; the most is {MOST_BYTES / 1e6:.0f} MB. {KEPT}")
    if not _looks_like_a_photo(data):
        raise BadInput(f"This file is not a photo: send a JPEG, HEIC, PNG or WebP picture. {KEPT}")
    about, jpeg = _redrawn(data)
    made_at = about["made_at"]
    return Photo(
        jpeg=jpeg,
        width_px=int(str(about["width_px"])),
        height_px=int(str(about["height_px"])),
        made_at=datetime.fromisoformat(str(made_at)) if made_at else None,
    )


def _looks_like_a_photo(data: bytes) -> bool:
    return (
        data.startswith((JPEG, PNG))
        or (data[:4] == b"RIFF" and data[8:12] == WEBP)
        or (data[4:8] == b"ftyp" and data[8:12] in HEIC_BRANDS)
    )


def _redrawn(data: bytes) -> tuple[dict[str, object], bytes]:
    # no secret of ours travels to a process that reads strangers' files
    environment = {name: os.environ[name] for name in KEPT_ENVIRONMENT if name in os.environ}
    try:
        done = subprocess.run(
            [sys.executable, "-m", "vessel.feeds.photo_child"],
            input=data,
            capture_output=True,
            timeout=SECONDS,
            cwd=HOME,
            env=environment,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise BadInput(f"This photo took more than {SECONDS} s to read, so it was left. {KEPT}") from error
    if done.returncode == REFUSED:
        raise BadInput(f"This photo cannot be taken: {done.stderr.decode(errors='replace')}. {KEPT}")
    if done.returncode:
        raise BadInput(f"This photo cannot be taken: reading it takes too much memory or work. {KEPT}")
    about, _, jpeg = done.stdout.partition(b"\n")
    return json.loads(about), jpeg
