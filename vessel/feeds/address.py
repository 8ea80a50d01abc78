"""Which addresses may be asked for data: https on the open internet, and what the owner listed of the boat's own network.

A name says nothing: what it resolves to is looked at, an IPv4 address inside an IPv6 one too.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from urllib.parse import urlsplit

from vessel.errors import BadInput

Ip = IPv4Address | IPv6Address
PORT = 443
LONGEST = 2000
NOTHING = "Nothing was fetched."
# Beside what Python calls not global; by memory of the registries of special-purpose addresses.
DENIED = tuple(
    ip_network(network)
    for network in (
        *("0.0.0.0/8", "10.0.0.0/8", "100.64.0.0/10", "127.0.0.0/8", "169.254.0.0/16", "172.16.0.0/12", "192.0.0.0/24"),
        *("192.0.2.0/24", "192.88.99.0/24", "192.168.0.0/16", "198.18.0.0/15", "198.51.100.0/24", "203.0.113.0/24"),
        *("224.0.0.0/3", "::/96", "64:ff9b:1::/48", "100::/64", "2001::/32", "2001:db8::/32", "3fff::/20", "5f00::/16"),
        *("fc00::/7", "fe80::/10", "fec0::/10", "ff00::/8"),
    )
)
TRANSLATED = ip_network("64:ff9b::/96")
GIVEN_OUT = ip_network("2000::/3")  # no other IPv6 address is that of one computer out there
TUNNELLED = (0x00005EFE, 0x02005EFE)  # the third quarter of an address that carries an IPv4 one through a site


@dataclass(frozen=True, slots=True)
class Place:
    """Where to ask: host as the certificate must name it, port, and the path with its query."""

    host: str
    port: int
    path: str


def place_of(address: str) -> Place:
    """An https address taken apart. Raises BadInput with one sentence."""
    if len(address) > LONGEST or not re.fullmatch(r"[!-~]+", address) or "\\" in address:
        raise BadInput(f"This address is too long or holds characters that no address has. {NOTHING}")
    try:
        parts = urlsplit(address)
        port = PORT if parts.port is None else parts.port
        host = (parts.hostname or "").rstrip(".")
    except ValueError as error:
        raise BadInput(f"{address[:80]} is not an address that can be read. {NOTHING}") from error
    if parts.scheme != "https":
        raise BadInput(f"Only an address that begins with https:// is asked, not {address[:80]}. {NOTHING}")
    if "@" in parts.netloc:
        raise BadInput(f"An address with a name and password in it (@) is not asked. {NOTHING}")
    if not re.fullmatch(r"[a-z0-9_.:-]{1,253}", host):
        raise BadInput(f"{address[:80]} names no computer. {NOTHING}")
    path = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
    return Place(host, port, path)


def open_place(address: str, own: frozenset[tuple[Ip, int]] = frozenset()) -> Place:
    """An address taken apart, refused where it is plain without resolving its name that it is never asked.

    Raises BadInput with the sentence that asking it would give.
    """
    place = place_of(address)
    ip = _written_out(place.host)
    if ip is not None:
        check_open(place, ip, own)
    elif place.port != PORT and place.port not in {port for _, port in own}:
        raise BadInput(_not_asked(place, _other_port(place.port)))
    return place


def check_open(place: Place, ip: Ip, own: frozenset[tuple[Ip, int]]) -> None:
    """Raises BadInput where the address that a place turned out to have is not asked."""
    if reason := denial(ip, place.port, own):
        raise BadInput(_not_asked(place, reason))


def _not_asked(place: Place, reason: str) -> str:
    return f"{place.host} is not asked: {reason}. {NOTHING}"


def _other_port(port: int) -> str:
    return f"port {port} is not asked, only {PORT}"


def _written_out(host: str) -> Ip | None:
    """The address that a host of figures is, in any of the ways a computer takes them; None for a name."""
    if host == "localhost" or host.endswith(".localhost"):  # no resolver may say otherwise: RFC 6761
        return IPv4Address("127.0.0.1")
    try:
        return ip_address(host)
    except ValueError:
        pass
    try:
        return _short_form(host)
    except ValueError:
        return None


def _short_form(host: str) -> Ip:
    """An IPv4 address in one to four numbers, hexadecimal or octal too; the last one fills what is left. ValueError."""
    *first, last = [int(part, 16 if part[:2] == "0x" else 8 if part[:1] == "0" else 10) for part in host.split(".")]
    if len(first) > 3 or any(number > 255 for number in first) or last >= 256 ** (4 - len(first)):
        raise ValueError(host)
    return IPv4Address(sum(number << 8 * (3 - place) for place, number in enumerate(first)) + last)


def listed(entries: Iterable[str]) -> frozenset[tuple[Ip, int]]:
    """The owner's list of exact addresses in the boat's own network: "192.168.1.20" or with a port, "192.168.1.20:8443",
    "[fd00::20]:8443". ValueError for anything else: a name may come to mean another computer."""
    return frozenset(_entry(entry.strip()) for entry in entries)


def _entry(entry: str) -> tuple[Ip, int]:
    match = re.fullmatch(r"\[(.+)\]:(\d{1,5})|([\d.]+):(\d{1,5})|(.+)", entry)
    if match is None:
        raise ValueError(f"{entry!r} is no address")
    address, port = match[1] or match[3] or match[5], match[2] or match[4]
    return ip_address(address), int(port) if port else PORT


def denial(ip: Ip, port: int, own: frozenset[tuple[Ip, int]]) -> str | None:
    """Why an address is not asked; None where it may be."""
    if (ip, port) in own:
        return None
    if port != PORT:
        return _other_port(port)
    if any(not _open(each) for each in (ip, *_inside(ip))):
        return f"{ip} lies in a network that is not open to all"
    return None


def _open(ip: Ip) -> bool:
    denied = any(ip.version == network.version and ip in network for network in DENIED)
    given_out = ip.version == 4 or ip in GIVEN_OUT or ip in TRANSLATED
    return given_out and ip.is_global and not ip.is_multicast and not denied


def _inside(ip: Ip) -> list[IPv4Address]:
    """IPv4 addresses an IPv6 address leads to."""
    if isinstance(ip, IPv4Address):
        return []
    carried = ip in TRANSLATED or int(ip) >> 32 & 0xFFFFFFFF in TUNNELLED
    last = IPv4Address(int(ip) & 0xFFFFFFFF) if carried else None
    return [each for each in (ip.ipv4_mapped, ip.sixtofour, last) if each is not None]
