"""Reading a zip file from outside without trusting anything it says about itself."""

import zipfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from vessel.errors import BadInput

MOST_MEMBERS = 20_000  # [own]
MOST_BYTES = 2 << 30  # unpacked, counted while unpacking [own]
LONGEST_NAME = 250
PIECE = 1 << 20
LINK, FILE_KIND = 0o120000, 0o170000
ENCRYPTED = 0x1
NOTHING = "Nothing was taken from it."


class DamagedMember(BadInput):
    """One file inside cannot be unpacked; `name` says which."""

    def __init__(self, name: str) -> None:
        super().__init__(f"{name} inside the zip file is damaged. {NOTHING}")
        self.name = name


class SafeZip:
    """A zip file whose names were checked; its files are given in pieces, and the bytes are counted."""

    def __init__(self, file: BinaryIO | Path) -> None:
        try:
            self._zip = zipfile.ZipFile(file)
        except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError) as error:
            raise BadInput(f"This is not a zip file, or it is cut short. {NOTHING}") from error
        # a file without a name is asked for the last letter of it
        members = [member for member in self._zip.infolist() if not (member.filename and member.is_dir())]
        if len(members) > MOST_MEMBERS:
            raise BadInput(f"The zip file holds {len(members)} files; the most is {MOST_MEMBERS}. {NOTHING}")
        for member in members:
            _check(member)
        self._members = {member.filename: member for member in members}
        if len({name.casefold() for name in self._members}) < len(members):
            raise BadInput(f"The zip file holds two files of one name. {NOTHING}")
        self._left = MOST_BYTES

    def names(self) -> list[str]:
        """Names of the files inside, in their order."""
        return list(self._members)

    def pieces(self, name: str) -> Iterator[bytes]:
        """One file in pieces. Raises DamagedMember, or BadInput when more comes out than may."""
        try:
            with self._zip.open(self._members[name]) as file:
                while piece := file.read(PIECE):
                    self._left -= len(piece)
                    if self._left < 0:
                        raise BadInput(f"The zip file unpacks to more than {MOST_BYTES >> 30} GiB. {NOTHING}")
                    yield piece
        # a place before the beginning of the file is a ValueError of the file's own
        except (zipfile.BadZipFile, zlib.error, EOFError, OSError, ValueError, RuntimeError) as error:
            raise DamagedMember(name) from error


def _check(member: zipfile.ZipInfo) -> None:
    name = member.orig_filename  # as written: zipfile cuts `filename` at a NUL
    parts = name.split("/")
    bad = (
        len(name) > LONGEST_NAME
        or not name.isprintable()
        or "\\" in name
        or ":" in name
        or name.startswith("/")
        or ".." in parts
        or "." in parts
        or "" in parts
    )
    if bad or (member.external_attr >> 16) & FILE_KIND == LINK:
        raise BadInput(f"The zip file holds a file with a name that is not safe: {name[:80]!r}. {NOTHING}")
    if member.flag_bits & ENCRYPTED:
        raise BadInput(f"The zip file is locked with a password. {NOTHING}")
