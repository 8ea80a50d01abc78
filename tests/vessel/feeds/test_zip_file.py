"""Zip files from strangers: bombs, lies, evil names; nothing is believed and nothing gets out of hand."""

import io
import struct
import zipfile

import pytest

from vessel.errors import BadInput
from vessel.feeds import zip_file
from vessel.feeds.zip_file import DamagedMember, SafeZip


def zipped(**files: bytes) -> bytes:
    return zipped_names(list(files.items()))


def zipped_names(files: list[tuple[str, bytes]], **fields: int) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as bag:
        for name, data in files:
            member = zipfile.ZipInfo(name)
            member.compress_type = zipfile.ZIP_DEFLATED
            for field, value in fields.items():
                setattr(member, field, value)
            bag.writestr(member, data)
    return out.getvalue()


def read(data: bytes) -> dict[str, bytes]:
    bag = SafeZip(io.BytesIO(data))
    return {name: b"".join(bag.pieces(name)) for name in bag.names()}


@pytest.fixture
def small_limit(monkeypatch: pytest.MonkeyPatch) -> int:
    monkeypatch.setattr(zip_file, "MOST_BYTES", 1 << 21)
    return 1 << 21


def test_files_come_out_as_they_went_in() -> None:
    assert read(zipped(one=b"1" * 3_000_000, two=b"")) == {"one": b"1" * 3_000_000, "two": b""}


def test_a_file_without_a_name_is_refused() -> None:
    written = bytearray(zipped(a=b"x"))
    lengths = written.index(b"PK\x01\x02") + 28
    written[lengths : lengths + 4] = struct.pack("<HH", 0, 1)  # the name is now of no length, and its letter an extra

    with pytest.raises(BadInput, match="a name that is not safe: ''"):
        SafeZip(io.BytesIO(written))


def test_a_file_that_lies_before_the_beginning_is_damaged() -> None:
    written = zipped(a=b"x" * 100)
    with pytest.raises(DamagedMember, match="a inside the zip file is damaged"):
        read(written[10:])  # the directory's places are now ten too large


@pytest.mark.parametrize(
    "name",
    ["../x", "a/../../x", "/etc/x", "C:/x", "a\\..\\x", "a\x00b", "a\nb", "a\u202etxt.exe", "./x", "a//b", "x" * 251],
)
def test_a_name_that_is_not_safe_is_refused(name: str) -> None:
    written = zipped_names([(name.replace("\x00", "?"), b"x")]).replace(b"a?b", b"a\x00b")

    with pytest.raises(BadInput, match="a name that is not safe"):
        read(written)


def test_a_link_is_refused() -> None:
    with pytest.raises(BadInput, match="a name that is not safe"):
        read(zipped_names([("link", b"/etc/passwd")], external_attr=0o120777 << 16))


@pytest.mark.parametrize("names", [("a", "a"), ("a", "A"), ("Straße", "STRASSE")])
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_two_files_of_one_name_are_refused(names: tuple[str, str]) -> None:
    with pytest.raises(BadInput, match="two files of one name"):
        read(zipped_names([(name, b"x") for name in names]))


def test_a_bomb_is_stopped_while_it_unpacks(small_limit: int) -> None:
    with pytest.raises(BadInput, match="unpacks to more than"):
        read(zipped(bomb=b"\0" * (small_limit + 1)))

    assert len(read(zipped(sound=b"\0" * small_limit))["sound"]) == small_limit


def test_many_files_share_one_limit(small_limit: int) -> None:
    with pytest.raises(BadInput, match="unpacks to more than"):
        read(zipped_names([(str(number), b"\0" * (small_limit // 4)) for number in range(5)]))


def test_a_file_that_lies_about_its_size_is_damaged_not_believed() -> None:
    data = bytearray(zipped(liar=b"\0" * 5_000_000))
    central = data.rindex(b"PK\x01\x02")
    struct.pack_into("<I", data, central + 24, 10)

    with pytest.raises(DamagedMember, match="liar inside the zip file is damaged"):
        read(bytes(data))


def test_too_many_files_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(zip_file, "MOST_MEMBERS", 3)

    assert len(read(zipped_names([(str(number), b"") for number in range(3)]))) == 3
    with pytest.raises(BadInput, match="holds 4 files; the most is 3"):
        read(zipped_names([(str(number), b"") for number in range(4)]))


def test_a_locked_file_is_refused() -> None:
    data = bytearray(zipped(secret=b"x"))
    for mark, offset in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        data[data.index(mark) + offset] |= 1

    with pytest.raises(BadInput, match="locked with a password"):
        read(bytes(data))


@pytest.mark.parametrize("data", [b"", b"PK", b"x" * 100, zipped(a=b"1" * 1000)[:-30], zipped(a=b"1" * 1000)[:40]])
def test_what_is_no_zip_file_is_refused(data: bytes) -> None:
    with pytest.raises(BadInput, match="not a zip file, or it is cut short"):
        read(data)


def test_a_damaged_file_is_named() -> None:
    data = bytearray(zipped(sound=b"a" * 1000, broken=bytes(range(256)) * 4))
    place = data.index(b"broken") + 20
    data[place] ^= 0xFF

    bag = SafeZip(io.BytesIO(bytes(data)))

    assert b"".join(bag.pieces("sound")) == b"a" * 1000
    with pytest.raises(DamagedMember) as found:
        list(bag.pieces("broken"))
    assert found.value.name == "broken"
