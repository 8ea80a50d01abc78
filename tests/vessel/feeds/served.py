"""A real HTTPS server on this computer, with a certificate of its own making, that behaves as it is told."""

import gzip
import socket
import ssl
import threading
import time
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import format_datetime
from ipaddress import IPv4Address, ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from vessel.feeds.address import Ip
from vessel.feeds.fetch import Door

HOST = "feed.example"
HERE = IPv4Address("127.0.0.1")
AT = datetime(2027, 5, 15, 6, 30, tzinfo=UTC)
DATA = b"time_utc,latitude,longitude,gust_kn\n2027-05-14T18:00Z,50.1,-4.2,20\n"
Play = Callable[[ssl.SSLSocket, str], None]


@dataclass
class Served:
    """Where the server listens, what it was asked, and the door by which tests reach it."""

    port: int
    context: ssl.SSLContext
    asked: list[str] = field(default_factory=list)
    resolved: list[str] = field(default_factory=list)

    def address(self, path: str = "/") -> str:
        return f"https://{HOST}:{self.port}{path}"

    def door(self, **limits: float) -> Door:
        own = frozenset({(ip_address("127.0.0.1"), self.port)})
        return Door(own=own, context=self.context, resolve=self.resolve, **limits)  # type: ignore[arg-type]

    def resolve(self, host: str, _port: int) -> list[Ip]:
        self.resolved.append(host)
        return [ip_address("169.254.169.254")] if host == "inside.example" else [HERE]


@contextmanager
def serving(folder: Path, name: str = HOST) -> Iterator[Served]:
    """The server, answering each path by the play of that name, until the block ends."""
    certificate, key = _certificate(folder, name)
    inside = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    inside.load_cert_chain(certificate, key)
    listener = socket.create_server(("127.0.0.1", 0))
    served = Served(listener.getsockname()[1], ssl.create_default_context(cafile=str(certificate)))
    threading.Thread(target=_accept, args=(listener, inside, served), daemon=True).start()
    try:
        yield served
    finally:
        listener.close()


def _accept(listener: socket.socket, inside: ssl.SSLContext, served: Served) -> None:
    with suppress(OSError):
        while True:
            line, _ = listener.accept()
            threading.Thread(target=_answer, args=(line, inside, served), daemon=True).start()


def _answer(line: socket.socket, inside: ssl.SSLContext, served: Served) -> None:
    with suppress(OSError), inside.wrap_socket(line, server_side=True) as safe:
        request = safe.recv(65_536).decode()
        served.asked.append(request)
        path = request.split(" ")[1]
        PLAYS[path.strip("/").split("?")[0].replace("-", "_")](safe, request)


def _certificate(folder: Path, name: str) -> tuple[Path, Path]:
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    now = datetime.now(UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    places = folder / "certificate.pem", folder / "key.pem"
    places[0].write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    places[1].write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    return places


def say(line: ssl.SSLSocket, body: bytes = DATA, status: str = "200 OK", **headers: str) -> None:
    """One answer, with a length unless it is told another."""
    told = {"Content-Type": "text/csv", "Content-Length": str(len(body)), "Date": format_datetime(AT)}
    told |= {name.replace("_", "-"): value for name, value in headers.items()}
    lines = [f"HTTP/1.1 {status}", *(f"{name}: {value}" for name, value in told.items() if value), "", ""]
    line.sendall("\r\n".join(lines).encode() + body)


def _drip(line: ssl.SSLSocket, _request: str, head: bytes = b"") -> None:
    line.sendall(head)
    while True:
        line.sendall(b"x")
        time.sleep(0.05)


def _endless(line: ssl.SSLSocket, _request: str) -> None:
    line.sendall(b"HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\n\r\n")
    while True:
        line.sendall(bytes(1 << 16))


def _endless_chunks(line: ssl.SSLSocket, _request: str) -> None:
    line.sendall(b"HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\nTransfer-Encoding: chunked\r\n\r\n")
    while True:
        line.sendall(b"10000\r\n" + bytes(1 << 16) + b"\r\n")


def _continues(line: ssl.SSLSocket, _request: str) -> None:
    while True:
        line.sendall(b"HTTP/1.1 100 Continue\r\n\r\n")


def _many_headers(line: ssl.SSLSocket, _request: str) -> None:
    line.sendall(b"HTTP/1.1 200 OK\r\n" + b"".join(b"X-%d: y\r\n" % number for number in range(200)) + b"\r\n")


def _unchanged(line: ssl.SSLSocket, request: str) -> None:
    if 'If-None-Match: "7"' in request:
        say(line, b"", "304 Not Modified")
    else:
        say(line, ETag='"7"', Last_Modified="Fri, 14 May 2027 16:00:00 GMT")


def _packed(encoding: str, packed: bytes) -> Play:
    return lambda line, _: say(line, packed, Content_Encoding=encoding)


def _moved(location: str) -> Play:
    return lambda line, _: say(line, b"", "302 Found", Location=location)


def _raw() -> bytes:
    packer = zlib.compressobj(wbits=-15)
    return packer.compress(DATA) + packer.flush()


BOMB = gzip.compress(bytes(40_000_000))
PLAYS: dict[str, Play] = {
    "data": lambda line, _: say(line),
    "no_forecast": lambda line, _: say(line, b"colour,mood\nblue,fair\n"),
    "no_date": lambda line, _: say(line, Date=""),
    "unchanged": _unchanged,
    "always_unchanged": lambda line, _: say(line, b"", "304 Not Modified"),
    "same_tag": lambda line, _: say(line, ETag='"7"'),
    "bad_tag": lambda line, _: say(line, ETag='"' + "x" * 300 + '"'),
    "hangs": lambda *_: time.sleep(30),
    "drips_headers": lambda line, request: _drip(line, request, b"HTTP/1.1 200 OK\r\nX-Y: "),
    "drips_body": lambda line, request: _drip(line, request, b"HTTP/1.1 200 OK\r\nContent-Type: text/csv\r\n\r\n"),
    "continues": _continues,
    "endless": _endless,
    "endless_chunks": _endless_chunks,
    "ten_gigabytes": lambda line, _: say(line, Content_Length="10000000000"),
    "bomb": _packed("gzip", BOMB),
    "gzip": _packed("gzip", gzip.compress(DATA)),
    "zlib": _packed("deflate", zlib.compress(DATA)),
    "in_two_parts": _packed("gzip", gzip.compress(DATA[:9]) + gzip.compress(DATA[9:]) + bytes(4)),
    "packed_and_more": _packed("gzip", gzip.compress(DATA) + b"more"),
    "raw": _packed("deflate", _raw()),
    "half_packed": _packed("gzip", gzip.compress(DATA)[:-12]),
    "badly_packed": _packed("gzip", gzip.compress(DATA)[:-8] + b"?" * 8),
    "brotli": _packed("br", b"??"),
    "loop": lambda line, _: say(line, b"", "301 Moved", Location="/loop"),
    "moved_once": _moved("/data"),
    "moved_inside": _moved("https://inside.example/latest"),
    "moved_to_plain": _moved("http://feed.example/data"),
    "moved_nowhere": _moved(""),
    "moved_to_no_address": _moved("https://[bad"),
    "painted": lambda line, _: say(line, b"", "500 \x1b[31mred\x07"),
    "painted_picture": lambda line, _: say(line, Content_Type="image/\x1b[31m"),
    "portal": lambda line, _: say(line, b"<html>Sign in</html>", Content_Type="text/html; charset=utf-8"),
    "hidden_portal": lambda line, _: say(line, b"\n<!DOCTYPE HTML><p>Sign in", Content_Type="application/octet-stream"),
    "picture": lambda line, _: say(line, b"\x89PNG", Content_Type="image/png"),
    "stale": lambda line, _: say(line, Date=format_datetime(AT - timedelta(days=3))),
    "ahead": lambda line, _: say(line, Date=format_datetime(AT + timedelta(hours=2))),
    "nonsense_date": lambda line, _: say(line, Date="yesterday"),
    "missing": lambda line, _: say(line, b"gone", "404 Not Found"),
    "empty": lambda line, _: say(line, b""),
    "cut_short": lambda line, _: say(line, Content_Length="900"),
    "no_http": lambda line, _: line.sendall(b"SSH-2.0-server\r\n"),
    "many_headers": _many_headers,
}
