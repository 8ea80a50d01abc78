"""Asking a server for data: a real one on this computer, that lies, hangs, drips, swells and sends on."""

import ssl
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from ipaddress import ip_address

import pytest

from tests.vessel.feeds.served import AT, DATA, HERE, HOST, Served, serving
from vessel.errors import BadInput, Refused
from vessel.feeds.address import Ip
from vessel.feeds.fetch import Door, FetchFailed, fetch


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The server."""
    with serving(tmp_path_factory.mktemp("served")) as server:
        yield server


@pytest.mark.parametrize(
    "play", ["data", "gzip", "in-two-parts", "zlib", "raw", "moved-once", "same-tag", "no-date", "nonsense-date"]
)
def test_data_comes_as_it_was_sent_however_it_was_packed(served: Served, play: str) -> None:
    fetched = fetch(served.address(f"/{play}"), at=AT, door=served.door())

    assert fetched.data == DATA
    assert fetched.doubts == ()


def test_it_asks_with_the_name_of_the_server_and_for_nothing_it_cannot_unpack(served: Served) -> None:
    fetch(served.address("/data?area=5"), at=AT, door=served.door())

    request = served.asked[-1]
    assert request.startswith("GET /data?area=5 HTTP/1.1\r\n")
    assert f"\r\nHost: {HOST}:{served.port}\r\n" in request
    assert "\r\nAccept-Encoding: gzip, deflate\r\n" in request
    assert "If-None-Match" not in request


def test_what_did_not_change_is_not_sent_again(served: Served) -> None:
    first = fetch(served.address("/unchanged"), at=AT, door=served.door())

    again = fetch(served.address("/unchanged"), at=AT, etag=first.etag, modified=first.modified, door=served.door())

    assert (first.data, first.etag, first.modified) == (DATA, '"7"', "Fri, 14 May 2027 16:00:00 GMT")
    assert (again.data, again.etag) == (None, '"7"')


def test_a_tag_that_lies_loses_no_data(served: Served) -> None:
    assert fetch(served.address("/same-tag"), at=AT, etag='"7"', door=served.door()).data == DATA
    assert fetch(served.address("/bad-tag"), at=AT, door=served.door()).etag == ""


FAILS = {
    "always-unchanged": "The server answers 304 Not Modified.",
    "ten-gigabytes": "The answer is 10,000,000,000 bytes, more than 25,000,000.",
    "endless": "The answer is larger than 25,000,000 bytes once unpacked.",
    "endless-chunks": "The answer is larger than 25,000,000 bytes once unpacked.",
    "bomb": "The answer is larger than 25,000,000 bytes once unpacked.",
    "half-packed": "The packed answer breaks off in the middle.",
    "badly-packed": "The packed answer is damaged.",
    "packed-and-more": "The packed answer is damaged.",
    "moved-to-no-address": "/moved-to-no-address sends on to what is no address.",
    "painted": "The server answers 500 ?[31mred?.",
    "painted-picture": "The server sends image/?[31m, which is no data.",
    "brotli": "The answer is packed as 'br', which is not taken.",
    "loop": "/loop sends on from one address to the next more than 3 times.",
    "moved-nowhere": "sends on from one address to the next more than 3 times.",
    "portal": "perhaps you are behind a Wi-Fi sign-in page. Sign in, then try again.",
    "hidden-portal": "perhaps you are behind a Wi-Fi sign-in page. Sign in, then try again.",
    "picture": "The server sends image/png, which is no data.",
    "missing": "The server answers 404 Not Found.",
    "empty": "The server sends an empty answer.",
    "cut-short": "broke off in the middle.",
    "no-http": "cannot be reached or answers nonsense: BadStatusLine.",
    "many-headers": "cannot be reached or answers nonsense: HTTPException.",
}


@pytest.mark.parametrize("play", FAILS)
def test_what_is_not_data_is_refused_in_one_sentence(served: Served, play: str) -> None:
    with pytest.raises(FetchFailed) as refusal:
        fetch(served.address(f"/{play}"), at=AT, door=served.door())

    assert FAILS[play] in str(refusal.value)
    assert str(refusal.value).endswith(" Nothing was fetched.")


@pytest.mark.parametrize("play", ["hangs", "drips-headers", "drips-body", "continues"])
def test_a_server_that_takes_its_time_is_left(served: Served, play: str) -> None:
    with pytest.raises(FetchFailed, match=r"took longer than 0\.6 s"):
        fetch(served.address(f"/{play}"), at=AT, door=served.door(longest_s=0.6))


def test_a_resolver_that_hangs_is_left_too(served: Served) -> None:
    def hang(_host: str, _port: int) -> list[Ip]:
        time.sleep(3)
        return [HERE]

    with pytest.raises(FetchFailed, match=r"took longer than 0\.3 s"):
        fetch(served.address("/data"), at=AT, door=replace(served.door(longest_s=0.3), resolve=hang))


@pytest.mark.parametrize(("play", "doubt"), [("stale", "3 d behind this clock"), ("ahead", "2 h ahead of this clock")])
def test_an_answer_of_another_day_is_taken_and_doubted(served: Served, play: str, doubt: str) -> None:
    fetched = fetch(served.address(f"/{play}"), at=AT, door=served.door())

    assert fetched.data == DATA
    assert doubt in fetched.doubts[0]


def test_exactly_an_hour_apart_the_clocks_agree(served: Served) -> None:
    assert fetch(served.address("/data"), at=AT + timedelta(hours=1), door=served.door()).doubts == ()
    assert fetch(served.address("/data"), at=AT + timedelta(hours=1, seconds=1), door=served.door()).doubts


@pytest.mark.parametrize(
    ("play", "sentence"),
    [
        ("moved-inside", "inside.example is not asked: 169.254.169.254 lies in a network that is not open to all."),
        ("moved-to-plain", "Only an address that begins with https:// is asked, not http://feed.example/data."),
    ],
)
def test_where_one_is_sent_on_to_is_looked_at_again(served: Served, play: str, sentence: str) -> None:
    with pytest.raises(BadInput) as refusal:
        fetch(served.address(f"/{play}"), at=AT, door=served.door())

    assert str(refusal.value).startswith(sentence)


def test_a_name_that_turns_inward_after_it_was_looked_at_changes_nothing(served: Served) -> None:
    answers: Iterator[list[Ip]] = iter([[HERE], [ip_address("10.0.0.1")]])

    fetched = fetch(served.address("/data"), at=AT, door=replace(served.door(), resolve=lambda *_: next(answers)))

    assert fetched.data == DATA


def test_one_inner_address_among_outer_ones_is_one_too_many() -> None:
    both: list[Ip] = [ip_address("8.8.8.8"), ip_address("192.168.1.1")]

    with pytest.raises(BadInput, match=r"is not asked: 192\.168\.1\.1 lies in a network that is not open to all"):
        fetch(f"https://{HOST}/data", at=AT, door=Door(resolve=lambda *_: both))


def test_this_computer_is_not_asked_unless_it_is_listed_with_its_port(served: Served) -> None:
    door = Door(context=served.context, resolve=served.resolve)

    with pytest.raises(BadInput, match=f"port {served.port} is not asked, only 443"):
        fetch(served.address("/data"), at=AT, door=door)
    with pytest.raises(BadInput, match=r"127\.0\.0\.1 lies in a network that is not open to all"):
        fetch(f"https://{HOST}/data", at=AT, door=door)


def test_a_certificate_of_another_name_is_not_believed(served: Served) -> None:
    with pytest.raises(
        FetchFailed, match=r"does not prove that it is other\.example .*Wi-Fi sign-in page is in between"
    ):
        fetch(f"https://other.example:{served.port}/data", at=AT, door=served.door())


def test_a_certificate_nobody_vouches_for_is_not_believed(served: Served) -> None:
    door = replace(served.door(), context=ssl.create_default_context())

    with pytest.raises(FetchFailed, match=f"does not prove that it is {HOST}"):
        fetch(served.address("/data"), at=AT, door=door)


def test_no_computer_of_that_name_and_none_listening_are_told(served: Served) -> None:
    nobody = replace(served.door(), resolve=lambda *_: [])
    closed = replace(served.door(), own=frozenset({(HERE, 9)}))

    with pytest.raises(FetchFailed, match=r"There is no computer called feed\.example, or no connection"):
        fetch(served.address("/data"), at=AT, door=nobody)
    with pytest.raises(FetchFailed, match="cannot be reached or answers nonsense: Connection refused"):
        fetch(f"https://{HOST}:9/data", at=AT, door=closed)


LOOPBACK = [
    "2130706433",
    "0x7f.1",
    "127.1",
    "0177.0.0.1",
    "127.0.0.1",
    "[::1]",
    "[::]",
    "[::ffff:127.0.0.1]",
    "localhost",
]


@pytest.mark.parametrize("host", LOOPBACK)
def test_this_computer_by_any_other_name_is_not_asked(host: str) -> None:
    with pytest.raises(Refused) as refusal:
        fetch(f"https://{host}/data", at=AT)

    assert "lies in a network that is not open to all" in str(refusal.value)
