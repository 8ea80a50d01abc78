"""The only place where a picture from outside is decoded: read here by a limited process of its own."""

import io
from datetime import UTC, datetime

from PIL import Image, ImageOps
from pillow_heif import register_heif_opener

from vessel.errors import BadInput
from vessel.feeds.photo import KEPT, Photo

MOST_PIXELS = 50_000_000  # [own]
LONGEST_SIDE_PX = 2048  # [own]
QUALITY = 85
FORMATS = ("JPEG", "PNG", "WEBP", "HEIF")
TAKEN_AT, TAKEN_ZONE, EXIF_PART = 36867, 36881, 0x8769


def redrawn(data: bytes) -> Photo:
    """The picture drawn afresh: upright, at most 2,048 px, JPEG. Raises BadInput; MemoryError when it is too large."""
    try:
        return _redrawn(data)
    except (BadInput, MemoryError):
        raise
    except Exception as error:  # whatever the decoder met, the answer is the same
        raise BadInput(f"This photo cannot be taken: it is damaged, cut short or not a picture. {KEPT}") from error


def _redrawn(data: bytes) -> Photo:
    Image.MAX_IMAGE_PIXELS = None  # the limit below is the one that counts
    register_heif_opener()
    with Image.open(io.BytesIO(data), formats=FORMATS) as picture:
        width, height = picture.size
        if width * height > MOST_PIXELS:  # before anything of it is decoded
            size = f"it is {width} by {height} pixels, more than {MOST_PIXELS // 1_000_000} million"
            raise BadInput(f"This photo cannot be taken: {size}. {KEPT}")
        made_at = _made_at(picture)
        if picture.format in {"JPEG", "MPO"}:
            picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        picture.load()
        upright = ImageOps.exif_transpose(picture)
        upright.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        flat = _on_white(upright)
    out = io.BytesIO()
    flat.save(out, "JPEG", quality=QUALITY)
    return Photo(out.getvalue(), flat.width, flat.height, made_at)


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


def _made_at(picture: Image.Image) -> datetime | None:
    """When it was taken, in UTC; only where the camera also recorded its zone."""
    try:
        part = picture.getexif().get_ifd(EXIF_PART)
        taken = datetime.strptime(f"{part[TAKEN_AT]} {part[TAKEN_ZONE]}", "%Y:%m:%d %H:%M:%S %z")
        return taken.astimezone(UTC)
    except Exception:  # a camera's records are optional and often broken
        return None
