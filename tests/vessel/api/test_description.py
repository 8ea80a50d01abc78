"""The description says what there is and nothing else; and every refusal has one shape."""

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.core.management import call_command
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from readiness.api import leg
from tests.factories.api import a_program, aboard, problem_of, signed_in
from tests.factories.vessel import a_vessel
from vessel.api.door import BoatView

pytestmark = pytest.mark.django_db
SCHEMA = "/api/v1/schema/"


def views(patterns: Any = None, before: str = "") -> Iterator[tuple[str, type[BoatView]]]:
    """Every address of the API with its view."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        route = f"{before}{pattern.pattern}"
        if isinstance(pattern, URLResolver):
            yield from views(pattern.url_patterns, route)
        elif isinstance(pattern, URLPattern) and issubclass(getattr(pattern.callback, "view_class", object), BoatView):
            yield "/" + re.sub(r"<int:pk>", "{id}", route), pattern.callback.view_class  # type: ignore[attr-defined]


VIEWS = dict(views())


@pytest.fixture
def program() -> Client:
    return a_program(a_vessel(), "write")


def test_the_description_is_sound(tmp_path: Any) -> None:
    file = tmp_path / "schema.yml"

    call_command("spectacular", "--validate", "--fail-on-warn", "--file", str(file))

    assert file.read_text(encoding="utf-8").startswith("openapi: 3.1.0")


def test_the_description_lists_what_there_is_and_nothing_else(program: Client) -> None:
    paths = program.get(SCHEMA, headers={"Accept": "application/json"}).json()["paths"]

    listed = {path: {method.upper() for method in methods} for path, methods in paths.items()}
    assert len(VIEWS) >= 5
    assert listed == {path: set(view.deeds) for path, view in VIEWS.items()}


@pytest.mark.parametrize(("path", "view"), VIEWS.items())
def test_each_method_of_an_address_names_the_deed_it_takes(path: str, view: type[BoatView]) -> None:
    answered = {name.upper() for name in view.http_method_names if name != "head" and hasattr(view, name)}

    assert answered == set(view.deeds)


@pytest.mark.parametrize(("path", "view"), VIEWS.items())
def test_each_operation_says_how_it_refuses(program: Client, path: str, view: type[BoatView]) -> None:
    paths = program.get(SCHEMA, headers={"Accept": "application/json"}).json()["paths"]

    for operation in paths[path].values():
        refusals = {status for status in operation["responses"] if status >= "400"}
        assert {"400", "401", "403", "404", "405", "406", "429", "500", "503"} <= refusals
        for status in refusals:
            kept = operation["responses"][status]["content"]["application/problem+json"]["schema"]
            assert kept == {"$ref": "#/components/schemas/Problem"}


def test_a_stranger_does_not_read_the_description(client: Client) -> None:
    assert client.get(SCHEMA).status_code == 401
    assert client.get("/api/v1/docs/").status_code == 302  # to the sign-in page


def test_the_page_needs_nothing_the_content_policy_forbids() -> None:
    page = signed_in(aboard(a_vessel())).get("/api/v1/docs/")

    text = page.content.decode()
    assert page.status_code == 200
    assert "unsafe" not in page["Content-Security-Policy"]
    assert not re.search(r"<style|\sstyle=|\son\w+=|<script(?![^>]*\ssrc=)", text)
    assert not re.search(r"""(?:src|href)=["'](?:https?:)?//""", text)


@pytest.mark.parametrize("path", ["/api/v1/boats/", "/api/v1/legs", "/api/v1/legs/x/", "/api/v1/legs/1/map/"])
@pytest.mark.parametrize("method", ["get", "post", "put", "patch", "delete"])
def test_an_address_that_is_none_is_404_as_the_api_says_it(client: Client, path: str, method: str) -> None:
    answer = getattr(client, method)(path)

    assert answer.status_code == 404
    assert problem_of(answer)["instance"] == path


def test_the_front_page_says_where_everything_is(client: Client) -> None:
    answer = client.get("/api/v1/")

    links = answer.json()
    assert answer.status_code == 200
    assert links["legs"] == "http://testserver/api/v1/legs/"
    assert {get_resolver().resolve(link.removeprefix("http://testserver")).url_name for link in links.values()} == {
        "api_legs", "api_defects", "api_schema", "api_docs",
    }  # fmt: skip
    assert client.post("/api/v1/").status_code == 405


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete", "options"])
def test_a_method_the_address_does_not_know_is_405(program: Client, method: str) -> None:
    answer = getattr(program, method)("/api/v1/legs/")

    assert answer.status_code == 405
    assert "GET" in answer["Allow"]
    problem_of(answer)


def test_another_form_than_json_is_406(program: Client) -> None:
    answer = program.get("/api/v1/legs/", headers={"Accept": "text/html"})

    assert answer.status_code == 406
    problem_of(answer)


@pytest.mark.parametrize(
    ("query", "named"),
    [
        ("?colour=red", "colour"),
        ("?status=sunk", "sunk"),
        ("?status=planned&status=arrived", "status"),
        ("?page_size=0", "page_size"),
        ("?page_size=201", "page_size"),
        ("?page_size=٣", "page_size"),
        ("?page_size=-1", "page_size"),
        ("?cursor=zzz", "cursor"),
        ("?cursor=cD1ub3doZXJl", "cursor"),  # p=nowhere
        ("?cursor=bz0tMQ==", "cursor"),  # o=-1
    ],
)
def test_a_question_that_cannot_be_read_is_400_and_named(program: Client, query: str, named: str) -> None:
    answer = program.get(f"/api/v1/legs/{query}")

    assert answer.status_code == 400
    assert named in problem_of(answer)["detail"]


def test_what_nobody_foresaw_is_500_without_its_inside(
    program: Client, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fail(*_: object) -> None:
        raise ZeroDivisionError("the bilge is /var/lib/secret")

    monkeypatch.setattr(leg, "legs", fail)

    answer = program.get("/api/v1/legs/")

    assert answer.status_code == 500
    assert "bilge" not in str(problem_of(answer))
    assert "bilge" in caplog.text


def test_a_number_too_large_for_the_database_is_404(program: Client) -> None:
    assert program.get(f"/api/v1/legs/{10**30}/").status_code == 404
