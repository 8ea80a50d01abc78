"""One sound row of every noun aboard, made with nothing but what the database asks for; say what differs."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from itertools import count
from typing import Any

from django.contrib.auth.models import User
from django.db.models import Model

from vessel import models

AT = datetime(2026, 7, 10, 9, 30, tzinfo=UTC)
BY = "owner-0a1b2c"
NEXT = count(1)


def an_account(**fields: Any) -> User:
    return User.objects.create_user(**{"username": f"person{next(NEXT)}", **fields})


def a_vessel(**fields: Any) -> models.Vessel:
    return models.Vessel.objects.create(**{"name": "Tallow Wren", "home_zone": "Europe/Lisbon", **fields})


def an_item(vessel: models.Vessel | None = None, **fields: Any) -> models.Equipment:
    given = {"code": f"IT-{next(NEXT):04}", "name": "Main diesel", "kind": "engine", "subject": "propulsion", **fields}
    return models.Equipment.objects.create(vessel=vessel or a_vessel(), **given)


def a_person(vessel: models.Vessel | None = None, **fields: Any) -> models.Person:
    given = {"name": "Tam Ferrow", "token": f"hand-{next(NEXT):06}", **fields}
    return models.Person.objects.create(vessel=vessel or a_vessel(), **given)


def a_series(vessel: models.Vessel | None = None, **fields: Any) -> models.Series:
    given = {"name": f"Oil added {next(NEXT)}", "kind": "consumable_added", "unit": "l", **fields}
    return models.Series.objects.create(vessel=vessel or a_vessel(), **given)


def a_source(vessel: models.Vessel | None = None, **fields: Any) -> models.ElectricalSource:
    aboard = vessel or a_vessel()
    given = {"name": f"Ship's bank {next(NEXT)}", "kind": "ship", "nominal_v": 24.0, **fields}
    return models.ElectricalSource.objects.create(vessel=aboard, equipment=an_item(aboard), **given)


def _of(kind: type[Model], /, **given: Any) -> Callable[..., Any]:
    def make(**fields: Any) -> Any:
        aboard = fields.pop("vessel", None) or a_vessel()
        return kind._default_manager.create(**{"vessel": aboard, **given, **fields})

    return make


def _of_item(kind: type[Model], /, **given: Any) -> Callable[..., Any]:
    def make(**fields: Any) -> Any:
        item = an_item()
        if any(field.name == "vessel" for field in kind._meta.fields):
            fields = {"vessel": item.vessel, **fields}
        return kind._default_manager.create(**{"equipment": item, **given, **fields})

    return make


def _converter(**fields: Any) -> models.Converter:
    source = a_source()
    given = {"name": "Converter A", "output_v": 12.0, "equipment": an_item(source.vessel), "source": source, **fields}
    return models.Converter.objects.create(vessel=source.vessel, **given)


def _load(**fields: Any) -> models.Load:
    source = a_source()
    return models.Load.objects.create(**{"vessel": source.vessel, "name": "Radar", "source": source, **fields})


def _stay(**fields: Any) -> models.Availability:
    given = {"aboard_from": AT, "aboard_until": AT + timedelta(days=2), **fields}
    return models.Availability.objects.create(**{"person": a_person(), **given})


SOUND: dict[type[Model], Callable[..., Any]] = {
    models.Attachment: lambda **fields: models.Attachment.objects.create(
        **{"sha256": "a" * 64, "media_type": "image/jpeg", "size_bytes": 10, "stored_at": AT, **fields}
    ),
    models.Vessel: a_vessel,
    models.SeaSpeed: _of(models.SeaSpeed, height_m=1.0, ahead=0.8, abeam=0.9, astern=1.0),
    models.SpeedPoint: _of(models.SpeedPoint, rpm=1800, speed_mps=3.6),
    models.FuelUse: _of(
        models.FuelUse, at=AT, from_engine_hours=4200.0, to_engine_hours=4206.0, used_l=54.0, mean_rpm=1800, by=BY
    ),
    models.Chart: _of(models.Chart, name="Ostrel coast", south_deg=46.0, north_deg=47.0, west_deg=-15.5, east_deg=-14.0),
    models.Equipment: an_item,
    models.FeedChoice: lambda **fields: models.FeedChoice.objects.create(
        **{"equipment": (item := an_item()), "feed": an_item(item.vessel), **fields}
    ),
    models.Proof: _of_item(models.Proof, at=AT, text="Started cold.", by=BY),
    models.ElectricalSource: a_source,
    models.Converter: _converter,
    models.Load: _load,
    models.Function: _of(models.Function, key="drive", name="Drive", tree="ALL(EN-01)"),
    models.HistoryEntry: lambda **fields: models.HistoryEntry.objects.create(
        **{"vessel_id": 1, "number": 1, "at": AT, "by": BY, "what": "It began.", "noun": "vessel", "noun_key": "1",
           "hash": "f" * 64, **fields}
    ),
    models.HistoryPrivate: lambda **fields: models.HistoryPrivate.objects.create(
        **{"vessel_id": 1, "number": 1, "text": "A name", "salt": "5a", "words": 2, **fields}
    ),
    models.Pseudonym: lambda **fields: models.Pseudonym.objects.create(
        **{"vessel_id": 1, "account_id": 1, "token": BY, **fields}
    ),
    models.LogEntry: _of(models.LogEntry, at=AT, kind="helm_check", by=BY, entered_at=AT),
    models.Membership: lambda **fields: models.Membership.objects.create(
        **{"user": an_account(), "vessel": a_vessel(), "role": "crew", **fields}
    ),
    models.ApiToken: lambda **fields: models.ApiToken.objects.create(
        **{"membership": SOUND[models.Membership](), "name": "Display", "scope": "read", "prefix": "legw_0a1b2c",
           "digest": "a" * 64, "made_at": AT, "expires_at": AT + timedelta(days=365), **fields}
    ),
    models.GivenAnswer: lambda **fields: models.GivenAnswer.objects.create(
        **{"membership": SOUND[models.Membership](), "key": "k1", "request_sha256": "a" * 64, "made_at": AT, **fields}
    ),
    models.Paper: _of(models.Paper, kind="policy", name="Hull policy"),
    models.SafetyEquipment: _of(models.SafetyEquipment, kind="liferaft", name="Raft for four"),
    models.Person: a_person,
    models.Availability: _stay,
    models.Rest: lambda **fields: models.Rest.objects.create(
        **{"person": a_person(), "at": AT, "rest_24_h": 10.0, "longest_unbroken_h": 6.0, "by": BY, **fields}
    ),
    models.Tank: _of(models.Tank, name="Main", kind="fuel", capacity_l=450.0, unusable_l=25.0),
    models.Sump: _of_item(models.Sump, consumable="engine_oil", above_min_l=1.5),
    models.Series: a_series,
    models.Reading: lambda **fields: models.Reading.objects.create(
        **{"series": a_series(), "at": AT, "value": 0.5, "by": BY, **fields}
    ),
}  # fmt: skip
