"""Papers: insurance, registration, licences, and what a survey asked for."""

from django.db import models

from vessel.models.attachment import Attachment
from vessel.models.constraint import named, one_of, together
from vessel.models.precision import DatePrecision
from vessel.models.versioned import Versioned
from vessel.models.vessel import Vessel


class PaperKind(models.TextChoices):
    POLICY = "policy", "insurance policy"
    REGISTRATION = "registration", "registration"
    RADIO_LICENCE = "radio_licence", "radio licence"
    OPERATORS_CERTIFICATE = "operators_certificate", "operator's certificate"
    HARBOUR_DUES = "harbour_dues", "harbour dues"
    SURVEY = "survey", "survey report"
    SURVEY_ITEM = "survey_item", "survey item"
    OTHER = "other", "other paper"


class Paper(Versioned):
    """One paper or one item of a survey report.

    `months` lists the months covered (1 to 12; empty: all year); `area` is the box covered {south_deg, north_deg,
    west_deg, east_deg}, NULL where not stated; `conditions` is a list of {text, due_on, met} (met null: not known);
    `before_next_use`: the survey item must be closed before she sails.
    """

    private_columns = frozenset({"conditions", "evidence", "area", "area_text"})

    vessel = models.ForeignKey(Vessel, on_delete=models.CASCADE, related_name="papers")
    kind = models.CharField(max_length=24, choices=PaperKind.choices)
    name = models.CharField(max_length=200)
    valid_from = models.DateField(null=True, blank=True)
    valid_until = models.DateField("valid, or due, until", null=True, blank=True)
    valid_until_precision = models.CharField(max_length=5, choices=DatePrecision.choices, null=True, blank=True)
    area = models.JSONField(null=True, blank=True)
    area_text = models.CharField(max_length=200, blank=True)
    months = models.JSONField(default=list, blank=True)
    conditions = models.JSONField(default=list, blank=True)
    night_covered = models.BooleanField(null=True, blank=True)
    single_handed_covered = models.BooleanField(null=True, blank=True)
    before_next_use = models.BooleanField(default=False)
    closed_at = models.DateTimeField(null=True, blank=True)
    evidence = models.CharField(max_length=400, null=True, blank=True)
    attachments = models.ManyToManyField(Attachment, blank=True, related_name="papers")

    class Meta:
        constraints = [
            named("paper"),
            one_of("paper", "kind", PaperKind.values),
            one_of("paper", "valid_until_precision", DatePrecision.values),
            together("paper", "valid_until", "valid_until_precision"),
            together("paper", "closed_at", "evidence"),
            models.CheckConstraint(
                name="paper_valid_from_not_after_valid_until",
                condition=models.Q(valid_from__lte=models.F("valid_until")),
            ),
        ]

    def __str__(self) -> str:
        return self.name
