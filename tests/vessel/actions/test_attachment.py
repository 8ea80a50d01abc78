"""Photos from outside: taken, redrawn, stored once; or refused with one sentence and nothing stored."""

import hashlib
import io
import itertools
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pillow_heif
import pytest
from django.test import override_settings
from PIL import Image

from vessel.actions.attachment import store_photo
from vessel.errors import BadInput
from vessel.feeds.photo import MOST_BYTES, read_photo
from vessel.feeds.photo_child import MOST_PIXELS
from vessel.models import Attachment
from vessel.queries.attachment import file_of, store_problems

pytestmark = pytest.mark.django_db
ORIENTATION, CAMERA, EXIF_PART, POSITION_PART = 0x112, 0x110, 0x8769, 0x8825
LEFT, RIGHT = (200, 30, 30), (30, 30, 200)


@pytest.fixture(autouse=True)
def _store(tmp_path: Path) -> object:
    with override_settings(MEDIA_ROOT=tmp_path / "attachments"):
        yield


def two_halves(width: int, height: int) -> Image.Image:
    picture = Image.new("RGB", (width, height), LEFT)
    picture.paste(RIGHT, (width // 2, 0, width, height))
    return picture


def encoded(picture: Image.Image, kind: str, **options: object) -> bytes:
    out = io.BytesIO()
    picture.save(out, kind, **options)
    return out.getvalue()


def phone_photo(width: int = 4000, height: int = 3000, orientation: int = 6) -> bytes:
    records = Image.Exif()
    records[ORIENTATION], records[CAMERA] = orientation, "A camera"
    records.get_ifd(EXIF_PART).update({36867: "2026:05:14 10:11:12", 36881: "+02:00"})
    records.get_ifd(POSITION_PART).update({1: "N", 2: (46.0, 30.0, 0.0)})
    return encoded(two_halves(width, height), "JPEG", exif=records)


def near(pixel: object, colour: tuple[int, int, int]) -> bool:
    assert isinstance(pixel, tuple)
    return all(abs(one - other) < 30 for one, other in zip(pixel, colour, strict=True))


def heic(picture: Image.Image) -> bytes:
    pillow_heif.register_heif_opener()
    return encoded(picture, "HEIF")


def test_a_twelve_megapixel_photo_comes_out_upright_small_and_without_its_records() -> None:
    photo = read_photo(phone_photo())

    picture = Image.open(io.BytesIO(photo.jpeg))
    assert picture.size == (photo.width_px, photo.height_px) == (1536, 2048)
    assert near(picture.getpixel((768, 100)), LEFT)
    assert near(picture.getpixel((768, 1948)), RIGHT)
    assert dict(picture.getexif()) == {}
    assert b"A camera" not in photo.jpeg
    assert photo.made_at == datetime(2026, 5, 14, 8, 11, 12, tzinfo=UTC)


@pytest.mark.parametrize(
    ("make", "size"),
    [
        (lambda: heic(two_halves(640, 480)), (640, 480)),
        (lambda: encoded(two_halves(640, 480), "PNG"), (640, 480)),
        (lambda: encoded(two_halves(640, 480), "WEBP"), (640, 480)),
        (lambda: encoded(two_halves(640, 480).convert("CMYK"), "JPEG"), (640, 480)),
        (lambda: encoded(two_halves(640, 480).convert("L"), "JPEG"), (640, 480)),
        (lambda: encoded(Image.new("RGBA", (60, 40), (0, 0, 0, 0)), "PNG"), (60, 40)),
        (lambda: encoded(Image.new("1", (8000, 6000)), "PNG"), (2048, 1536)),
        (lambda: encoded(Image.new("P", (9, 7)), "PNG"), (9, 7)),
    ],
    ids=["heic", "png", "webp", "cmyk", "grey", "see-through", "48 megapixels", "palette"],
)
def test_every_common_kind_of_picture_is_taken(make: Callable[[], bytes], size: tuple[int, int]) -> None:
    photo = read_photo(make())

    assert (photo.width_px, photo.height_px) == size
    assert Image.open(io.BytesIO(photo.jpeg)).format == "JPEG"


def test_what_shows_through_becomes_white() -> None:
    photo = read_photo(encoded(Image.new("RGBA", (60, 40), (0, 0, 0, 0)), "PNG"))

    assert near(Image.open(io.BytesIO(photo.jpeg)).getpixel((5, 5)), (255, 255, 255))


def test_a_picture_that_is_also_a_page_keeps_only_the_picture() -> None:
    photo = read_photo(
        encoded(two_halves(200, 100), "JPEG", comment=b"<script>1</script>") + b"<script>alert(1)</script>"
    )

    assert b"script" not in photo.jpeg


def test_only_the_first_picture_of_an_animation_is_taken() -> None:
    frames = [Image.new("RGB", (20, 20), colour) for colour in (LEFT, RIGHT)]

    photo = read_photo(encoded(frames[0], "WEBP", save_all=True, append_images=frames[1:], lossless=True))

    assert near(Image.open(io.BytesIO(photo.jpeg)).getpixel((5, 5)), LEFT)


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "This file is not a photo"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'><script>1</script></svg>", "This file is not a photo"),
        (b"<!doctype html><script>1</script>", "This file is not a photo"),
        (b"GIF89a", "This file is not a photo"),
        (b"%PDF-1.7", "This file is not a photo"),
        (b"\xff\xd8\xff" + b"x" * 200, "damaged, cut short or not a picture"),
        (b"\x00\x00\x00\x18ftypheic" + b"\x00" * 200, "damaged, cut short or not a picture"),
        (phone_photo(800, 600)[:4000], "damaged, cut short or not a picture"),
        (encoded(Image.new("1", (12000, 12000)), "PNG"), "12000 by 12000 pixels, more than 50 million"),
        (encoded(Image.new("1", (30000, 30000)), "PNG"), "30000 by 30000 pixels, more than 50 million"),
        (b"\xff\xd8\xff" + b"\0" * MOST_BYTES, "This photo is 31 MB; the most is 31 MB"),
    ],
    ids=["empty", "svg", "html", "gif", "pdf", "only a jpeg's first bytes", "only a heic's first bytes", "cut short",
         "144 megapixels", "900 megapixels", "too many bytes"],
)  # fmt: skip
def test_anything_else_is_refused_with_one_sentence_and_nothing_is_stored(
    at: datetime, tmp_path: Path, data: bytes, sentence: str
) -> None:
    with pytest.raises(BadInput, match=sentence) as refusal:
        store_photo(data=data, at=at)

    assert str(refusal.value).endswith("Nothing was stored; what you wrote is kept.")
    assert not Attachment.objects.exists()
    assert not (tmp_path / "attachments").exists()


def test_the_limit_is_that_many_pixels_and_one_more_is_refused() -> None:
    width = 10_000

    taken = read_photo(encoded(Image.new("1", (width, MOST_PIXELS // width)), "PNG"))

    assert taken.width_px == 2048
    with pytest.raises(BadInput, match="more than 50 million"):
        read_photo(encoded(Image.new("1", (width, MOST_PIXELS // width + 1)), "PNG"))


def test_a_camera_without_a_zone_gives_no_time() -> None:
    records = Image.Exif()
    records.get_ifd(EXIF_PART)[36867] = "2026:05:14 10:11:12"

    assert read_photo(encoded(two_halves(40, 30), "JPEG", exif=records)).made_at is None


def test_the_same_photo_is_stored_once_under_its_hash(at: datetime, tmp_path: Path) -> None:
    first, second = store_photo(data=phone_photo(400, 300), at=at), store_photo(data=phone_photo(400, 300), at=at)

    stored = file_of(first).read_bytes()
    assert first == second
    assert hashlib.sha256(stored).hexdigest() == first.sha256
    assert first.size_bytes == len(stored)
    assert [path.name for path in (tmp_path / "attachments").rglob("*") if path.is_file()] == [first.sha256]


def test_a_damaged_stored_file_is_mended_when_the_photo_comes_again(at: datetime) -> None:
    attachment = store_photo(data=phone_photo(400, 300), at=at)
    file_of(attachment).write_bytes(b"half")

    store_photo(data=phone_photo(400, 300), at=at)

    assert store_problems() == []


def test_missing_changed_and_orphan_files_are_listed(at: datetime) -> None:
    sizes = itertools.count(40)
    missing, changed, sound = (store_photo(data=phone_photo(next(sizes), 30), at=at) for _ in range(3))
    file_of(missing).unlink()
    file_of(changed).write_bytes(b"x")
    file_of(sound).with_name("b" * 64).write_bytes(b"y")

    assert {(problem.sha256, problem.kind) for problem in store_problems()} == {
        (missing.sha256, "missing"), (changed.sha256, "changed"), ("b" * 64, "orphan")}  # fmt: skip
