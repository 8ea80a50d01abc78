from collections.abc import Callable

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory

from vessel.models import Membership, Role, Vessel
from vessel.views.frame import Frame, address_of
from vessel.views.permission import needs

pytestmark = pytest.mark.django_db


@pytest.fixture
def request_by(rf: RequestFactory) -> Callable[..., HttpRequest]:
    def make(role: str | None = None, address: str = "/") -> HttpRequest:
        request = rf.get(address)
        request.user = User.objects.create(username=str(role))
        if role:
            vessel, _ = Vessel.objects.get_or_create(name="Tallow Wren")
            Membership.objects.create(user=request.user, vessel=vessel, role=role)
        return request

    return make


@needs("plan")
def page(request: HttpRequest, aboard: Membership, pk: int) -> HttpResponse:
    return HttpResponse(f"{aboard.vessel.name} {pk}")


def test_a_page_opens_to_the_roles_its_deed_names(request_by: Callable[..., HttpRequest]) -> None:
    assert b"".join(page(request_by(Role.SKIPPER), pk=7)) == b"Tallow Wren 7"


def test_another_role_is_refused_in_words(request_by: Callable[..., HttpRequest]) -> None:
    with pytest.raises(PermissionDenied, match="As crew you may look at this, but not change it"):
        page(request_by(Role.CREW), pk=7)


def test_a_stranger_is_refused(request_by: Callable[..., HttpRequest]) -> None:
    with pytest.raises(PermissionDenied, match="No vessel is shared with you"):
        page(request_by(), pk=7)


def test_a_deed_that_is_not_in_the_table_cannot_guard_a_page() -> None:
    with pytest.raises(KeyError):
        needs("scuttle")


def test_the_frame_names_only_places_that_exist(request_by: Callable[..., HttpRequest]) -> None:
    frame = Frame(request_by(Role.OWNER))

    assert frame.vessel is not None
    assert frame.vessel.name == "Tallow Wren"
    assert all(place.address.startswith("/") for place in frame.places)
    assert address_of("vessel:no-such-page") == ""


def test_the_frame_shows_a_stranger_no_places(request_by: Callable[..., HttpRequest]) -> None:
    frame = Frame(request_by())

    assert (frame.vessel, frame.places, frame.banners, frame.report) == (None, [], [], "")


def test_a_viewer_is_offered_no_report(request_by: Callable[..., HttpRequest]) -> None:
    assert Frame(request_by(Role.VIEWER)).report == ""


def test_a_silent_worker_is_told_on_every_page(request_by: Callable[..., HttpRequest]) -> None:
    assert any("worker is silent" in banner for banner in Frame(request_by(Role.OWNER)).banners)
