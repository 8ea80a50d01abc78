"""The only place where a picture from outside is decoded: a process of its own, with limits on memory and time.

The picture on standard input; on standard output one line of JSON, then a fresh JPEG without the camera's records.
A refusal is one line on standard error and exit status 3.
"""

import io
import json
import resource
import sys
from datetime import UTC, datetime

from PIL import Image, ImageOps
from pillow_heif import register_heif_opener

MEMORY_BYTES = 2 << 30
CPU_SECONDS = 20
MOST_PIXELS = 50_000_000  # [own]
LONGEST_SIDE_PX = 2048  # [own]
QUALITY = 85
REFUSED = 3
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
TAKEN_AT, TAKEN_ZONE, EXIF_PART = 36867, 36881, 0x8769


class RefusedPictureError(Exception):
    """The picture is not taken; the text says why."""


def limit_this_process() -> None:
    """Memory and processor time end here, whatever the picture asks for; files cannot be written."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_SECONDS, CPU_SECONDS))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def redrawn(data: bytes) -> tuple[dict[str, object], bytes]:
    """What it is, and the picture drawn afresh: upright, at most 2,048 px, JPEG. Size is read before decoding."""
    Image.MAX_IMAGE_PIXELS = None  # the limit below is the one that counts
    register_heif_opener()
    with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
        width, height = picture.size
        if width * height > MOST_PIXELS:
            raise RefusedPictureError(f"it is {width} by {height} pixels, more than {MOST_PIXELS // 1_000_000} million")
        made_at = _made_at(picture)
        if picture.format in {"JPEG", "MPO"}:
            picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        picture.load()
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        flat = _on_white(upright)
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY)
    about: dict[str, object] = {"width_px": flat.width, "height_px": flat.height, "made_at": made_at}
    return about, out.getvalue()


def _on_white(picture: Image.Image) -> Image.Image:
    """RGB pixels and nothing else; what shows through becomes white."""
    if not picture.has_transparency_data:
        plain = picture.convert("RGB")
    else:
        layered = picture.convert("RGBA")
        plain = Image.new("RGB", layered.size, "white")
        plain.paste(layered, mask=layered.getchannel("A"))
    fresh = Image.new("RGB", plain.size)
    fresh.paste(plain)
    return fresh


def _made_at(picture: Image.Image) -> str | None:
    """When it was taken, in UTC; only where the camera also recorded its zone."""
    try:
        part = picture.getexif().get_ifd(EXIF_PART)
        taken = datetime.strptime(f"{part[TAKEN_AT]} {part[TAKEN_ZONE]}", "%Y:%m:%d %H:%M:%S %z")
        return taken.astimezone(UTC).isoformat()
    except Exception:  # a camera's records are optional and often broken
        return None


def main() -> int:
    """Read, redraw, write."""
    limit_this_process()
    try:
        about, jpeg = redrawn(sys.stdin.buffer.read())
    except RefusedPictureError as reason:
        sys.stderr.write(str(reason))
        return REFUSED
    except Exception:  # whatever the decoder met, the answer is the same
        sys.stderr.write("it is damaged, cut short or not a picture")
        return REFUSED
    sys.stdout.buffer.write(json.dumps(about).encode() + b"\n" + jpeg)
    return 0


if __name__ == "__main__":
    sys.exit(main())
