"""/defects/: what is wrong with her, and reporting it."""

from typing import Any, ClassVar

from django.db import transaction
from django.db.models import QuerySet
from django.utils import timezone
from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import OpenApiParameter, extend_schema
from rest_framework import serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.reverse import reverse

from maintenance.actions.defect import report_defect
from maintenance.models import Defect, Effect
from maintenance.models.defect import MendBy
from vessel.actions.coming_legs import ask_to_judge
from vessel.actions.given_answer import answer_once
from vessel.api.door import BoatView, asked, one_of, with_etag
from vessel.api.fields import Number, Strict, Text, Truth, in_s
from vessel.api.page import Pages, paged
from vessel.errors import BadInput
from vessel.models import Equipment, LimitOutcome
from vessel.units import DAY, HOUR, MINUTE

KEY = OpenApiParameter(
    "Idempotency-Key",
    OpenApiTypes.STR,
    OpenApiParameter.HEADER,
    description="A text of your own, up to 200 letters; the same within 24 hours gives the first answer again.",
)


class EquipmentNamed(serializers.Serializer[Equipment]):
    code = serializers.CharField()
    name = serializers.CharField()


class DefectOutput(serializers.Serializer[Defect]):
    id = serializers.IntegerField()
    code = serializers.CharField(help_text="DEF-n, as people say it")
    title = serializers.CharField()
    description = serializers.CharField()
    equipment = EquipmentNamed(allow_null=True)
    effect = serializers.ChoiceField(Effect.choices, allow_null=True, help_text="null: nobody has said yet")
    limit_text = serializers.CharField(help_text="the limit within which the item still works")
    tags = serializers.ListField(child=serializers.CharField())
    opened_at = serializers.DateTimeField()
    opened_by = serializers.CharField(help_text="a token of the history, never a name")
    cause_known = serializers.BooleanField()
    cause = serializers.CharField()
    temporary_repair = serializers.CharField()
    may_sail_if = serializers.CharField()
    mend_by = serializers.ChoiceField(MendBy.choices, allow_null=True)
    mend_by_on = serializers.DateField(allow_null=True)
    mend_s = serializers.SerializerMethodField(help_text="time to mend it")
    mend_parts_aboard = serializers.BooleanField(allow_null=True)
    check_every_running_s = serializers.SerializerMethodField(help_text="look at it after so much engine time")
    check_every_s = serializers.SerializerMethodField(help_text="look at it after so much time")
    checked_at = serializers.DateTimeField(allow_null=True)
    limit_outcome = serializers.ChoiceField(LimitOutcome.choices, allow_null=True)
    closed_at = serializers.DateTimeField(allow_null=True)
    closed_by = serializers.CharField(allow_null=True)
    how_mended = serializers.CharField(allow_null=True)
    version = serializers.IntegerField()

    def get_mend_s(self, row: Defect) -> float | None:
        return in_s(row.mend_minutes, MINUTE)

    def get_check_every_running_s(self, row: Defect) -> float | None:
        return in_s(row.check_every_h, HOUR)

    def get_check_every_s(self, row: Defect) -> float | None:
        return in_s(row.check_every_days, DAY)


class DefectQuery(Strict):
    open = serializers.ChoiceField(["true", "false"], required=False, help_text="only those open, or only those mended")


class DefectReport(Strict):
    """What is left out is not known; it is never taken for "none"."""

    title = Text(max_length=200)
    description = Text(max_length=10_000, required=False, allow_blank=True)
    equipment_code = Text(max_length=20, required=False, allow_null=True)
    effect = serializers.ChoiceField(Effect.choices, required=False, allow_null=True)
    limit_text = Text(max_length=200, required=False, allow_blank=True)
    cause_known = Truth(required=False)
    cause = Text(max_length=400, required=False, allow_blank=True)
    temporary_repair = Text(max_length=400, required=False, allow_blank=True)
    may_sail_if = Text(max_length=400, required=False, allow_blank=True)
    mend_by = serializers.ChoiceField(MendBy.choices, required=False, allow_null=True)
    mend_by_on = serializers.DateField(required=False, allow_null=True)
    mend_s = Number(required=False, allow_null=True, min_value=0)
    mend_parts_aboard = Truth(required=False, allow_null=True)


class Defects(BoatView):
    deeds: ClassVar[dict[str, str]] = {"GET": "read", "POST": "report"}
    pagination_class = Pages  # for the description

    @extend_schema(operation_id="defects_list", parameters=[DefectQuery], responses=DefectOutput(many=True))
    def get(self, request: Request) -> Response:
        """The vessel's defects, the newest first."""
        wanted = asked(request, DefectQuery).get("open")
        rows = defects(self.aboard.vessel_id)
        if wanted is not None:
            rows = rows.filter(closed_at__isnull=wanted == "true")
        return paged(rows, request, ("-number",), DefectOutput)

    @extend_schema(operation_id="defects_report", parameters=[KEY], request=DefectReport, responses={201: DefectOutput})
    def post(self, request: Request) -> Response:
        """Report a defect. Repeated under one Idempotency-Key it is reported once."""
        form = DefectReport(data=request.data)
        form.is_valid(raise_exception=True)
        at, key = timezone.now(), request.headers.get("Idempotency-Key")

        def report() -> dict[str, Any]:
            fields = known_as(form.validated_data, self.aboard.vessel_id)
            row = report_defect(vessel=self.aboard.vessel, by=request.user, at=at, **fields)
            ask_to_judge(vessel_id=self.aboard.vessel_id, at=at)
            return dict(DefectOutput(defects(self.aboard.vessel_id).get(pk=row.pk)).data)

        with transaction.atomic():
            if key is None:
                told = report()
            else:
                asked_for = ("POST", request.path, request.data)
                told, _ = answer_once(membership=self.aboard, key=key, request=asked_for, at=at, deed=report)
        place = reverse("api_defect", kwargs={"pk": told["id"]}, request=request)
        return Response(told, status=201, headers={"Location": place})


class DefectDetail(BoatView):
    @extend_schema(operation_id="defects_read", responses=DefectOutput)
    def get(self, request: Request, pk: int) -> Response:
        """One defect."""
        return with_etag(request, DefectOutput(one_of(defects(self.aboard.vessel_id), pk)).data)


def defects(vessel_id: int) -> QuerySet[Defect]:
    """The defects of a vessel with their equipment."""
    return Defect.objects.filter(vessel_id=vessel_id).select_related("equipment")


def known_as(stated: dict[str, Any], vessel_id: int) -> dict[str, Any]:
    """The fields of a report as the books name them; the equipment must be aboard this vessel. Raises BadInput."""
    fields = dict(stated)
    seconds, code = fields.pop("mend_s", None), fields.pop("equipment_code", None)
    if seconds is not None:
        fields["mend_minutes"] = seconds / MINUTE
    if code is not None:
        fields["equipment"] = Equipment.objects.filter(vessel_id=vessel_id, code=code).first()
        if fields["equipment"] is None:
            raise BadInput(f"equipment_code: nothing aboard has the code {code}. No defect was reported.")
    return fields
