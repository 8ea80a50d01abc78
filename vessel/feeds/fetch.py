"""The only place that opens a connection to the outside: https, to an address that was looked at first, within limits.

The name is resolved once, every address it has is looked at, and the connection goes to one of these and to no other;
the certificate must still be that of the name. Each redirect goes through the same door.
"""

import socket
import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from http.client import HTTPException, HTTPResponse, HTTPSConnection, IncompleteRead
from ipaddress import ip_address
from urllib.parse import urljoin

from vessel.calc.wording import age
from vessel.errors import BadInput, Refused
from vessel.feeds.address import NOTHING, Ip, Place, check_open, place_of
from vessel.feeds.inflate import inflated

MOST_REDIRECTS = 3
LONGEST_S = 20.0
CONNECT_S = 10.0
MOST_BYTES = 25_000_000
PIECE = 65_536
MOVED = frozenset({301, 302, 303, 307, 308})
OFF_CLOCK = timedelta(hours=1)
PAGES = (b"<!doctype html", b"<html")
PORTAL = "A web page came back instead of data: perhaps you are behind a Wi-Fi sign-in page. Sign in, then try again."
NO_DATA = ("image/", "audio/", "video/", "font/", "application/pdf", "text/css", "text/javascript")
Resolver = Callable[[str, int], list[Ip]]


class FetchFailed(Refused):
    """Nothing came, or not what may come; the text says why and what to do."""


@dataclass(frozen=True, slots=True)
class Fetched:
    """What came. `data` is None where the server says that nothing changed since the tag or date it was asked with."""

    data: bytes | None
    etag: str = ""
    modified: str = ""
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Door:
    """What is asked of whom: the owner's own addresses, whose certificates are trusted, how names are resolved."""

    own: frozenset[tuple[Ip, int]] = frozenset()
    context: ssl.SSLContext | None = None
    resolve: Resolver | None = None
    longest_s: float = LONGEST_S
    most_bytes: int = MOST_BYTES


USUAL = Door()


@dataclass(slots=True)
class _Watch:
    """Ends the connection when the time is up, whatever the other side does meanwhile."""

    ends: float
    over: bool = False
    line: socket.socket | None = field(default=None)

    def left(self) -> float:
        left = self.ends - time.monotonic()
        if left <= 0 or self.over:
            raise TimeoutError
        return left

    def cut(self) -> None:
        self.over = True
        if self.line is not None:
            with suppress(OSError):
                self.line.shutdown(socket.SHUT_RDWR)


class _Pinned(HTTPSConnection):
    """A connection to one address, whatever the name may resolve to by now."""

    def __init__(self, place: Place, ip: Ip, context: ssl.SSLContext, watch: _Watch) -> None:
        super().__init__(place.host, place.port, context=context)
        self._ip, self._watch, self._trust = ip, watch, context

    def connect(self) -> None:
        line = socket.create_connection((str(self._ip), self.port), timeout=min(CONNECT_S, self._watch.left()))
        line.settimeout(self._watch.left())
        self._watch.line = line
        self.sock = self._trust.wrap_socket(line, server_hostname=self.host)
        self._watch.line = self.sock


def fetch(address: str, *, at: datetime, etag: str = "", modified: str = "", door: Door = USUAL) -> Fetched:
    """Ask an https address for data. Raises BadInput for an address that is not asked, FetchFailed for what came of it.

    Never call it within a transaction: it may take as long as the limits allow.
    """
    watch = _Watch(time.monotonic() + door.longest_s)
    timer = threading.Timer(door.longest_s, watch.cut)
    timer.daemon = True
    timer.start()
    try:
        return _asked(address, at, {"If-None-Match": etag, "If-Modified-Since": modified}, door, watch)
    except ssl.SSLCertVerificationError as error:
        raise FetchFailed(
            f"The other side does not prove that it is {place_of(address).host} ({error.verify_message}): perhaps a Wi-Fi"
            f" sign-in page is in between. {NOTHING}"
        ) from error
    except (OSError, HTTPException) as error:
        if watch.over or isinstance(error, TimeoutError):
            raise FetchFailed(f"{address[:80]} took longer than {door.longest_s:g} s. {NOTHING}") from error
        if isinstance(error, IncompleteRead):
            raise FetchFailed(f"{address[:80]} broke off in the middle. {NOTHING}") from error
        raise FetchFailed(f"{address[:80]} cannot be reached or answers nonsense: {_why(error)}. {NOTHING}") from error
    finally:
        timer.cancel()


def _why(error: Exception) -> str:
    return getattr(error, "strerror", None) or type(error).__name__


def _asked(address: str, at: datetime, conditions: dict[str, str], door: Door, watch: _Watch) -> Fetched:
    for _ in range(MOST_REDIRECTS + 1):
        place = place_of(address)
        with _answer(place, conditions, door, watch) as answer:
            if answer.status not in MOVED:
                return _taken(answer, at, conditions, door, watch)
            address = _sent_on(address, answer.headers.get("Location") or "")
    raise FetchFailed(
        f"{address[:80]} sends on from one address to the next more than {MOST_REDIRECTS} times. {NOTHING}"
    )


def _sent_on(address: str, location: str) -> str:
    try:
        return urljoin(address, location)
    except ValueError as error:
        raise FetchFailed(f"{address[:80]} sends on to what is no address. {NOTHING}") from error


@contextmanager
def _answer(place: Place, conditions: dict[str, str], door: Door, watch: _Watch) -> Iterator[HTTPResponse]:
    """The answer of one address; the connection is closed after it was read."""
    connection = _connected(place, door, watch)
    headers = {"Accept-Encoding": "gzip, deflate", "User-Agent": "Legworthy", "Connection": "close"}
    try:
        sent = {name: value for name, value in conditions.items() if value}
        connection.request("GET", place.path, headers=headers | sent)
        yield connection.getresponse()
    finally:
        connection.close()


def _connected(place: Place, door: Door, watch: _Watch) -> HTTPSConnection:
    """A connection to the first of the vetted addresses that takes one."""
    failed: OSError = OSError("no address")
    for ip in _vetted(place, door, watch):
        connection = _Pinned(place, ip, door.context or ssl.create_default_context(), watch)
        try:
            connection.connect()
        except ssl.SSLError:
            raise
        except OSError as error:
            failed = error
        else:
            return connection
    raise failed


def _vetted(place: Place, door: Door, watch: _Watch) -> list[Ip]:
    """Every address of the name, all of them such as may be asked. Raises BadInput."""
    ips = _resolved(place, door.resolve or _system, watch)
    if not ips:
        raise FetchFailed(f"There is no computer called {place.host}, or no connection to ask for it. {NOTHING}")
    for ip in ips:
        check_open(place, ip, door.own)
    return ips


def _resolved(place: Place, resolve: Resolver, watch: _Watch) -> list[Ip]:
    """In a thread, for a resolver that hangs cannot be stopped."""
    found: list[list[Ip]] = []
    thread = threading.Thread(target=lambda: found.append(resolve(place.host, place.port)), daemon=True)
    thread.start()
    thread.join(watch.left())
    if thread.is_alive():
        raise TimeoutError
    return found[0] if found else []


def _system(host: str, port: int) -> list[Ip]:
    try:
        told = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    except (OSError, UnicodeError):
        return []
    return list(dict.fromkeys(ip_address(str(each[4][0]).partition("%")[0]) for each in told))


def _taken(answer: HTTPResponse, at: datetime, conditions: dict[str, str], door: Door, watch: _Watch) -> Fetched:
    doubts = tuple(_doubts(answer, at))
    if answer.status == 304 and any(conditions.values()):
        return Fetched(None, conditions["If-None-Match"], conditions["If-Modified-Since"], doubts)
    media_type = answer.headers.get_content_type()
    if answer.status != 200:
        raise FetchFailed(f"The server answers {answer.status} {_plain(answer.reason)}. {NOTHING}")
    if media_type in {"text/html", "application/xhtml+xml"}:
        raise FetchFailed(f"{PORTAL} {NOTHING}")
    if media_type.startswith(NO_DATA):
        raise FetchFailed(f"The server sends {_plain(media_type)}, which is no data. {NOTHING}")
    data = _body(answer, door, watch)
    if data[:400].lstrip(b"\xef\xbb\xbf \t\r\n").lower().startswith(PAGES):
        raise FetchFailed(f"{PORTAL} {NOTHING}")
    if not data:
        raise FetchFailed(f"The server sends an empty answer. {NOTHING}")
    return Fetched(data, _tag(answer, "ETag"), _tag(answer, "Last-Modified"), doubts)


def _plain(words: str) -> str:
    """The other side's own words, such as may be shown."""
    return "".join(letter if letter.isprintable() else "?" for letter in words[:60])


def _body(answer: HTTPResponse, door: Door, watch: _Watch) -> bytes:
    if (answer.length or 0) > door.most_bytes:
        raise FetchFailed(f"The answer is {answer.length or 0:,} bytes, more than {door.most_bytes:,}. {NOTHING}")
    try:
        return inflated(_pieces(answer, watch), answer.headers.get("Content-Encoding") or "", door.most_bytes)
    except BadInput as refusal:
        raise FetchFailed(str(refusal)) from refusal


def _pieces(answer: HTTPResponse, watch: _Watch) -> Iterator[bytes]:
    expected, seen = answer.length, 0
    while watch.left() and (piece := answer.read1(PIECE)):
        seen += len(piece)
        yield piece
    watch.left()  # an end that the watch made is no end
    if expected is not None and seen < expected:
        raise IncompleteRead(b"", expected - seen)


def _doubts(answer: HTTPResponse, at: datetime) -> Iterator[str]:
    """What the server's own clock says about its answer."""
    try:
        served = parsedate_to_datetime(answer.headers.get("Date") or "")
    except (TypeError, ValueError):
        return
    late = at - (served if served.tzinfo else served.replace(tzinfo=UTC))
    if abs(late) > OFF_CLOCK:
        side = f"{age(abs(late).total_seconds())} {'behind' if late > timedelta(0) else 'ahead of'}"
        yield f"The server's answer is dated {side} this clock: it is an old copy, or one of the clocks is wrong."


def _tag(answer: HTTPResponse, name: str) -> str:
    value = answer.headers.get(name) or ""
    return value if len(value) <= 200 and value.isascii() and value.isprintable() else ""
