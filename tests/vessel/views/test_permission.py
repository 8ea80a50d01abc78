"""Every page and every role: the table alone says who comes in, and nobody finds a thing of another boat."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.db.models import Model
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.factories.aboard import aboard, signed_in
from tests.factories.maintenance import a_defect
from tests.factories.readiness import bare_leg
from tests.factories.vessel import SOUND, a_person, an_account
from vessel.models import FuelUse, Membership, Role, SeaSpeed, SpeedPoint
from vessel.queries.permission import TABLE, may

pytestmark = pytest.mark.django_db
NOT_PAGES = ("api/", "account/", "static/")  # the API has a test of its own
OPEN = {"vessel:theme", "vessel:setup", "vessel:lost_password", "live", "ready"}  # to whoever is not signed in, too
SAMPLES = {"int": 999_999, "str": "x", "slug": "x", "path": "x"}

# What the table is asked at the doors that matter most, said once more so that a door cannot change unseen.
DEEDS = {
    "readiness:home": "read", "readiness:legs": "read", "readiness:leg": "read", "readiness:under_way": "read",
    "readiness:decide": "decide", "readiness:meet": "decide", "readiness:strike": "decide",
    "readiness:waive": "decide", "readiness:withdraw": "decide", "readiness:plan": "plan",
    "readiness:contact": "plan", "readiness:refuges": "plan", "readiness:keeper": "plan", "readiness:copy": "plan",
    "readiness:leg_crew": "plan", "readiness:depart": "follow", "readiness:position": "follow",
    "readiness:end": "follow", "maintenance:defects": "read", "maintenance:defect": "read",
    "maintenance:report": "report", "maintenance:reading": "report", "maintenance:mend": "work",
    "maintenance:propose": "work", "maintenance:reopen": "work", "maintenance:photo": "read", "vessel:crew": "people",
    "vessel:person": "people", "vessel:add_person": "plan", "vessel:erase_person": "plan", "vessel:brief": "plan",
    "vessel:rest": "own stay", "vessel:add_stay": "own stay", "vessel:stay": "own stay", "vessel:history": "read",
    "readiness:gate": "read", "readiness:add_gate_on_the_way": "plan", "readiness:more_rows": "plan",
    "readiness:change_stream": "plan", "readiness:away_gate": "plan", "readiness:away_harbour": "plan",
    "readiness:away_tide": "plan", "readiness:away_stream": "plan",
    "readiness:speed": "read", "readiness:add_run": "report", "readiness:strike_run": "report",
    "readiness:add_speed_point": "change vessel", "readiness:change_speed_point": "change vessel",
    "readiness:away_speed_point": "change vessel", "readiness:add_sea_speed": "change vessel",
    "readiness:change_sea_speed": "change vessel", "readiness:away_sea_speed": "change vessel",
}  # fmt: skip


@dataclass(frozen=True)
class Door:
    """One page: its name, its address with nothing behind it, and the deed it asks for."""

    name: str
    route: str
    address: str
    deed: str | None


def doors() -> Iterator[Door]:
    return _below(get_resolver(), "", "")


def _below(resolver: URLResolver, before: str, space: str) -> Iterator[Door]:
    for each in resolver.url_patterns:
        route = before + str(each.pattern)
        if route.startswith(NOT_PAGES):
            continue
        if isinstance(each, URLResolver):
            yield from _below(each, route, f"{each.namespace}:" if each.namespace else space)
        elif isinstance(each, URLPattern):
            kinds = {name: _kind(kind) for name, kind in each.pattern.converters.items()}
            name = f"{space}{each.name}"
            address = reverse(name, kwargs={key: SAMPLES[kind] for key, kind in kinds.items()})
            yield Door(name, route, address, getattr(each.callback, "deed", None))


def _kind(converter: object) -> str:
    return type(converter).__name__.removesuffix("Converter").removeprefix("String").lower() or "str"


ALL = sorted(doors(), key=lambda door: door.name)
CLOSED = [door for door in ALL if door.name not in OPEN]


def test_there_are_doors() -> None:
    assert len(CLOSED) > 30
    assert DEEDS.keys() <= {door.name for door in ALL}


@pytest.mark.parametrize("door", CLOSED, ids=lambda door: door.name)
def test_every_page_asks_the_table_for_a_deed(door: Door) -> None:
    assert door.deed in TABLE
    assert DEEDS.get(door.name, door.deed) == door.deed


@pytest.mark.parametrize("door", CLOSED, ids=lambda door: door.name)
def test_each_role_comes_in_where_the_table_says_so_and_nowhere_else(door: Door) -> None:
    vessel = aboard().vessel

    for role in Role:
        browser = signed_in(aboard(vessel, role))
        for send in (browser.get, browser.post):
            status = send(door.address).status_code
            assert status == 405 or (status == 403) is not may(role, door.deed or ""), f"{role}: {status}"


@pytest.mark.parametrize("door", CLOSED, ids=lambda door: door.name)
def test_who_is_not_signed_in_or_not_aboard_comes_in_nowhere(door: Door) -> None:
    visitor, stranger = Client(), Client()
    stranger.force_login(an_account())

    for send in ("get", "post"):
        turned_back = getattr(visitor, send)(door.address)
        assert turned_back.status_code == 302
        assert turned_back["Location"].startswith("/account/login/")
        assert getattr(stranger, send)(door.address).status_code in {403, 405}


FOREIGN: dict[str, Callable[[], Model]] = {
    "legs/<int:pk>/": bare_leg,
    "defects/<int:pk>/": a_defect,
    "crew/<int:pk>/": a_person,
    "boat/speed/table/<int:pk>/": SOUND[SpeedPoint],
    "boat/speed/sea/<int:pk>/": SOUND[SeaSpeed],
    "boat/speed/runs/<int:pk>/": SOUND[FuelUse],
}
OF_ONE_THING = [door for door in CLOSED if door.route.startswith(tuple(FOREIGN))]


@pytest.fixture
def owner() -> Membership:
    return aboard()


@pytest.mark.parametrize("door", OF_ONE_THING, ids=lambda door: door.name)
def test_a_thing_of_another_boat_is_not_there(owner: Membership, door: Door) -> None:
    made = next(make for route, make in FOREIGN.items() if door.route.startswith(route))()
    address = door.address.replace(str(SAMPLES["int"]), str(made.pk), 1)
    browser = signed_in(owner)

    statuses = {send: _status(browser, send, address) for send in ("get", "post")}

    assert set(statuses.values()) <= {404, 405}
    assert 404 in statuses.values()


def _status(browser: Client, send: str, address: str) -> int:
    answer: Any = getattr(browser, send)(address)
    return int(answer.status_code)
