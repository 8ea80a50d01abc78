"""What stands around every page: theme, main places, the boat's name and what must be known first."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils import timezone

from vessel.calc.wording import with_utc
from vessel.models import Vessel
from vessel.queries.permission import may, membership_of
from vessel.queries.service_state import service_state
from vessel.views.theme import THEMES, Theme, theme_of

# name, address, and whether it stands in the bar at the foot of a phone
PLACES = (
    ("Today", "readiness:home", True),
    ("Legs", "readiness:legs", True),
    ("Work", "maintenance:defects", True),
    ("Boat", "vessel:boat", True),
    ("Crew", "vessel:crew", False),
    ("Harbours", "readiness:harbours", False),
    ("Forecasts", "readiness:forecasts", False),
    ("Speed", "readiness:speed", False),
    ("Log", "vessel:history", True),
)
REPORT = "maintenance:report"


@dataclass(frozen=True, slots=True)
class Place:
    """A main place; only what exists is named."""

    name: str
    address: str
    is_current: bool
    on_phone: bool


class Frame:
    """Read lazily: a part of a page costs nothing of this."""

    def __init__(self, request: HttpRequest) -> None:
        self._request = request

    @property
    def theme(self) -> str:
        return theme_of(self._request).key

    @property
    def color_scheme(self) -> str:
        return theme_of(self._request).color_scheme

    @property
    def theme_color(self) -> str:
        return theme_of(self._request).paper

    @property
    def themes(self) -> tuple[Theme, ...]:
        return THEMES

    @property
    def here(self) -> str:
        return self._request.get_full_path() if self._request.method == "GET" else self._request.path

    @cached_property
    def vessel(self) -> Vessel | None:
        return self._membership.vessel if self._membership else None

    @cached_property
    def _membership(self) -> Any:
        user = getattr(self._request, "user", None)
        return membership_of(user) if user is not None else None

    @cached_property
    def places(self) -> list[Place]:
        if not self._membership:
            return []
        found = ((name, address_of(target), on_phone) for name, target, on_phone in PLACES)
        return [Place(name, to, self._is_current(to), on_phone) for name, to, on_phone in found if to]

    @cached_property
    def report(self) -> str:
        allowed = self._membership and may(self._membership.role, "report")
        return address_of(REPORT) if allowed else ""

    @cached_property
    def banners(self) -> list[str]:
        return service_state(at=timezone.now()).warnings if self._membership else []

    @property
    def printed(self) -> str:
        zone = self.vessel.home_zone if self.vessel else "UTC"
        return with_utc(timezone.now().timestamp(), zone)

    def _is_current(self, address: str) -> bool:
        path = self._request.path
        return path == address or (address != "/" and path.startswith(address))


def address_of(target: str) -> str:
    """The address of a named page, empty while there is no such page."""
    try:
        return reverse(target)
    except NoReverseMatch:
        return ""


def frame(request: HttpRequest) -> dict[str, Frame]:
    """Context processor."""
    return {"frame": Frame(request)}
