"""Planning a leg, changing it, and following it under way. Each is one deed with its line in history."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db import transaction
from django.utils.text import slugify

from readiness.actions.coast import same_vessel
from readiness.models import Gate, Harbour, KeeperPromise, Leg, LegCrew, LegPoint, LegSegment, LegStatus, PositionReport
from readiness.queries.coastline import land_on
from vessel.actions.author import By, token_of
from vessel.actions.history import record
from vessel.actions.particulars import change, write_down
from vessel.actions.series import CLOCK_SLACK
from vessel.actions.version import check, save_changed
from vessel.errors import BadInput, Refused
from vessel.models import Person, Vessel

# What a leg was before it was what it is now.
STOOD_BEFORE = {
    LegStatus.UNDER_WAY: LegStatus.PLANNED,
    LegStatus.CALLED_OFF: LegStatus.PLANNED,
    LegStatus.ARRIVED: LegStatus.UNDER_WAY,
    LegStatus.TURNED_BACK: LegStatus.UNDER_WAY,
}
OWN_DEEDS = frozenset({"status", "departed_at", "ended_at", "outcome", "vessel", "key"})


@transaction.atomic
def plan_leg(
    *,
    vessel: Vessel,
    name: str,
    by: By,
    at: datetime,
    points: Sequence[Mapping[str, Any]],
    segments: Sequence[Mapping[str, Any]] = (),
    refuges: Iterable[Harbour] = (),
    crew: Sequence[Person] = (),
    **fields: Any,
) -> Leg:
    """A new leg with its way, refuges and crew, the first of the crew her skipper. Raises BadInput.

    Each point has the columns of LegPoint without its number, each segment those of LegSegment.
    """
    same_vessel(vessel, fields.get("departure"), fields.get("arrival"))
    leg = write_down(Leg, vessel=vessel, by=by, at=at, name=name, key=_free_key(vessel, name), **fields)
    _write_way(leg, points, segments)
    _write_refuges(leg, refuges)
    _write_crew(leg, crew)
    return leg


def change_leg(*, leg_id: int, seen_version: int, by: By, at: datetime, **changes: Any) -> Leg:
    """Change plain columns of a leg. Raises ChangedMeanwhile, BadInput, or Refused where it is over."""
    leg = _coming(leg_id)
    if own := OWN_DEEDS & set(changes):
        raise BadInput(f"{', '.join(sorted(own))} of a leg is changed by its own deed. Nothing was changed.")
    same_vessel(leg.vessel, changes.get("departure"), changes.get("arrival"))
    return change(leg, vessel=leg.vessel, seen_version=seen_version, by=by, at=at, **changes)


@transaction.atomic
def change_way(
    *,
    leg_id: int,
    seen_version: int,
    by: By,
    at: datetime,
    points: Sequence[Mapping[str, Any]],
    segments: Sequence[Mapping[str, Any]] = (),
) -> Leg:
    """Another way: the points and segments given stand in place of the old ones. Raises as change_leg."""
    leg = _touched(leg_id, seen_version)
    leg.points.all().delete()
    leg.segments.all().delete()
    _write_way(leg, points, segments)
    _tell(leg, f"The way of {leg.name} was changed: {len(points)} points.", by, at)
    return leg


@transaction.atomic
def change_refuges(*, leg_id: int, seen_version: int, by: By, at: datetime, refuges: Iterable[Harbour]) -> Leg:
    """Other refuges. Raises as change_leg."""
    leg = _touched(leg_id, seen_version)
    _write_refuges(leg, refuges)
    _tell(leg, f"The refuges of {leg.name} were changed: {leg.refuges.count()}.", by, at)
    return leg


@transaction.atomic
def change_crew(*, leg_id: int, seen_version: int, by: By, at: datetime, crew: Sequence[Person]) -> Leg:
    """Another crew, the first of them her skipper. History says how many, never who. Raises as change_leg."""
    leg = _touched(leg_id, seen_version)
    _write_crew(leg, crew)
    _tell(leg, f"The crew of {leg.name} was changed: {len(crew)} to sail.", by, at)
    return leg


@transaction.atomic
def note_keeper(*, leg_id: int, gate: Gate, confirmed: bool | None, keeper: str, by: By, at: datetime) -> KeeperPromise:
    """What the keeper of a gate said for this leg: help with lines promised, refused, or asked and not answered."""
    leg = _coming(leg_id)
    same_vessel(leg.vessel, gate)
    promise, _ = KeeperPromise.objects.update_or_create(
        leg=leg, gate=gate, defaults={"confirmed": confirmed, "keeper": keeper, "at": at}
    )
    said = {True: "promised", False: "refused", None: "asked for, not answered"}[confirmed]
    _tell(leg, f"{leg.name}: help with lines at {gate.name} {said}.", by, at)
    return promise


@transaction.atomic
def depart(*, leg_id: int, by: By, at: datetime, departed_at: datetime | None = None) -> Leg:
    """She has let go. Raises BadInput for a time that is still to come."""
    leg = _locked(leg_id)
    if leg.status != LegStatus.PLANNED:
        raise Refused(f"{leg.name} is {leg.get_status_display()}, so she cannot leave on it. Nothing was changed.")
    _refuse_to_come(departed_at, at, "departed")
    save_changed(leg, leg.version, status=LegStatus.UNDER_WAY, departed_at=departed_at or at)
    _tell(leg, f"{leg.name}: departed.", by, at)
    return leg


@transaction.atomic
def report_position(
    *, leg_id: int, lat_deg: float, lon_deg: float, by: By, at: datetime, text: str = ""
) -> PositionReport:
    """Where she is, while under way. Raises BadInput for a place that is none."""
    leg = _locked(leg_id)
    if leg.status != LegStatus.UNDER_WAY:
        raise Refused(f"{leg.name} is {leg.get_status_display()}, not under way. Nothing was written.")
    token = token_of(by=by, vessel_id=leg.vessel_id)
    report = PositionReport(leg=leg, at=at, lat_deg=lat_deg, lon_deg=lon_deg, text=text, by=token)
    check(report)
    report.save(force_insert=True)
    return report


@transaction.atomic
def end_leg(
    *, leg_id: int, status: LegStatus, by: By, at: datetime, ended_at: datetime | None = None, outcome: str = ""
) -> Leg:
    """She arrived or turned back, or the leg was called off before she left; `outcome` says how it went."""
    leg = _locked(leg_id)
    fitting = {
        LegStatus.PLANNED: (LegStatus.CALLED_OFF,),
        LegStatus.UNDER_WAY: (LegStatus.ARRIVED, LegStatus.TURNED_BACK),
    }
    if status not in fitting.get(LegStatus(leg.status), ()):
        raise Refused(f"{leg.name} is {leg.get_status_display()}, so it cannot be {status.label}. Nothing was changed.")
    _refuse_to_come(ended_at, at, status.label)
    save_changed(leg, leg.version, status=status, ended_at=ended_at or at, outcome=outcome)
    _tell(leg, f"{leg.name}: {status.label}.", by, at)
    return leg


@transaction.atomic
def take_back(*, leg_id: int, seen_version: int, by: By, at: datetime) -> Leg:
    """What was written down of her last is taken back: departed, called off, arrived or turned back.

    She is then planned again, or under way; positions told and how it went stay. Raises ChangedMeanwhile, Refused.
    """
    leg = _locked(leg_id)
    was, stands = LegStatus(leg.status), STOOD_BEFORE.get(LegStatus(leg.status))
    if stands is None:
        raise Refused(f"{leg.name} is {was.label}: there is nothing to take back. Nothing was changed.")
    times = {"departed_at": None} if was == LegStatus.UNDER_WAY else {"ended_at": None}
    changed = save_changed(leg, seen_version, status=stands, **times)
    said = "departed" if was == LegStatus.UNDER_WAY else was.label
    _tell(leg, f"{leg.name}: “{said}” was taken back; she is {stands.label} again.", by, at, changed)
    return leg


def _refuse_to_come(moment: datetime | None, at: datetime, said: str) -> None:
    if moment is not None and moment > at + CLOCK_SLACK:
        raise BadInput(
            f"This time is still to come, so “{said}” was not written down. Mend the time, or leave it empty."
        )


def _free_key(vessel: Vessel, name: str) -> str:
    stem = slugify(name)[:70] or "leg"
    taken = set(Leg.objects.filter(vessel=vessel, key__startswith=stem).values_list("key", flat=True))
    numbered = (f"{stem}-{number}" for number in range(2, len(taken) + 3))
    return next(key for key in (stem, *numbered) if key not in taken)


def _locked(leg_id: int) -> Leg:
    return Leg.objects.select_for_update().select_related("vessel").get(pk=leg_id)


def _coming(leg_id: int) -> Leg:
    leg = Leg.objects.select_related("vessel").get(pk=leg_id)
    if leg.status != LegStatus.PLANNED:
        raise Refused(f"{leg.name} is {leg.get_status_display()}, so its plan is not changed any more.")
    return leg


def _touched(leg_id: int, seen_version: int) -> Leg:
    """The coming leg, its version one higher. Raises ChangedMeanwhile where it is not the version seen."""
    leg = _coming(leg_id)
    save_changed(leg, seen_version)
    Leg.objects.filter(pk=leg.pk, version=seen_version).update(version=seen_version + 1)
    leg.version = seen_version + 1
    return leg


def _write_way(leg: Leg, points: Sequence[Mapping[str, Any]], segments: Sequence[Mapping[str, Any]]) -> None:
    if len(points) < 2 or len(segments) > len(points) - 1:
        raise BadInput("A way has at least two points, and at most one segment between each two. Nothing was written.")
    if len({(columns["lat_deg"], columns["lon_deg"]) for columns in points}) == 1:
        raise BadInput("All points of the way lie in one place, so it leads nowhere. Nothing was written.")
    for number, columns in enumerate(points, start=1):
        same_vessel(leg.vessel, columns.get("tide_station"), columns.get("gate"))
        point = LegPoint(leg=leg, number=number, **columns)
        check(point)
        point.save(force_insert=True)
    lands = land_on(leg.vessel_id, points, segments)
    for number, (columns, land) in enumerate(zip(segments, lands, strict=True), start=1):
        same_vessel(leg.vessel, columns.get("stream_table"))
        name = f"{points[number - 1]['name']} to {points[number]['name']}"
        segment = LegSegment(leg=leg, number=number, **{"name": name, **columns, "land": land})
        check(segment)
        segment.save(force_insert=True)


def _write_refuges(leg: Leg, refuges: Iterable[Harbour]) -> None:
    chosen = list(refuges)
    same_vessel(leg.vessel, *chosen)
    leg.refuges.set(chosen)


def _write_crew(leg: Leg, crew: Sequence[Person]) -> None:
    same_vessel(leg.vessel, *crew)
    leg.crew_rows.all().delete()
    LegCrew.objects.bulk_create(
        LegCrew(leg=leg, person=person, skipper=place == 0) for place, person in enumerate(crew)
    )


def _tell(leg: Leg, what: str, by: By, at: datetime, changes: dict[str, list[object]] | None = None) -> None:
    record(vessel=leg.vessel, what=what, by=by, at=at, noun="leg", noun_key=leg.key[:40], changes=changes or {})
