"""/legs/{id}/verdict/: the leg judged as things stand now, in the words of the page and the command line."""

from typing import Any, ClassVar

from django.utils import timezone
from drf_spectacular.utils import extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response

from readiness.models import Leg
from readiness.queries.facts import facts_for
from readiness.rules.departure import departure_index
from readiness.rules.engine import Judged, judge
from readiness.rules.report import OUTCOME_WORD, OUTLOOK_WORD, VERDICT_WORD, as_data
from vessel.api.door import BoatView, asked, one_of
from vessel.api.fields import Strict, Text
from vessel.errors import BadInput, Refused

VERDICTS, OUTLOOKS, OUTCOMES = ([*words.values()] for words in (VERDICT_WORD, OUTLOOK_WORD, OUTCOME_WORD))


class FindingOutput(serializers.Serializer[Any]):
    rule = serializers.CharField()
    outcome = serializers.ChoiceField(OUTCOMES, help_text="as the rule found it")
    standing = serializers.ChoiceField(OUTCOMES, help_text="after waivers and conditions met")
    cause = serializers.CharField()
    demand = serializers.FloatField(allow_null=True)
    limit = serializers.FloatField(allow_null=True)
    unit = serializers.CharField(help_text="of demand and limit")
    sentence = serializers.CharField()
    do = serializers.CharField(allow_blank=True)
    source = serializers.CharField()  # type: ignore[assignment]  # the base uses the name too
    ripens = serializers.BooleanField(help_text="settles itself before departure")


class MarginOutput(serializers.Serializer[Any]):
    rule = serializers.CharField()
    margin = serializers.CharField()
    demand = serializers.FloatField(allow_null=True)
    limit = serializers.FloatField(allow_null=True)
    unit = serializers.CharField()


class ChangeOutput(serializers.Serializer[Any]):
    text = serializers.CharField()
    minutes = serializers.FloatField(allow_null=True)
    departure = serializers.DateTimeField(allow_null=True)
    verdict = serializers.ChoiceField(VERDICTS, help_text="of the changed facts, judged again")
    outlook = serializers.ChoiceField(OUTLOOKS)
    left = serializers.ListField(child=serializers.CharField())


class DepartureOutput(serializers.Serializer[Any]):
    at = serializers.DateTimeField()
    verdict = serializers.ChoiceField(VERDICTS)
    outlook = serializers.ChoiceField(OUTLOOKS)
    deciding_rule = serializers.CharField(allow_null=True)


class VerdictOutput(serializers.Serializer[Any]):
    """The body is `manage.py judge --json`, word for word."""

    leg = serializers.CharField(help_text="its key")
    verdict = serializers.ChoiceField(VERDICTS)
    outlook = serializers.ChoiceField(OUTLOOKS)
    departure = serializers.DateTimeField()
    judged_at = serializers.DateTimeField()
    engine_version = serializers.CharField()
    early = serializers.DateTimeField(allow_null=True, help_text="arrival")
    plan = serializers.DateTimeField(allow_null=True, help_text="arrival")
    late = serializers.DateTimeField(allow_null=True, help_text="arrival")
    findings = FindingOutput(many=True)
    subjects = serializers.DictField(child=serializers.IntegerField(allow_null=True), help_text="score of each subject")
    margins = MarginOutput(many=True)
    changes = ChangeOutput(many=True)
    departures = DepartureOutput(many=True)


class VerdictQuery(Strict):
    at = Text(required=False, help_text="a departure with its zone, like 2027-05-15T06:30Z; else the planned one")


class LegVerdict(BoatView):
    budget: ClassVar[str] = "judge"

    @extend_schema(operation_id="legs_verdict", parameters=[VerdictQuery], responses=VerdictOutput)
    def get(self, request: Request, pk: int) -> Response:
        """The verdict of one departure and, short, of every other in the coming ten days. Nothing is kept by asking.

        409 while the leg cannot be judged at all, with what it lacks.
        """
        typed = asked(request, VerdictQuery).get("at")
        leg = one_of(Leg.objects.filter(vessel_id=self.aboard.vessel_id), pk)
        judged = judged_now(leg)
        data = as_data(judged, departure_index(judged, typed, leg.planned_at.timestamp()))
        return Response(data, headers={"Cache-Control": "no-store"})


def judged_now(leg: Leg) -> Judged:
    """The leg judged as it stands. Raises Refused where it cannot be."""
    try:
        return judge(facts_for(leg_id=leg.pk, at=timezone.now()))
    except BadInput as reason:
        raise Refused(f"{leg} cannot be judged yet: {reason}") from reason
