"""A packed answer unpacked piece by piece, counted while it grows."""

import zlib
from collections.abc import Iterable, Iterator

from vessel.errors import BadInput
from vessel.feeds.address import NOTHING

STEP = 1 << 20
GZIP_OR_ZLIB, GZIP, RAW = 47, 31, -15


def inflated(pieces: Iterable[bytes], encoding: str, most_bytes: int) -> bytes:
    """The whole content of an answer. Raises BadInput where it grows too large, is damaged or packed in another way."""
    unpack = _unpackers(encoding.strip().lower())
    whole = bytearray()
    for piece in pieces:
        for part in unpack.parts(piece):
            whole += part
            if len(whole) > most_bytes:
                raise BadInput(f"The answer is larger than {most_bytes:,} bytes once unpacked. {NOTHING}")
    if not unpack.ended():
        raise BadInput(f"The packed answer breaks off in the middle. {NOTHING}")
    return bytes(whole)


class _Plain:
    def parts(self, piece: bytes) -> Iterator[bytes]:
        yield piece

    def ended(self) -> bool:
        return True


class _Packed:
    """gzip, in one part or several, and deflate; the latter also without its frame, as some servers send it."""

    def __init__(self) -> None:
        self.unpacker = zlib.decompressobj(GZIP_OR_ZLIB)
        self.fresh = True

    def parts(self, piece: bytes) -> Iterator[bytes]:
        while piece:
            if self.unpacker.eof:
                piece = piece.lstrip(b"\0")  # padding
                if not piece:
                    return
                self.unpacker = zlib.decompressobj(GZIP)
            try:
                part = self.unpacker.decompress(piece, STEP)
            except zlib.error as error:
                if not self.fresh:
                    raise BadInput(f"The packed answer is damaged. {NOTHING}") from error
                self.unpacker, self.fresh = zlib.decompressobj(RAW), False
                continue
            self.fresh = False
            piece = self.unpacker.unused_data if self.unpacker.eof else self.unpacker.unconsumed_tail
            yield part

    def ended(self) -> bool:
        return self.unpacker.eof


def _unpackers(encoding: str) -> _Plain | _Packed:
    if encoding in {"", "identity"}:
        return _Plain()
    if encoding in {"gzip", "x-gzip", "deflate"}:
        return _Packed()
    raise BadInput(f"The answer is packed as {encoding[:20]!r}, which is not taken. {NOTHING}")
