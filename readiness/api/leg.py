"""/legs/: where she is to go, when, and what was last said of it."""

from typing import Any

from django.db.models import Prefetch, QuerySet
from drf_spectacular.utils import extend_schema, extend_schema_field
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from readiness.models import Harbour, Leg, LegCrew, LegPoint, LegSegment, LegStatus, OutlookWord, Verdict, VerdictWord
from readiness.rules.words_of_trade import TrackKind
from vessel.api.door import BoatView, asked, one_of, with_etag
from vessel.api.fields import Number, Strict
from vessel.api.page import Pages, paged

# How a verdict is kept against how it is said, everywhere the same as on the page and the command line.
SAID = {word.value: word.label for word in VerdictWord}


class PlaceNamed(serializers.Serializer[Harbour]):
    key = serializers.CharField()
    name = serializers.CharField()
    zone = serializers.CharField(help_text="name of the time zone database")
    lat_deg = Number()
    lon_deg = Number()


class VerdictKept(serializers.Serializer[Verdict]):
    """What was last kept, for the departure it speaks of; /verdict/ judges afresh."""

    id = serializers.IntegerField()
    verdict = serializers.SerializerMethodField()
    outlook = serializers.ChoiceField(OutlookWord.choices)
    departure_at = serializers.DateTimeField()
    judged_at = serializers.DateTimeField()
    sentence = serializers.CharField(help_text="what decides, in words")

    @extend_schema_field(serializers.ChoiceField(VerdictWord.labels))
    def get_verdict(self, row: Verdict) -> str:
        return SAID[row.word]


class LegOutput(serializers.Serializer[Leg]):
    id = serializers.IntegerField()
    key = serializers.CharField()
    name = serializers.CharField()
    status = serializers.ChoiceField(LegStatus.choices)
    planned_at = serializers.DateTimeField()
    departure = PlaceNamed()
    arrival = PlaceNamed()
    harbour_move = serializers.BooleanField(help_text="no part outside harbour limits")
    speed_mps = Number(allow_null=True, help_text="through the water")
    running_on_s = Number(allow_null=True, help_text="further running before fuel can be bought")
    overdue_at = serializers.DateTimeField(allow_null=True)
    departed_at = serializers.DateTimeField(allow_null=True)
    ended_at = serializers.DateTimeField(allow_null=True)
    outcome = serializers.CharField(help_text="how it went")
    last_verdict = serializers.SerializerMethodField()
    version = serializers.IntegerField()

    @extend_schema_field(VerdictKept(allow_null=True))
    def get_last_verdict(self, row: Leg) -> dict[str, Any] | None:
        return next((dict(VerdictKept(kept).data) for kept in row.verdicts.all()), None)


class PointOutput(serializers.Serializer[LegPoint]):
    number = serializers.IntegerField()
    name = serializers.CharField()
    lat_deg = Number()
    lon_deg = Number()
    charted_m = Number(allow_null=True, help_text="depth below chart datum, drying negative")
    depth_matters = serializers.BooleanField(allow_null=True)


class SegmentOutput(serializers.Serializer[LegSegment]):
    number = serializers.IntegerField(help_text="from the point of this number to the next")
    name = serializers.CharField()
    kind = serializers.ChoiceField([kind.value for kind in TrackKind])
    exposed = serializers.BooleanField(allow_null=True)
    crosses_bar = serializers.BooleanField(allow_null=True)


class CrewOutput(serializers.Serializer[LegCrew]):
    token = serializers.CharField(source="person.token", help_text="stands for a person, never their name")
    skipper = serializers.BooleanField()


class LegWholeOutput(LegOutput):
    points = PointOutput(many=True)
    segments = SegmentOutput(many=True)
    refuges = PlaceNamed(many=True)
    crew = CrewOutput(many=True, source="crew_rows")


class LegQuery(Strict):
    status = serializers.ChoiceField(LegStatus.choices, required=False)


class Legs(BoatView):
    pagination_class = Pages  # for the description

    @extend_schema(operation_id="legs_list", parameters=[LegQuery], responses=LegOutput(many=True))
    def get(self, request: Request) -> Response:
        """The vessel's legs, the latest planned first."""
        rows = legs(self.aboard.vessel_id).filter(**asked(request, LegQuery))
        return paged(rows, request, ("-planned_at", "-pk"), LegOutput)


class LegDetail(BoatView):
    @extend_schema(operation_id="legs_read", responses=LegWholeOutput)
    def get(self, request: Request, pk: int) -> Response:
        """One leg with its points, segments, refuges and crew."""
        rows = legs(self.aboard.vessel_id).prefetch_related("points", "segments", "refuges", "crew_rows__person")
        return with_etag(request, LegWholeOutput(one_of(rows, pk)).data)


def legs(vessel_id: int) -> QuerySet[Leg]:
    """The legs of a vessel with both harbours and the newest verdict, its facts left where they are. Two queries."""
    kept = Verdict.objects.filter(is_newest=True).only(
        "leg_id", "word", "outlook", "departure_at", "judged_at", "sentence"
    )
    rows = Leg.objects.filter(vessel_id=vessel_id).select_related("departure", "arrival")
    return rows.prefetch_related(Prefetch("verdicts", kept))
